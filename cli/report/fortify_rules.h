// The rules of the rule book on fortified must of a name, held beside a plan.
#pragma once

#include <vector>

#include "cli/report/fortify_plan.h"
#include "engine/rules/verdict.h"

namespace tierce {

/// What the rules on a wine of the designation that is asked for say of a plan; nothing where none is asked for. Rules
/// on what only a vineyard or a calendar tells stay open.
std::vector<Judgement> fortify_rules(const FortifyPlan& plan, const FortifyOptions& options, const RuleBook& book);

}  // namespace tierce
