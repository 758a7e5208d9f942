// One map of the file, read key by key against its rows in scenario_keys.h. Faults are collected, never thrown; a
// value with a fault reads as unknown, and is not reported again as missing.
#pragma once

#include <list>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "cli/read/problems.h"
#include "cli/read/quantity_text.h"
#include "cli/read/scenario_keys.h"
#include "cli/read/yaml_tree.h"

namespace tierce {

class Fields {
 public:
  /// Reports what is no map, unknown and repeated keys, and required keys that are missing. A key that is misspelt
  /// beyond doubt is reported and then read as the one that was meant, so that its value is checked too.
  Fields(const Node& node, const Section& section, Problems& problems);

  bool is_map() const { return node_.kind == Node::Kind::map && !node_.reported; }
  At at() const { return node_.at; }
  At at(const std::string& key) const;  // of the value; of the map if the key is absent
  const Node* find(const std::string& key) const;
  bool has(const std::string& key) const { return find(key) != nullptr; }
  /// The keys of these that are given.
  std::vector<std::string> given(const std::vector<std::string>& keys) const;

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
  void check_keys();
  void unknown_key(const Node& key, const Node& value);
  bool missing_colon(const Node& key, const Node& value);
  void missing_keys();
  std::string hint_for_key(const std::string& key, const std::string& near) const;
  const Key& row(const std::string& key) const { return *section_.find(key); }
  /// The text of a scalar value; empty (and reported) if it is a list, a map or nothing.
  std::optional<std::string> scalar(const std::string& key);
  /// Faults of a text that stands in a report: it runs on, or a comment cuts it off.
  bool is_whole_text(const std::string& key, const Node& node);
  bool in_range(const Key& key, double value, const std::string& as_written);
  /// What `read` gives for the value of the key; faults are reported.
  template <class T>
  std::optional<T> take(const std::string& key, const Read<T>& read);

  const Node& node_;
  const Section& section_;
  Problems& problems_;
  std::map<std::string, const Node*> values_;
  std::list<Node> made_;  // values that the parser cut wrongly
};

/// A scalar node as text that is not empty; reported otherwise.
std::optional<std::string> scalar_text(const Node& node, const std::string& what, Problems& problems);

/// " is negative", " is out of range": what is wrong with a value that a range does not hold.
std::string out_of_range(double value, const Range& range);

/// "a list", "nothing", "'nursery'": what a node is, for a message.
std::string kind_text(const Node& node);

}  // namespace tierce
