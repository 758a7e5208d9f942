// What the wood takes: how much of a row's volume goes in a time, and with what strength.
#pragma once

#include <span>

#include "engine/scenario.h"

namespace tierce {

/// Part of the volume that is left after `years` of a loss of `fraction_per_year` (0..1), compounding: (1-e)^t.
/// Design decision 3; "evap is per year and compounds", reference rows F66 to F69 in tests/data/closed_form_cases.csv.
double kept_after(double fraction_per_year, double years);

/// Litres that go if each vessel loses `each_l`, or what it holds where that is less.
double loss_of_vessels(std::span<const double> levels_l, double each_l);
/// Takes that loss from the vessels.
void take_from_each_vessel(std::span<double> levels_l, double each_l);

}  // namespace tierce
