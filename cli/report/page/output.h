// What `tierce report --json` prints: the figures behind the page.
#pragma once

#include "cli/report/page/reserve.h"
#include "cli/report/report.h"
#include "cli/write/field.h"
#include "engine/plan/draw_shares.h"

namespace tierce {

/// With what only the page has worked out; it refers to `runs`.
struct PageOutput {
  explicit PageOutput(const ReserveRuns& of);

  const ReserveRuns* runs;
  ChosenWines wines;  // all
  LongRun settled;
  DrawShares shares;
};
extern const Shape<PageOutput> kReportOutput;

}  // namespace tierce
