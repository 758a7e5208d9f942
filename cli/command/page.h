// tierce report: one page over one or several reserves.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cli/report/page/reserve.h"
#include "cli/write/table.h"

namespace tierce {

std::string page_text(const std::vector<PageOfReserve>& reserves);
/// All that the page shows: what the other commands print of the reserve, its stock at the ends of years, as many as
/// the page draws, and the yearly draw.
nlohmann::json page_json(const ReserveRuns& runs);
/// Every table and fact of the page, one row for each figure; what the page has no room for is not there either.
Table page_csv(const ReserveRuns& runs);

}  // namespace tierce
