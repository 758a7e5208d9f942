#include "cli/read/cut_values.h"

#include <cctype>

#include "cli/read/quantity_text.h"

namespace tierce {
namespace {

bool begins_with_digit(const std::string& text) {
  return !text.empty() && std::isdigit(static_cast<unsigned char>(text[0])) != 0;
}

/// The entry, if all it holds is a key without a value, in the line of the value before.
const Node* bare_key(const Node& map, std::size_t index, int line) {
  if (index >= map.entries.size()) return nullptr;
  const auto& [key, value] = map.entries[index];
  const bool bare = key.kind == Node::Kind::scalar && value.kind == Node::Kind::nothing && value.text.empty();
  return bare && !value.reported && key.at.line == line ? &key : nullptr;
}

}  // namespace

CutOff cut_number(const Node& map, std::size_t index) {
  const Node& value = map.entries[index].second;
  if (value.kind != Node::Kind::scalar) return {};
  const auto [number, unit] = split_number(value.text);
  if (number.empty() || !unit.empty()) return {};
  std::string rest;
  std::size_t next = index + 1;
  for (const Node* key = bare_key(map, next, value.at.line); key != nullptr && begins_with_digit(key->text);
       key = bare_key(map, next, value.at.line)) {
    rest += ',' + key->text;
    ++next;
  }
  const auto misread = broken_number(number, rest);
  if (!misread) return {};
  return {next - index - 1, *misread};
}

CutOff cut_text(const Node& map, std::size_t index) {
  const auto& [name, value] = map.entries[index];
  if (value.kind != Node::Kind::scalar) return {};
  std::string whole = value.text;
  std::size_t next = index + 1;
  for (const Node* key = bare_key(map, next, value.at.line); key != nullptr && key->text.find(':') == std::string::npos;
       key = bare_key(map, next, value.at.line)) {
    whole += ", " + key->text;
    ++next;
  }
  if (next == index + 1) return {};
  return {next - index - 1,
          {"a comma ends plain text inside braces", "text that holds , : # { } [ ] or quotes stands in double quotes",
           "write " + name.text + ": \"" + whole + "\""}};
}

}  // namespace tierce
