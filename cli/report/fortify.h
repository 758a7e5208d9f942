// A plan for the night as a report, as JSON, as a block for the scenario; and why a wish cannot be met.
#pragma once

#include "cli/report/fortify_plan.h"
#include "cli/write/table.h"
#include "cli/write/value.h"
#include "engine/rules/verdict.h"

namespace tierce {

/// `rules`: what the rules on the name of the wine say of the plan.
Report fortify_report(const FortifyPlan& plan, const FortifyOptions& options, const std::vector<Judgement>& rules);
Value fortify_json(const FortifyPlan& plan, const FortifyOptions& options, const std::vector<Judgement>& rules);

/// The lot for the `lots` of a scenario, in YAML, line by line. The year is left to be filled in.
std::vector<std::string> lot_block(const FortifyPlan& plan, const FortifyOptions& options);

/// What to mind on such a night, each with its figures and their source.
const std::vector<std::string>& fortify_cautions();

/// Why it cannot be done, and in `allowed` what could.
Problem refusal_text(const FortifyRefusal& refusal, const FortifyOptions& options);

}  // namespace tierce
