#include "cli/read/variants.h"

#include <algorithm>

#include "cli/read/quantity_text.h"
#include "cli/read/suggest.h"

namespace tierce {
namespace {

constexpr const char* kForm = "NAME: path=value, path=value; as in \"less drawn: habit.draw=15 %\"";

int characters_before(const std::string& text, std::size_t byte) {
  return static_cast<int>(characters_in(text.substr(0, byte)));
}

/// The bytes of a text that stand outside brackets and quotes and are this character.
std::vector<std::size_t> plain_places(const std::string& text, char wanted, std::size_t from) {
  std::vector<std::size_t> places;
  int depth = 0;
  char quote = 0;
  for (std::size_t i = from; i < text.size(); ++i) {
    const char c = text[i];
    if (quote != 0) {
      if (c == quote) quote = 0;
      continue;
    }
    const bool begins = i == from || std::string(" \t.=,:{[").find(text[i - 1]) != std::string::npos;
    if (begins && (c == '"' || c == '\'')) quote = c;
    if (c == '{' || c == '[') ++depth;
    if (c == '}' || c == ']') --depth;
    if (c == wanted && depth <= 0) places.push_back(i);
  }
  return places;
}

/// Parts a path at its dots; a name with a dot stands in quotes. `at` is the place of its first character.
std::vector<Step> steps_of(const std::string& path, At at, std::vector<Problem>& problems) {
  std::vector<Step> steps;
  std::vector<std::size_t> ends = plain_places(path, '.', 0);
  ends.push_back(path.size());
  std::size_t begin = 0;
  for (const std::size_t end : ends) {
    std::string name = trimmed(path.substr(begin, end - begin));
    const At here{at.line, at.column + characters_before(path, begin)};
    if (name.size() > 1 && (name[0] == '"' || name[0] == '\'') && name.back() == name[0])
      name = name.substr(1, name.size() - 2);
    if (name.empty())
      problems.push_back({here, "a step of the path '" + path + "' is empty",
                          "keys and names parted by dots, as in tiers.floor.target", ""});
    steps.push_back({name, here});
    begin = end + 1;
  }
  return steps;
}

/// One `path=value` of an option, from `begin` to `end` of its text.
struct Piece {
  std::size_t begin, end;
};

std::vector<Piece> pieces_of(const std::string& text, std::size_t from) {
  std::vector<Piece> pieces;
  std::vector<std::size_t> commas = plain_places(text, ',', from);
  commas.push_back(text.size());
  std::size_t begin = from;
  for (const std::size_t comma : commas) {
    const std::string piece = text.substr(begin, comma - begin);
    if (!pieces.empty() && plain_places(piece, '=', 0).empty()) pieces.back().end = comma;  // a comma of a number
    else pieces.push_back({begin, comma});
    begin = comma + 1;
  }
  return pieces;
}

/// The value of an option as a node: behind as many spaces as stand before it, so that its places are right.
Node parsed_value(const Source& source, std::size_t begin, const std::string& value, std::vector<Problem>& problems) {
  const std::string text(static_cast<std::size_t>(characters_before(source.text, begin)), ' ');
  const Source alone{source.path, text + value, {text + value}};
  std::vector<Problem> found;
  Node node = parse_yaml(alone, found);
  problems.insert(problems.end(), found.begin(), found.end());
  return node;
}

void read_piece(const Piece& piece, Variant& variant, std::vector<Problem>& problems) {
  const std::string& text = variant.source.text;
  const auto first = text.find_first_not_of(" \t", piece.begin);
  const std::size_t begin = std::min(first, piece.end);
  const auto at = [&](std::size_t byte) { return At{1, characters_before(text, byte) + 1}; };
  const auto equals = plain_places(text.substr(0, piece.end), '=', begin);
  if (equals.empty() || trimmed(text.substr(begin, equals[0] - begin)).empty()) {
    problems.push_back({at(begin), "this states no path and value", kForm, ""});
    return;
  }
  const auto value_at = text.find_first_not_of(" \t", equals[0] + 1);
  if (value_at == std::string::npos || value_at >= piece.end) {
    problems.push_back({at(equals[0]), "no value stands behind the '='", kForm, ""});
    return;
  }
  Override one;
  one.path_text = trimmed(text.substr(begin, equals[0] - begin));
  one.value_text = trimmed(text.substr(value_at, piece.end - value_at));
  one.steps = steps_of(one.path_text, at(begin), problems);
  one.value = parsed_value(variant.source, value_at, one.value_text, problems);
  variant.overrides.push_back(std::move(one));
}

/// A value of a file as it is shown again: in one line.
std::string shown(const Node& node) {
  std::string text;
  switch (node.kind) {
    case Node::Kind::nothing: return node.text;
    case Node::Kind::scalar: return node.text;
    case Node::Kind::list:
      for (const Node& item : node.items) text += (text.empty() ? "" : ", ") + shown(item);
      return "[" + text + "]";
    case Node::Kind::map:
      for (const auto& [key, value] : node.entries) text += (text.empty() ? "" : ", ") + key.text + ": " + shown(value);
      return "{" + text + "}";
  }
  return text;
}

Variant variant_of(const Source& source, const Node& name, const Node& values, std::vector<Problem>& problems) {
  Variant variant{name.text, name.at, {}, source};
  if (values.kind != Node::Kind::map || values.entries.empty()) {
    problems.push_back({values.at, "the variant '" + name.text + "' holds no values",
                        "a map of paths to values, as in {habit.draw: 15 %}", ""});
    return variant;
  }
  for (const auto& [path, value] : values.entries) {
    Override one{steps_of(path.text, path.at, problems), value, path.text, shown(value)};
    variant.overrides.push_back(std::move(one));
  }
  return variant;
}

void shift(Node& node, int lines) {
  node.at.line += lines;
  if (node.comment.line > 0) node.comment.line += lines;
  for (Node& item : node.items) shift(item, lines);
  for (auto& [key, value] : node.entries) {
    shift(key, lines);
    shift(value, lines);
  }
}

/// What an item of a list is called by: its name, or the tier of an opening stock.
std::string name_of(const Node& item) {
  for (const char* key : {"name", "tier"})
    for (const auto& [found, value] : item.entries)
      if (found.text == key && value.kind == Node::Kind::scalar) return value.text;
  return "";
}

/// Follows one path through the tree.
class Path {
 public:
  Path(const Override& one, int lines, std::vector<Problem>& problems)
      : one_(one), lines_(lines), problems_(problems) {}

