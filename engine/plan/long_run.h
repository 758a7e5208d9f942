// Where a habit leads: the ages that its draws settle at, and how long a vintage is remembered.
#pragma once

#include "engine/book/scenario.h"
#include "engine/plan/endless_habit.h"

namespace tierce {

/// What is known of a habit that goes on without end. Ages of the wine drawn, by the scenario's clock.
struct LongRun {
  double mean_y = kUnknown;       // by volume
  double half_life_y = kUnknown;  // in which the share of what lies there today halves, once the reserve has settled
  NoLongRun why_not{};            // why a figure is unknown
  double mean_by_alcohol_y = kUnknown;   // unknown as well where the strengths do not settle
  double mean_by_solids_y = kUnknown;    // by litres as entered: what does not evaporate
  double youngest_y = kUnknown;          // of any draw of a period; unknown where some tiers are wood and some are not
  double entry_age_y = kUnknown;         // of the new wine, when it enters
  double largest_eigenvalue = kUnknown;  // of G diag(1/x): the part of today's wine that is left a period later
  double period_y = kUnknown;            // after which the habit repeats
  double drawn_l_y = kUnknown;           // litres drawn a year
  double new_wine_l_y = kUnknown;        // litres of new wine a year
  double full_l = kUnknown;              // the most that all tiers hold together in a period: just after a refill
};

/// The steady state of the habit, its exceptions left out. The volumes are run until they repeat; then one period from
/// them gives the matrix G (tiers x tiers: litres of tier j's wine that lie in tier i a period later) and the new wine.
/// With x the volumes and c the litre-years that new wine and passing time bring, the mean ages m solve
/// (diag(x) - G) m = c; the half-life is period x ln(1/2) / ln(largest eigenvalue of G diag(1/x)). By alcohol and by
/// litres as entered the same holds, with the settled amounts of those in place of litres.
/// Source: the discrete compartment model, docs/model.md, "Ages in the long run".
LongRun long_run(const Scenario& scenario);
/// The same of a habit that stands alone; for a search, which runs the log once.
LongRun long_run(const EndlessHabit& habit);

/// A check of the above by plain simulation: the habit from the settled volumes on, until next to nothing is left of
/// the wine that lay there (1e-12 of it), for 1,500 years at most.
struct LongRunCheck {
  int years = 0;             // run
  double mean_y = kUnknown;  // of the wine drawn in the last period, by volume; the wine of the start counted from it
  double mean_by_solids_y = kUnknown;
  int memory_years = 0;              // after which the shares below are taken
  double left_by_run = kUnknown;     // of all wine that lay there at the start
  double left_by_matrix = kUnknown;  // the same by powers of G diag(1/x)
  NoLongRun why_not{};
};
LongRunCheck check_long_run(const EndlessHabit& habit);

}  // namespace tierce
