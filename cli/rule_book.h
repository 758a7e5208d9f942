// The rules that the program brings along, and those of the user.
#pragma once

#include <string>
#include <vector>

#include "engine/rule.h"
#include "engine/strength.h"

namespace tierce {

/// A rule file of cli/rules, taken into the program when it was built.
struct BuiltInRules {
  const char* file;  // us.yaml
  const char* text;
};
const std::vector<BuiltInRules>& built_in_rule_files();

/// The rules of all built-in files; they are sound, which a test holds them to.
const RuleBook& built_in_rules();
/// The strengths at which these change the class of a wine.
const std::vector<StrengthBoundary>& built_in_boundaries();

}  // namespace tierce
