// What claims and `rules:` name: rule sets, rules, bottlings. A name that nothing has is a fault of the file.
#pragma once

#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "cli/read/load.h"
#include "engine/rules/rule.h"
#include "engine/run/trajectory.h"

namespace tierce {

/// Reads the rule files that `rules:` names, which stand where the scenario's path leads to, puts the names of their
/// sets in their place, and checks every name of a set or a rule.
void take_rules_of_scenario(LoadedScenario& loaded);

/// The same of --rules: files add their rules; names of sets take the place of those that the scenario names. Nothing
/// is changed where one of them is faulty; the faults go to `err`.
bool take_rules_of_options(const std::vector<std::string>& asked, LoadedScenario& loaded, std::ostream& err);

/// A designation within two letters of one that a rule asks for: it is meant, and its rules must not drop out unseen.
std::optional<Problem> misspelt_designation(const std::string& name, const At& at, const RuleBook& book);

/// What is wrong with the rule that a claim names. A figure is stated in any unit of its rule's measure; it is kept in
/// that of the rule.
std::vector<Problem> claim_problems(Claim& claim, const RuleBook& book);

/// Claims `for` a bottling that the run does not have.
std::vector<Problem> bottlings_not_found(const Scenario& scenario, const Trajectory& run);

}  // namespace tierce
