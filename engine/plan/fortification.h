// From what is wished of a fortification to numbers: the must, the arrest, the wine, the table for the night, the
// order.
#pragma once

#include <vector>

#include "engine/book/value.h"
#include "engine/wine/fortify.h"
#include "engine/wine/hydrometer.h"

namespace tierce {

/// What is wished; all litres are at 20 °C. The sugar of the must, or both the alcohol and the sugar at the arrest; the
/// strength of the wine, or the litres of spirit.
struct FortifyWish {
  double volume_l = kUnknown;  // of must
  double fruit_kg = kUnknown;  // in its place, with the next
  double must_l_per_kg = kUnknown;
  AmountOrReading sugar{};     // of the must before it ferments
  bool refractometer = false;  // the Brix of `sugar` are a refractometer's
  AmountOrReading arrest{};    // when the spirit goes in
  double residual_g_l = kUnknown;
  double temperature_c = 20.0;  // of the must
  double spirit_pct = kUnknown;
  double to_pct = kUnknown;
  double add_l = kUnknown;
  double sweet_g_l = kUnknown;  // wanted of the wine; finds the arrest
  double run_on_g_l = 0.0;      // what the yeast still eats, of the wine
  double drum_l = kUnknown;

  double must_l() const { return is_known(volume_l) ? volume_l : fruit_kg * must_l_per_kg; }
};

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

/// Refused where the wish cannot be met, with its figures in the terms of the wish.
OrRefusal<FortifyPlan> plan_fortification(const FortifyWish& wish);

}  // namespace tierce
