// One run of a scenario with all that reports read from it.
#pragma once

#include <string>
#include <vector>

#include "engine/book/scenario.h"
#include "engine/run/timeline.h"
#include "engine/run/trajectory.h"

namespace tierce {

struct Outlook {
  Scenario scenario;
  Timeline line;
  Trajectory run;
};

Outlook run_scenario(const Scenario& scenario, const Span& span);
/// The same with a look at the end of every year.
Outlook run_with_year_ends(const Scenario& scenario, const Span& span);

/// The last day of the log or the opening; year 0 where there is none.
Date last_entry(const Scenario& scenario);

/// True if a tier holds something stronger than 24 %vol: then pure alcohol and proof gallons are shown as well.
bool holds_spirits(const Outlook& outlook);

/// US proof gallons; unknown where the strength is.
double proof_gallons_of(double volume_l, double alcohol_l);

}  // namespace tierce
