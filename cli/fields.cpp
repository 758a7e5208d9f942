#include "cli/fields.h"

#include <algorithm>
#include <cctype>

#include "cli/suggest.h"

namespace tierce {
namespace {

std::string kind_text(const Node& node) {
  switch (node.kind) {
    case Node::Kind::nothing: return "nothing";
    case Node::Kind::list: return "a list";
    case Node::Kind::map: return "a map";
    case Node::Kind::scalar: break;
  }
  return "'" + node.text + "'";
}

/// The half of a number that a decimal comma cut off: `volume: 7,5 L` in braces reads as `volume: 7` and a key `5 L`.
std::string cut_by_comma(const Node& map, std::size_t index) {
  const auto& [key, value] = map.entries[index];
  if (index == 0 || value.kind != Node::Kind::nothing || key.text.empty() || !std::isdigit(static_cast<unsigned char>(key.text[0]))) return "";
  const auto& before = map.entries[index - 1];
  return "write " + before.first.text + ": " + before.second.text + "." + key.text + ": numbers have a decimal point and no separators";
}

std::string unknown_key_hint(const Node& map, std::size_t index, const Section& section) {
  if (const std::string cut = cut_by_comma(map, index); !cut.empty()) return cut;
  const Node& key = map.entries[index].first;
  if (map.entries[index].second.kind == Node::Kind::nothing && key.text.find(':') != std::string::npos) return "a space belongs after ':'";
  const std::string near = nearest(key.text, section.names());
  return near.empty() ? "" : "did you mean '" + near + "'?";
}

}  // namespace

Fields::Fields(const Node& node, const Section& section, Problems& problems) : node_(node), section_(section), problems_(problems) {
  if (node.kind != Node::Kind::map) {
    std::string hint;
    if (node.kind == Node::Kind::scalar && node.text.find(':') != std::string::npos) hint = "a space belongs after ':'";
    report(node.at, section.name + " is a map of keys and values, not " + kind_text(node), listed(section.names()), hint);
    return;
  }
  check_keys();
}

void Fields::check_keys() {
  for (std::size_t i = 0; i < node_.entries.size(); ++i) {
    const auto& [key, value] = node_.entries[i];
    if (key.kind != Node::Kind::scalar) report(key.at, "a key is plain text, not " + kind_text(key), listed(section_.names()));
    else if (section_.find(key.text) == nullptr) problems_.push_back({key.at, "unknown key '" + key.text + "' in " + section_.name, listed(section_.names()), unknown_key_hint(node_, i, section_), true});
    else if (!values_.emplace(key.text, &value).second) report(key.at, "key '" + key.text + "' is given twice in " + section_.name, "each key once", "");
  }
  for (const Key& key : section_.keys)
    if (key.required && !values_.contains(key.name)) report(node_.at, section_.name + " has no '" + key.name + "'", key.name + ": " + key.meaning);
}

At Fields::at(const std::string& key) const {
  const Node* node = find(key);
  return node != nullptr ? node->at : node_.at;
}

const Node* Fields::find(const std::string& key) const {
  const auto found = values_.find(key);
  return found == values_.end() ? nullptr : found->second;
}

const Key& Fields::row(const std::string& key) const { return *section_.find(key); }

void Fields::report(At where, std::string what, std::string allowed, std::string hint) {
  problems_.push_back({where, std::move(what), std::move(allowed), std::move(hint)});
}

void Fields::report(At where, const Misread& misread, const std::string& key) { report(where, "'" + key + "': " + misread.what, misread.allowed, misread.hint); }

std::optional<std::string> Fields::scalar(const std::string& key) {
  const Node* node = find(key);
  if (node == nullptr) return std::nullopt;
  if (node->kind == Node::Kind::scalar && !node->text.empty()) return node->text;
  const Key& known = row(key);
  const std::string allowed = known.form == Form::quantity ? "a number with a unit: " + units_text(known.measure) : known.meaning;
  if (node->kind == Node::Kind::scalar || node->kind == Node::Kind::nothing) report(node->at, "'" + key + "' has no value", allowed);
  else report(node->at, "'" + key + "' is one value, not " + kind_text(*node), allowed);
  return std::nullopt;
}

bool Fields::in_range(const Key& key, double value, const std::string& as_written) {
  if (value > key.range.low && value <= key.range.high) return true;
  if (value == key.range.low && !key.range.above_low) return true;
  const bool negative = value < 0.0 && key.range.low >= 0.0;
  report(at(key.name), "'" + key.name + "': " + as_written + (negative ? " is negative" : " is out of range"), allowed_text(key));
  return false;
}

double Fields::quantity(const std::string& key, double standard) {
  if (!has(key)) return standard;
  const auto written = scalar(key);
  if (!written) return kUnknown;
  const auto read = read_quantity(*written, row(key).measure);
  if (const auto* misread = std::get_if<Misread>(&read)) {
    report(at(key), *misread, key);
    return kUnknown;
  }
  const double value = std::get<Quantity>(read).value;
  return in_range(row(key), value, *written) ? value : kUnknown;
}

double Fields::number(const std::string& key, double standard) {
  if (!has(key)) return standard;
  const auto written = scalar(key);
  if (!written) return kUnknown;
  const auto read = read_number(*written);
  if (const auto* misread = std::get_if<Misread>(&read)) {
    report(at(key), *misread, key);
    return kUnknown;
  }
  return in_range(row(key), std::get<double>(read), *written) ? std::get<double>(read) : kUnknown;
}

int Fields::whole(const std::string& key, int standard) {
  const auto written = scalar(key);
  if (!written) return standard;
  const Range& range = row(key).range;
  const auto read = read_whole(*written, static_cast<int>(range.low), static_cast<int>(range.high));
  if (const auto* misread = std::get_if<Misread>(&read)) {
    report(at(key), *misread, key);
    return standard;
  }
  return std::get<int>(read);
}

std::string Fields::text(const std::string& key, const std::string& standard) { return scalar(key).value_or(standard); }

std::string Fields::choice(const std::string& key, const std::string& standard) {
  const auto written = scalar(key);
  if (!written) return standard;
  const auto& choices = row(key).choices;
  if (std::find(choices.begin(), choices.end(), *written) != choices.end()) return *written;
  const std::string near = nearest(*written, choices);
  report(at(key), "'" + key + "' cannot be '" + *written + "'", listed(choices), near.empty() ? "" : "did you mean '" + near + "'?");
  return standard;
}

std::optional<Date> Fields::date(const std::string& key) {
  const auto written = scalar(key);
  if (!written) return std::nullopt;
  const auto read = read_date(*written);
  if (const auto* date = std::get_if<Date>(&read)) return *date;
  report(at(key), std::get<Misread>(read), key);
  return std::nullopt;
}

std::optional<DayOfYear> Fields::day_of_year(const std::string& key) {
  const auto written = scalar(key);
  if (!written) return std::nullopt;
  const auto read = read_day_of_year(*written);
  if (const auto* day = std::get_if<DayOfYear>(&read)) return *day;
  report(at(key), std::get<Misread>(read), key);
  return std::nullopt;
}

std::vector<const Node*> Fields::list(const std::string& key) {
  std::vector<const Node*> items;
  const Node* node = find(key);
  if (node == nullptr) return items;
  if (node->kind != Node::Kind::list) {
    report(node->at, "'" + key + "' is a list, not " + kind_text(*node), "items that begin with '- ', or [ ... ]");
    return items;
  }
  for (const Node& item : node->items) items.push_back(&item);
  return items;
}

std::vector<std::pair<const Node*, double>> Fields::quantities(const std::string& key, Measure measure, Range range) {
  std::vector<std::pair<const Node*, double>> result;
  const Node* node = find(key);
  if (node == nullptr) return result;
  if (node->kind != Node::Kind::map) {
    report(node->at, "'" + key + "' is a map of names and values, not " + kind_text(*node), "as in {name: 100 " + units_of(measure).front().name + "}");
    return result;
  }
  const Key bounds{key, Form::quantity, measure, range, false, "", "", {}};
  for (const auto& [name, value] : node->entries) {
    const auto twice = std::find_if(result.begin(), result.end(), [&](const auto& seen) { return seen.first->text == name.text; });
    if (twice != result.end()) {
      report(name.at, "'" + name.text + "' is given twice in '" + key + "'", "each name once");
      continue;
    }
    const auto read = read_quantity(value.kind == Node::Kind::scalar ? value.text : "", measure);
    if (const auto* misread = std::get_if<Misread>(&read)) {
      report(value.at, *misread, key + ": " + name.text);
      continue;
    }
    const double number = std::get<Quantity>(read).value;
    if (number < range.low || number > range.high || (range.above_low && number == range.low)) report(value.at, "'" + key + "': " + value.text + " is out of range", allowed_text(bounds));
    else result.emplace_back(&name, number);
  }
  return result;
}

std::optional<std::string> scalar_text(const Node& node, const std::string& what, Problems& problems) {
  if (node.kind == Node::Kind::scalar && !node.text.empty()) return node.text;
  problems.push_back({node.at, what + " is text, not " + kind_text(node), "", ""});
  return std::nullopt;
}

}  // namespace tierce
