// Builds scenarios of the textbook kind: K tiers, a yearly event, wine that is age a0 when it enters.
#pragma once

#include <string>
#include <vector>

#include "engine/book/scenario.h"
#include "engine/run/outlook.h"

namespace tierce::test {

struct Cascade {
  std::vector<double> volumes_l;  // youngest first: what stands between (or just after) the events
  double draw_l = 0.0;
  double evaporation = 0.0;          // fraction a year
  double entry_age_y = 0.0;          // whole years or halves
  bool refill_first = false;         // new wine in first, passed down mixed, then the draw
  int months = 12;                   // between events
  std::vector<double> start_ages_y;  // of each tier's wine just after event 0; empty: entry age
  int events = 1;
  double alcohol_pct = 0.0;
};

/// The scenario as a log: fill, then `events` times draw and refill, each with wine of its own lot.
Scenario scenario_of(const Cascade& cascade);
Outlook run(const Cascade& cascade);

}  // namespace tierce::test
