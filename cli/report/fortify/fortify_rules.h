// The rules of the rule book on fortified must of a name, held beside a plan.
#pragma once

#include <string>
#include <vector>

#include "engine/plan/fortification.h"
#include "engine/rules/verdict.h"

namespace tierce {

/// What the rules on a wine of this designation say of a plan; nothing where there is none. Rules
/// on what only a vineyard or a calendar tells stay open.
std::vector<Judgement> fortify_rules(const FortifyPlan& plan, double spirit_pct, const std::string& designation,
                                     const RuleBook& book);

}  // namespace tierce
