// Which parts a reserve's page has, from the same runs and reports that the other commands print.
#pragma once

#include "cli/outlook.h"
#include "cli/page.h"

namespace tierce {

/// A reserve with all the runs its page needs.
struct ReserveRuns {
  Span span{};
  Units units = Units::metric;
  Outlook outlook;  // the whole forecast, with a look at the end of every year
  Outlook book;     // up to the last entry
};
ReserveRuns run_for_page(const Scenario& scenario, const Span& span, Units units);

ReservePage reserve_page(const ReserveRuns& runs);
/// The reserves of a page side by side; nothing for a single one.
std::vector<Block> overview_of(const std::vector<ReserveRuns>& reserves);

}  // namespace tierce
