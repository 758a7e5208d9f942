// tierce report: one page over one or several reserves.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cli/page_reserve.h"
#include "cli/table.h"

namespace tierce {

std::string page_text(const std::vector<ReserveRuns>& reserves);
/// What the page shows beyond the other commands: the reserve at the end of every year, and the yearly draw.
nlohmann::json page_json(const ReserveRuns& runs);
/// One row for each share of the yearly draw.
Table page_csv(const ReserveRuns& runs);

}  // namespace tierce
