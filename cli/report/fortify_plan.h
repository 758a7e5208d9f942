// From the wishes of `tierce fortify` to numbers: the must, the arrest, the wine, the table for the night, the order.
#pragma once

#include <vector>

#include "cli/command/fortify_options.h"
#include "engine/wine/fortify.h"

namespace tierce {

/// What to do should the spirit go in now.
struct NightRow {
  double mark = kUnknown;    // what the hydrometer shows, at the must's temperature
  double sg_20c = kUnknown;  // the SG behind it
  MustAtArrest must;
  Fortified wine;        // with what the yeast eats afterwards
  bool planned = false;  // the arrest that was asked for
};

struct SpiritOrder {
  double pure_l = 0.0;         // of alcohol, at 20 °C
  double proof_gallons = 0.0;  // US
  double drums = kUnknown;     // whole ones; unknown without a size
  double left_l = kUnknown;    // what they hold beyond the need
};

struct FortifyPlan {
  Must must;
  bool sugar_inferred = false;          // from the arrest: what is left and what the alcohol has cost
  double other_extract_g_l = kUnknown;  // unknown off the must table; then no density is known either
  MustAtArrest arrest;
  double arrest_sg_20c = kUnknown;
  double arrest_mark = kUnknown;
  Fortified mixed;                                // when the spirit is in
  Fortified wine;                                 // after what the yeast eats on
  double spirit_alcohol_share_of_wine_pct = 0.0;  // L of pure alcohol from the spirit in 100 L of wine
  SpiritOrder order;
  Scale scale = Scale::sg;  // of the marks
  std::vector<NightRow> night;
  double alcohol_pct_per_sg = kUnknown;  // near the arrest: what a reading is worth
};

/// Refused where the wish cannot be met, with its figures in the terms of the options.
OrRefusal<FortifyPlan> plan_fortification(const FortifyOptions& options);

}  // namespace tierce
