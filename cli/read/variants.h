// Variants of a scenario: each a name and values that take the place of those in the file, from options or from a file.
#pragma once

#include <string>
#include <vector>

#include "cli/read/source.h"
#include "cli/read/yaml_tree.h"

namespace tierce {

constexpr std::size_t kMostVariants = 6;

/// A step of a path: a key of a map, or the name of an item of a list.
struct Step {
  std::string name;
  At at;
};

/// `path = value`: what stands in a variant's place of the file.
struct Override {
  std::vector<Step> steps;
  Node value;
  std::string path_text, value_text;  // as written
};

struct Variant {
  std::string name;
  At at;
  std::vector<Override> overrides;
  Source source;  // the option or the file that states it; places of the variant are in there
};

/// "NAME: path=value, path=value", the text of an option. A comma inside brackets or inside a number parts nothing.
Variant variant_from_option(const std::string& text, std::vector<Problem>& problems);
/// A file of variants: a map of names, each with a map of paths to values.
std::vector<Variant> variants_from_file(const Source& source, std::vector<Problem>& problems);

/// Puts a variant's values into the tree of the file. Its own lines count from `lines` + 1 then, so that a fault can be
/// led back to them: those up to `lines` are the file's. A path that leads nowhere is a problem.
void put_into(const Variant& variant, int lines, Node& root, std::vector<Problem>& problems);

}  // namespace tierce
