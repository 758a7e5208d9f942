// What the French rules for muted must ask, held beside a plan: information, never a verdict on a wine.
#pragma once

#include <string>
#include <vector>

#include "cli/fortify_plan.h"

namespace tierce {

struct MutedMustRule {
  std::string id;
  std::string what;  // what the rule looks at
  std::string asks;  // in words, with its unit
  double limit = kUnknown;
  double value = kUnknown;  // of the plan; unknown where the plan does not say
  std::string unit;
  std::string verdict;  // holds, fails, open
  std::vector<std::string> sources;
  std::string known;  // read, memory
  std::string note;   // may be empty
};

std::vector<MutedMustRule> muted_must_rules(const FortifyPlan& plan, double spirit_pct);

}  // namespace tierce
