// A plan for the night as a report, as JSON, as a block for the scenario; and why a wish cannot be met.
#pragma once

#include <nlohmann/json.hpp>

#include "cli/fortify_plan.h"
#include "cli/table.h"

namespace tierce {

Report fortify_report(const FortifyPlan& plan, const FortifyOptions& options);
nlohmann::json fortify_json(const FortifyPlan& plan, const FortifyOptions& options);

/// The lot for the `lots` of a scenario, in YAML, line by line. The year is left to be filled in.
std::vector<std::string> lot_block(const FortifyPlan& plan, const FortifyOptions& options);

/// What to mind on such a night, each with its figures and their source.
const std::vector<std::string>& fortify_cautions();

/// Why it cannot be done, and in `allowed` what could.
Problem refusal_text(const FortifyRefusal& refusal, const FortifyOptions& options);

}  // namespace tierce
