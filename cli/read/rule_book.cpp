#include "cli/read/rule_book.h"

#include <algorithm>
#include <stdexcept>

#include "cli/read/read_rules.h"
#include "engine/rules/verdict.h"

namespace tierce {

const RuleBook& built_in_rules() {
  static const RuleBook kBook = [] {
    RuleBook book;
    for (const BuiltInRules& file : built_in_rule_files()) {
      std::vector<Problem> problems;
      const Source source = source_from(file.file, file.text, problems);
      if (problems.empty()) read_rules(source, book, problems);
      if (!problems.empty())
        throw std::logic_error(std::string("rules/") + file.file + ':' + std::to_string(problems.front().at.line) +
                               ": " + problems.front().what);
    }
    return book;
  }();
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
