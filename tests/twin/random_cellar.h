// Random cellars that a cellar master could believe in: tiers, lots, a book and a habit, from a seed.
#pragma once

#include "engine/book/scenario.h"

namespace tierce::test {

/// How large a cellar may be, and what may happen in it.
struct CellarBounds {
  int most_tiers = 8;
  int most_years = 60;
  bool all_known = false;     // every lot and every opening states all that the twin follows
  bool acetaldehyde = false;  // lots and openings state acetaldehyde (which the twin does not follow), analyses do not
  bool faults = true;         // a few entries may ask for more than there is
  bool usual = false;         // no tank, one loss by share for all tiers, and no SO2 is lost: time changes little
};

/// Same seed, same bounds, same cellar. Amounts are feasible but for a few entries, and a habit may run dry.
Scenario random_cellar(unsigned seed, const CellarBounds& bounds = {});

}  // namespace tierce::test