  void put(Node& root) {
    Node* here = &root;
    for (std::size_t i = 0; i < one_.steps.size() && here != nullptr; ++i)
      here = here->kind == Node::Kind::list ? item(*here, i) : entry(*here, i);
    if (here == nullptr) return;
    *here = one_.value;
    shift(*here, lines_);
  }

 private:
  At at(std::size_t step) const { return {one_.steps[step].at.line + lines_, one_.steps[step].at.column}; }
  std::string path_to(std::size_t steps) const {
    std::string text;
    for (std::size_t i = 0; i < steps; ++i) text += (i > 0 ? "." : "") + one_.steps[i].name;
    return text;
  }

  Node* entry(Node& map, std::size_t step) {
    const std::string& name = one_.steps[step].name;
    if (map.kind == Node::Kind::scalar) {
      problems_.push_back({at(step),
                           "'" + path_to(step) + "' is '" + map.text + "' in the file: nothing stands under it",
                           "a value for '" + path_to(step) + "' itself", ""});
      return nullptr;
    }
    map.kind = Node::Kind::map;  // an empty value becomes a map
    for (auto& [key, value] : map.entries)
      if (key.text == name) return &value;
    // What the file does not state is added; a key that it cannot have is for its reader to refuse.
    map.entries.emplace_back(Node{.kind = Node::Kind::scalar, .at = at(step), .text = name},
                             Node{.kind = Node::Kind::map, .at = at(step)});
    return &map.entries.back().second;
  }

  Node* item(Node& list, std::size_t step) {
    const std::string& name = one_.steps[step].name;
    std::vector<std::string> names;
    for (Node& one : list.items) {
      names.push_back(name_of(one));
      if (!names.back().empty() && names.back() == name) return &one;
    }
    for (std::size_t i = 0; i < list.items.size(); ++i)
      if (std::to_string(i + 1) == name) return &list.items[i];
    std::erase(names, "");
    problems_.push_back({at(step), "'" + path_to(step) + "' has no item '" + name + "'",
                         names.empty() ? "a number from 1 to " + std::to_string(list.items.size())
                                       : "one of " + listed_briefly(names) + ", or its number",
                         did_you_mean(nearest(name, names))});
    return nullptr;
  }

  const Override& one_;
  int lines_;
  std::vector<Problem>& problems_;
};

}  // namespace

Variant variant_from_option(const std::string& text, std::vector<Problem>& problems) {
  Variant variant;
  if (trimmed(text).empty() || text.find('\n') != std::string::npos) {
    problems.push_back({{}, "this states no variant", kForm, ""});
    variant.source.path = "--vary";
    return variant;
  }
  variant.source = source_from("--vary", text, problems);
  if (!problems.empty()) return variant;
  const auto colon = text.find(':');
  if (colon < text.find('=')) variant.name = trimmed(text.substr(0, colon));
  variant.at = {1, 1};
  if (variant.name.empty()) {
    problems.push_back({{1, 1}, "the variant has no name", kForm, ""});
    return variant;
  }
  if (trimmed(text.substr(colon + 1)).empty()) {
    problems.push_back({{1, 1}, "the variant '" + variant.name + "' changes nothing", kForm, ""});
    return variant;
  }
  for (const Piece& piece : pieces_of(text, colon + 1)) read_piece(piece, variant, problems);
  return variant;
}

std::vector<Variant> variants_from_file(const Source& source, std::vector<Problem>& problems) {
  std::vector<Variant> variants;
  const Node root = parse_yaml(source, problems);
  if (!problems.empty()) return variants;
  if (root.kind != Node::Kind::map || root.entries.empty()) {
    problems.push_back({root.at.line > 0 ? root.at : At{1, 1}, "the file holds no variants",
                        "names, each with its paths and values, as in less drawn: {habit.draw: 15 %}", ""});
    return variants;
  }
  for (const auto& [name, values] : root.entries) variants.push_back(variant_of(source, name, values, problems));
  return variants;
}

void put_into(const Variant& variant, int lines, Node& root, std::vector<Problem>& problems) {
  for (const Override& one : variant.overrides) Path(one, lines, problems).put(root);
}

}  // namespace tierce
