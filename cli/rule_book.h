// The rules that the program brings along, and those of the user.
#pragma once

#include <string>
#include <vector>

#include "engine/rule.h"

namespace tierce {

/// A rule file of cli/rules, taken into the program when it was built.
struct BuiltInRules {
  const char* file;  // us.yaml
  const char* text;
};
const std::vector<BuiltInRules>& built_in_rule_files();

/// The rules of all built-in files; they are sound, which a test holds them to.
const RuleBook& built_in_rules();

}  // namespace tierce
