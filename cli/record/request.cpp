#include "cli/record/request.h"

#include <algorithm>

#include "cli/read/quantity_text.h"
#include "cli/read/source.h"
#include "cli/read/suggest.h"
#include "cli/read/yaml_tree.h"

namespace tierce {

std::string yaml_value_of(const Key& key, const std::string& text, std::string& error) {
  if (const auto refused = refused_character(text)) error = refused->name + " stands in it";
  if (text.find_first_of("\n\t") != std::string::npos) error = "a value stands on one line, without tabs";
  const std::string bare = trimmed(text);
  if (bare.empty()) error = "nothing is stated";
  if (!error.empty()) return "";
  const bool braces = bare.starts_with('{') || bare.starts_with('[');
  if (key.form != Form::map && key.form != Form::list && !(key.form == Form::special && braces))
    return yaml_value(bare);
  const std::string value = braces || bare == "none" ? bare : '{' + bare + '}';
  std::vector<Problem> problems;
  const Node read = parse_yaml(source_from("", "{v: " + value + "}", problems), problems);
  if (problems.empty() && read.entries.size() == 1 && !read.entries[0].second.reported) return value;
  error = "'" + bare + "' cannot be read; " + key.meaning;
  return "";
}

WrittenEntry written_entry(const std::string& verb, const Date& date, const std::optional<Date>& entered,
                           const std::vector<std::pair<std::string, std::string>>& values) {
  WrittenEntry entry{date, {{"date", iso_text(date)}, {"do", verb}}};
  const auto given = [&](const std::string& key) {
    return std::find_if(values.begin(), values.end(), [&](const auto& value) { return value.first == key; });
  };
  for (const Key& key : keys::entry(verb)->keys) {
    if (key.name == "entered" && entered && *entered != date) entry.keys.emplace_back("entered", iso_text(*entered));
    else if (const auto found = given(key.name); found != values.end()) entry.keys.push_back(*found);
  }
  return entry;
}

}  // namespace tierce
