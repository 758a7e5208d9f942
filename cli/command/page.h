// tierce report: one page over one or several reserves.
#pragma once

#include <string>
#include <vector>

#include "cli/report/page/reserve.h"
#include "cli/write/table.h"

namespace tierce {

std::string page_text(const std::vector<PageOfReserve>& reserves);
/// Every table and fact of the page, one row for each figure; what the page has no room for is not there either.
Table page_csv(const ReserveRuns& runs);

}  // namespace tierce
