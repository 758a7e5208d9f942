// The rules that the program brings along, and those of the user.
#pragma once

#include <string>
#include <vector>

#include "engine/rules/rule.h"
#include "engine/rules/strength.h"

namespace tierce {

/// A rule file of cli/data/rules, as the build and the tests read it; the program has the rules packed.
struct BuiltInRules {
  const char* file;  // us.yaml
  const char* text;
};
const std::vector<BuiltInRules>& built_in_rule_files();

/// The rules of all built-in files; they are sound, which a test holds them to.
const RuleBook& built_in_rules();

/// The one rule book of a scenario, which every command asks: those built in, and those of its own files.
const RuleBook& rules_of(const Scenario& scenario);
/// The rule sets that a scenario names, and those of its own files; where it names none, `otherwise` with the latter.
std::vector<std::string> sets_of(const Scenario& scenario, const std::vector<std::string>& otherwise);
/// Every set of a book, each once.
std::vector<std::string> set_names(const RuleBook& book);
/// The strengths at which the rules of a scenario's sets, or of all where it names none, change the class of a wine.
std::vector<StrengthBoundary> boundaries_of(const Scenario& scenario);

}  // namespace tierce
