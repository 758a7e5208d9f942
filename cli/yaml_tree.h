// YAML text as a tree whose every key and value knows its line and column.
// Built from the parser's events, because its own nodes lose positions of empty values, repeated keys and aliases.
#pragma once

#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "cli/source.h"
#include "engine/scenario.h"

namespace tierce {

struct Node {
  enum class Kind { nothing, scalar, list, map };
  Kind kind = Kind::nothing;
  At at;
  std::string text;                             // scalar
  bool quoted = false;                          // scalar in quotes
  std::vector<Node> items;                      // list
  std::vector<std::pair<Node, Node>> entries;   // map, in the order of the file, repeated keys kept
};

/// Parses the source. Problems: the one syntax error with its likely cause; a second document; tags; anchors and aliases.
Node parse_yaml(const Source& source, std::vector<Problem>& problems);

}  // namespace tierce
