// One map of the file, read key by key against its rows in scenario_keys.h. Faults are collected, never thrown; a
// value with a fault reads as unknown.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "cli/scenario_keys.h"
#include "cli/yaml_tree.h"

namespace tierce {

using Problems = std::vector<Problem>;

class Fields {
 public:
  /// Reports what is no map, unknown and repeated keys, and required keys that are missing.
  Fields(const Node& node, const Section& section, Problems& problems);

  bool is_map() const { return node_.kind == Node::Kind::map; }
  At at() const { return node_.at; }
  At at(const std::string& key) const;          // of the value; of the map if the key is absent
  const Node* find(const std::string& key) const;
  bool has(const std::string& key) const { return find(key) != nullptr; }

  double quantity(const std::string& key, double standard = kUnknown);  // in the base unit
  double number(const std::string& key, double standard = kUnknown);
  int whole(const std::string& key, int standard);
  std::string text(const std::string& key, const std::string& standard = "");
  std::string choice(const std::string& key, const std::string& standard);
  std::optional<Date> date(const std::string& key);
  std::optional<DayOfYear> day_of_year(const std::string& key);
  /// The items of a list; a value that is no list is reported.
  std::vector<const Node*> list(const std::string& key);
  /// A map of names to quantities, as in {Grenache gris: 100 %}; faulty values are reported and left out.
  std::vector<std::pair<const Node*, double>> quantities(const std::string& key, Measure measure, Range range);

  void report(At at, std::string what, std::string allowed = "", std::string hint = "");
  void report(At at, const Misread& misread, const std::string& key);

 private:
  const Key& row(const std::string& key) const;
  /// The text of a scalar value; empty optional (reported) if it is a list, a map or nothing.
  std::optional<std::string> scalar(const std::string& key);
  void check_keys();
  bool in_range(const Key& key, double value, const std::string& as_written);

  const Node& node_;
  const Section& section_;
  Problems& problems_;
  std::map<std::string, const Node*> values_;
};

/// A scalar node as text that is not empty; reported otherwise.
std::optional<std::string> scalar_text(const Node& node, const std::string& what, Problems& problems);

}  // namespace tierce
