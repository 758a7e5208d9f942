// What claims and `rules:` name: rule sets, rules, bottlings. A name that nothing has is a fault of the file.
#pragma once

#include <string>
#include <vector>

#include "cli/load.h"
#include "engine/rule.h"
#include "engine/trajectory.h"

namespace tierce {

/// Reads the rule files that `rules:` names, which stand where the scenario's path leads to, puts the names of their
/// sets in their place, and checks every name of a set or a rule.
void take_rules_of_scenario(LoadedScenario& loaded);

/// The rules that a scenario is held against: those built in, and those of its own files.
const RuleBook& rules_of(const LoadedScenario& loaded);

/// What is wrong with the rule that a claim names; that a figure is in the unit of its rule.
std::vector<Problem> claim_problems(const Claim& claim, const RuleBook& book);

/// Claims `for` a bottling that the run does not have.
std::vector<Problem> bottlings_not_found(const Scenario& scenario, const Trajectory& run);

}  // namespace tierce
