#include "cli/read/fields.h"

#include <algorithm>
#include <set>

#include "cli/io/display_width.h"
#include "cli/read/cut_values.h"
#include "cli/read/source.h"
#include "cli/read/suggest.h"

namespace tierce {
namespace {

const char* const kQuotes = "text that holds , : # { } [ ] or quotes stands in double quotes";

Node reported(At at) { return {.kind = Node::Kind::nothing, .at = at, .reported = true}; }

std::string line_hint(const Node& first) { return "the first stands in line " + std::to_string(first.at.line); }

/// What a value of this key looks like.
std::string value_text(const Key& key) {
  if (key.form == Form::quantity) return "a number with a unit: " + units_text(key.measure);
  return key.form == Form::choice ? listed(key.choices) : key.meaning;
}

/// Two names that differ only in what nobody sees would be two names.
void refuse_hidden(const Node& name, Problems& problems) {
  if (const auto hidden = hidden_in_name(name.text))
    problems.add({name.at, hidden->name + " stands in '" + name.text + "'", "a name of letters that can be seen",
                  "write it anew", true});
}

/// A name that stands in tables and on the sheet; those of rules are sentences.
bool is_printed_name(const std::string& key, const Section& section) {
  static const std::set<std::string> kNamed = {
      "a tier", "a vessel", "a tank", "a lot", "a spirit of the list", "a lot of another reserve"};
  return key == "reserve" || key == "for" || (key == "name" && kNamed.contains(section.name));
}

}  // namespace

std::string kind_text(const Node& node) {
  switch (node.kind) {
    case Node::Kind::nothing: return "nothing";
    case Node::Kind::list: return "a list";
    case Node::Kind::map: return "keys with values";
    case Node::Kind::scalar: break;
  }
  return "'" + node.text + "'";
}

Fields::Fields(const Node& node, const Section& section, Problems& problems)
    : node_(node), section_(section), problems_(problems) {
  if (node.reported) ++problems.unread;
  else if (node.kind == Node::Kind::map) check_keys();
  else if (node.kind == Node::Kind::nothing)
    report(node.at, section.name + " has no value", "keys with values: " + listed(section.names()));
  else {
    const bool colon = node.kind == Node::Kind::scalar && node.text.find(':') != std::string::npos;
    report(node.at, section.name + " is written as keys with values, not as " + kind_text(node),
           listed(section.names()), colon ? "a space belongs after ':'" : "");
  }
}

void Fields::check_keys() {
  std::vector<std::size_t> unknown;
  for (std::size_t i = 0; i < node_.entries.size(); ++i) {
    const auto& [key, value] = node_.entries[i];
    const Key* known = key.kind == Node::Kind::scalar && !key.reported ? section_.find(key.text) : nullptr;
    CutOff cut = cut_number(node_, i);
    if (cut.entries == 0 && known != nullptr && known->form == Form::text) {
      cut = cut_text(node_, i);
      for (std::size_t n = 1; n <= cut.entries; ++n)
        if (section_.find(node_.entries[i + n].first.text) != nullptr) cut.entries = n - 1;
    }
    if (known == nullptr) unknown.push_back(i);
    else if (const auto [first, added] = values_.emplace(key.text, &value); !added)
      report(key.at, "key '" + key.text + "' is given twice in " + section_.name, "each key once",
             line_hint(*first->second));
    else if (cut.entries > 0) first->second = &made_.emplace_back(reported(value.at));
    if (cut.entries > 0) report(value.at, cut.misread, key.text);
    i += cut.entries;
  }
  for (const std::size_t i : unknown) unknown_key(node_.entries[i].first, node_.entries[i].second);
  missing_keys();
}

void Fields::unknown_key(const Node& key, const Node& value) {
  if (key.reported) ++problems_.unread;
  else if (key.kind == Node::Kind::nothing) report(key.at, "a key is missing before ':'", listed(section_.names()));
  else if (key.kind != Node::Kind::scalar)
    report(key.at, "a key is plain text, not " + kind_text(key), listed(section_.names()));
  else if (key.text == "<<") report(key.at, "'<<' would merge other keys in here", "keys and values written out");
  else if (problems_.full()) problems_.add({key.at, "", "", "", true});
  else if (!missing_colon(key, value)) {
    std::vector<std::string> free;
    for (const std::string& name : section_.names())
      if (!has(name)) free.push_back(name);
    std::string near = nearest(key.text, free);
    const bool read_as_meant = !near.empty();
    if (!read_as_meant) near = nearest(key.text, section_.names());
    problems_.add({key.at, "unknown key '" + key.text + "' in " + section_.name, listed(section_.names()),
                   hint_for_key(key.text, near), true});
    if (read_as_meant) values_.emplace(near, &value);
  }
}

std::string Fields::hint_for_key(const std::string& key, const std::string& near) const {
  if (!near.empty()) return did_you_mean(near);
  const auto verbs = section_.find("do") != nullptr ? keys::verbs_with(key) : std::vector<std::string>{};
  if (!verbs.empty()) return "'" + key + "' belongs to do: " + listed(verbs);
  if (key.starts_with('-') && section_.find(key.substr(1)) != nullptr) return "a space belongs after '-'";
  return "";
}

/// `do:draw` or `do draw`, which YAML reads as a key without a value.
bool Fields::missing_colon(const Node& key, const Node& value) {
  if (value.kind != Node::Kind::nothing || value.reported) return false;
  for (const Key& known : section_.keys) {
    const std::size_t length = known.name.size();
    if (!key.text.starts_with(known.name) || key.text.size() <= length + 1) continue;
    const char next = key.text[length];
    if (next != ':' && next != ' ') continue;
    const std::string rest = trimmed(key.text.substr(length + 1));
    const bool colon = next == ':';
    problems_.add({key.at,
                   colon ? "no space stands after '" + known.name + ":'" : "no ':' stands after '" + known.name + "'",
                   known.name + ": " + rest, "", true});
    made_.push_back(
        {.kind = Node::Kind::scalar, .at = {key.at.line, key.at.column + static_cast<int>(length) + 1}, .text = rest});
    values_.emplace(known.name, &made_.back());
    return true;
  }
  return false;
}

void Fields::missing_keys() {
  const bool merged = std::any_of(node_.entries.begin(), node_.entries.end(),
                                  [](const auto& entry) { return entry.first.text == "<<"; });
  if (node_.partial || merged) return;
  for (const Key& key : section_.keys)
    if (key.required && !has(key.name))
      report(node_.at, section_.name + " has no '" + key.name + "'", key.name + ": " + key.meaning);
}

At Fields::at(const std::string& key) const {
  const Node* node = find(key);
  return node != nullptr ? node->at : node_.at;
}

const Node* Fields::find(const std::string& key) const {
  const auto found = values_.find(key);
  return found == values_.end() ? nullptr : found->second;
}

std::vector<std::string> Fields::given(const std::vector<std::string>& keys) const {
  std::vector<std::string> result;
  for (const std::string& key : keys)
    if (has(key)) result.push_back(key);
  return result;
}

void Fields::report(At where, std::string what, std::string allowed, std::string hint) {
  problems_.add({where, std::move(what), std::move(allowed), std::move(hint)});
}

void Fields::report(At where, const Misread& misread, const std::string& key) {
  report(where, "'" + key + "': " + misread.what, misread.allowed, misread.hint);
}

std::optional<std::string> Fields::scalar(const std::string& key) {
  const Node* node = find(key);
  if (node == nullptr) return std::nullopt;
  if (node->reported) ++problems_.unread;
  else if (node->kind == Node::Kind::scalar && !node->text.empty()) return node->text;
  else if (node->kind == Node::Kind::scalar || node->kind == Node::Kind::nothing)
    report(node->at, "'" + key + "' has no value", value_text(row(key)));
  else report(node->at, "'" + key + "' is one value, not " + kind_text(*node), value_text(row(key)));
  return std::nullopt;
}

std::string out_of_range(double value, const Range& range) {
  if (value < 0.0 && range.low >= 0.0) return " is negative";
  return value > kLargestAmount && range.high >= kLargestAmount ? " is more than any cellar holds" : " is out of range";
}

bool Fields::in_range(const Key& key, double value, const std::string& as_written) {
  if (key.range.holds(value)) return true;
  report(at(key.name), "'" + key.name + "': " + as_written + out_of_range(value, key.range), allowed_text(key));
  return false;
}

template <class T>
std::optional<T> Fields::take(const std::string& key, const Read<T>& read) {
  if (const T* value = std::get_if<T>(&read)) return *value;
  report(at(key), std::get<Misread>(read), key);
  return std::nullopt;
}

double Fields::quantity(const std::string& key, double standard) {
  if (!has(key)) return standard;
  const auto written = scalar(key);
  if (!written) return kUnknown;
  const auto read = take(key, read_quantity(*written, row(key).measure));
  return read && in_range(row(key), read->value, *written) ? read->value : kUnknown;
}

double Fields::number(const std::string& key, double standard) {
  if (!has(key)) return standard;
  const auto written = scalar(key);
  if (!written) return kUnknown;
  const auto read = take(key, read_number(*written));
  return read && in_range(row(key), *read, *written) ? *read : kUnknown;
}

int Fields::whole(const std::string& key, int standard) {
  const auto written = scalar(key);
  if (!written) return standard;
  const Range& range = row(key).range;
  return take(key, read_whole(*written, static_cast<int>(range.low), static_cast<int>(range.high))).value_or(standard);
}

std::optional<Date> Fields::date(const std::string& key) {
  const auto written = scalar(key);
  return written ? take(key, read_date(*written)) : std::nullopt;
}

std::optional<DayOfYear> Fields::day_of_year(const std::string& key) {
  const auto written = scalar(key);
  return written ? take(key, read_day_of_year(*written)) : std::nullopt;
}

std::string Fields::text(const std::string& key, const std::string& standard) {
  const auto written = scalar(key);
  if (!written) return standard;
  if (key != "note" && key != "because") refuse_hidden(*find(key), problems_);
  if (is_printed_name(key, section_) && written->size() > kLongestName && display_width(*written) > kLongestName)
    problems_.add({at(key), "'" + key + "' is " + std::to_string(display_width(*written)) + " letters long",
                   std::to_string(kLongestName) + " letters at most, of wide scripts half as many", "", true});
  return is_whole_text(key, *find(key)) ? with_plain_spaces(*written) : "";
}

bool Fields::is_whole_text(const std::string& key, const Node& node) {
  const std::string name = "'" + key + "'";
  if (node.comment.line > 0) {
    problems_.add({node.comment, name + ": what follows the '#' is taken for a comment", kQuotes,
                   "as in \"Bottling #2\"; a comment begins with '# '", true});
    return true;
  }
  const std::string& text = node.text;
  const bool note = key == "note";
  const bool swallows_key = std::any_of(section_.keys.begin(), section_.keys.end(), [&](const Key& other) {
    return node.runs_on && text.find(' ' + other.name + ':') != std::string::npos;
  });
  if (swallows_key || (node.runs_on && !note))
    report(node.at, name + " runs on into the next line", "text on one line, or in quotes",
           text.find(':') != std::string::npos ? "if the next line is a key, a space belongs after its ':'" : "");
  else if (!note && text.find('\n') != std::string::npos)
    report(node.at, name + " has more than one line", "text on one line");
  else if (!note && text.find('\t') != std::string::npos) report(node.at, "a tab stands in " + name, "spaces");
  else if (!note && trimmed(text) != text)
    report(node.at, name + " begins or ends with a space", "text without spaces around it");
  else return true;
  return false;
}

std::string Fields::choice(const std::string& key, const std::string& standard) {
  const auto written = scalar(key);
  if (!written) return standard;
  const auto& choices = row(key).choices;
  if (std::find(choices.begin(), choices.end(), *written) != choices.end()) return *written;
  std::string near = nearest(*written, choices);
  for (const std::string& one : choices)
    if (near.empty() && one.starts_with(*written + ' ')) near = one;
  if (choices == std::vector<std::string>{"yes", "no"} && (*written == "true" || *written == "false"))
    near = *written == "true" ? "yes" : "no";
  problems_.add(
      {at(key), "'" + key + "' cannot be '" + *written + "'", listed(choices), did_you_mean(near), !near.empty()});
  return near.empty() ? standard : near;
}

std::vector<const Node*> Fields::list(const std::string& key) {
  std::vector<const Node*> items;
  const Node* node = find(key);
  if (node == nullptr) return items;
  if (node->reported) ++problems_.unread;
  else if (node->kind == Node::Kind::nothing)
    report(node->at, "'" + key + "' has no value",
           row(key).required ? "items that begin with '- '" : "items that begin with '- ', or [] for none");
  else if (node->kind != Node::Kind::list) {
    const bool dash =
        node->kind == Node::Kind::map && !node->entries.empty() && node->entries[0].first.text.starts_with('-');
    report(node->at, "'" + key + "' is a list, not " + kind_text(*node), "items that begin with '- ', or [ ... ]",
           dash ? "a space belongs after '-'" : "");
  }
  for (const Node& item : node->items) items.push_back(&item);
  return items;
}

std::vector<std::pair<const Node*, double>> Fields::quantities(const std::string& key, Measure measure, Range range) {
  std::vector<std::pair<const Node*, double>> result;
  const Node* node = find(key);
  if (node == nullptr) return result;
  if (node->reported) ++problems_.unread;
  else if (node->kind != Node::Kind::map)
    report(node->at, "'" + key + "' is written as names with values, not as " + kind_text(*node),
           "as in {name: 100 " + units_of(measure).front().name + "}");
  const Key bounds{key, Form::quantity, measure, range, false, "", "", {}};
  std::set<std::string> seen;
  for (std::size_t i = 0; i < node->entries.size(); ++i) {
    const auto& [name, value] = node->entries[i];
    const std::string named = key + ": " + name.text;
    const CutOff cut = cut_number(*node, i);
    i += cut.entries;
    if (value.reported || name.reported) ++problems_.unread;
    else if (name.kind != Node::Kind::scalar)
      report(name.at, "a name is plain text, not " + kind_text(name),
             "as in {name: 100 " + units_of(measure).front().name + "}");
    else if (!seen.insert(name.text).second)
      report(name.at, "'" + name.text + "' is given twice in '" + key + "'", "each name once");
    else if (cut.entries > 0) report(value.at, cut.misread, named);
    else {
      refuse_hidden(name, problems_);
      const auto read = read_quantity(value.kind == Node::Kind::scalar ? value.text : "", measure);
      if (const auto* misread = std::get_if<Misread>(&read)) report(value.at, *misread, named);
      else if (const double number = std::get<Quantity>(read).value; range.holds(number))
        result.emplace_back(&name, number);
      else report(value.at, "'" + named + "': " + value.text + out_of_range(number, range), allowed_text(bounds));
    }
  }
  return result;
}

std::optional<std::string> scalar_text(const Node& node, const std::string& what, Problems& problems) {
  if (node.reported) ++problems.unread;
  else if (node.kind == Node::Kind::scalar && !node.text.empty()) {
    refuse_hidden(node, problems);
    return with_plain_spaces(node.text);
  } else problems.add({node.at, what + " is text, not " + kind_text(node), "", ""});
  return std::nullopt;
}

}  // namespace tierce
