#include "cli/read/rule_book.h"

#include <algorithm>

#include "cli/read/packed_rules.h"
#include "engine/rules/verdict.h"

namespace tierce {

const RuleBook& built_in_rules() {
  static const RuleBook kBook = unpacked(packed_rules());
  return kBook;
}

const RuleBook& rules_of(const Scenario& scenario) {
  return scenario.own_rules ? *scenario.own_rules : built_in_rules();
}

std::vector<std::string> set_names(const RuleBook& book) {
  std::vector<std::string> names;
  for (const RuleSet& set : book.sets)
    if (std::find(names.begin(), names.end(), set.name) == names.end()) names.push_back(set.name);
  return names;
}

std::vector<std::string> sets_of(const Scenario& scenario, const std::vector<std::string>& otherwise) {
  return sets_of(scenario, rules_of(scenario), otherwise);
}

std::vector<StrengthBoundary> boundaries_of(const Scenario& scenario) {
  const RuleBook& book = rules_of(scenario);
  return strength_boundaries(book, sets_of(scenario, set_names(book)), scenario.label);
}

}  // namespace tierce
