// Which parts a reserve's page has, from the same runs and reports that the other commands print.
#pragma once

#include "cli/read/load.h"
#include "cli/report/label/label.h"
#include "cli/report/page/thinned.h"
#include "cli/report/refresh/refresh_work.h"
#include "cli/write/page.h"
#include "engine/run/outlook.h"

namespace tierce {

/// A reserve with all the runs its page needs.
struct ReserveRuns {
  LoadedScenario loaded;
  Span span{};
  Units units = Units::metric;
  PageRoom room{};
  Outlook outlook;           // the whole forecast, with a look at the end of as many years as there is room for
  Outlook book;              // up to the last entry
  RefreshOrRefusal refresh;  // the next one, as `tierce refresh` plans it without options
};
ReserveRuns run_for_page(const LoadedScenario& loaded, const Span& span, Units units, const PageRoom& room);

/// What may be said of its bottlings, as `tierce label` judges without options; it points into `runs.outlook`.
LabelView label_of(const ReserveRuns& runs);

ReservePage reserve_page(const ReserveRuns& runs);

/// A reserve's part of a page, when its runs are gone: several are large.
struct PageOfReserve {
  ReservePage page;
  std::vector<Cell> overview;
};
PageOfReserve page_of(const ReserveRuns& runs);
/// The reserves of a page side by side; nothing for a single one.
std::vector<Block> overview_of(const std::vector<PageOfReserve>& reserves);

}  // namespace tierce
