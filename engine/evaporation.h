// What the wood takes: how much of a row's volume goes in a time, and with what strength.
#pragma once

#include <optional>
#include <span>

#include "engine/scenario.h"
#include "engine/vapour.h"

namespace tierce {

/// Part of the volume that is left after `years` of a loss of `fraction_per_year` (0..1), compounding: (1-e)^t.
/// Design decision 3; "evap is per year and compounds", reference rows F66 to F69 in tests/data/closed_form_cases.csv.
double kept_after(double fraction_per_year, double years);

/// Litres that go if each vessel loses `each_l`, or what it holds where that is less.
double loss_of_vessels(std::span<const double> levels_l, double each_l);
/// Takes that loss from the vessels.
void take_from_each_vessel(std::span<double> levels_l, double each_l);

/// Litres of pure alcohol that go with `lost_l` of a tier's `held_l` (negative: found in excess), of which
/// `held_alcohol_l` is pure alcohol. At the stated vapour's strength; where none is stated, at that which the cellar's
/// air draws, following the wine's strength (vapour.h). Unknown where the strength is; empty where the air or the
/// strength lies outside that model.
std::optional<double> alcohol_lost_l(const Cellar& cellar, const Tier& tier, double held_l, double held_alcohol_l,
                                     double lost_l);

/// The cellar's air, with the defaults of design decision 3 where nothing is stated.
CellarAir air_of(const Cellar& cellar);

}  // namespace tierce
