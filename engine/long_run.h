// Where a habit leads: the mean age that its draws settle at, and how long a vintage is remembered.
#pragma once

#include <string>

#include "engine/scenario.h"

namespace tierce {

struct LongRun {
  double mean_y = kUnknown;       // mean age of the wine drawn, by volume and by the scenario's clock
  double half_life_y = kUnknown;  // in which the share of what lies there today halves, once the reserve has settled
  std::string why_not;            // why a figure is unknown
};

/// The steady state of the habit, its exceptions left out. The volumes are run until they repeat; then one period from
/// them gives the matrix G (tiers x tiers: litres of tier j's wine that lie in tier i a period later) and the new wine.
/// With x the volumes and c the litre-years that new wine and passing time bring, the mean ages m solve
/// (diag(x) - G) m = c; the half-life is period x ln(1/2) / ln(largest eigenvalue of G diag(1/x)).
/// Source: the discrete compartment model, docs/model.md, "Ages in the long run".
LongRun long_run(const Scenario& scenario);

}  // namespace tierce
