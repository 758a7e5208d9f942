// Barrel by barrel: which vessel gets how much of a wine, and in what order.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "engine/book/scenario.h"

namespace tierce {

/// What the vessels hold when they are filled.
struct Filling {
  std::vector<double> level_l{};           // by vessel
  std::vector<std::size_t> order{};        // the vessels that get wine, in the order in which they are filled
  std::optional<std::size_t> part_full{};  // the one that takes what the full ones leave over; filled last
  double air_l = 0.0;                      // over the wine, beyond the ullage wanted, in the vessels that hold wine
};

/// Spreads `litres` over vessels of these brims (litres up to which each may be filled: capacity less the ullage that
/// is wanted). `even`: each to the same part of its brim. `full_first`: at most one vessel is left part full, none
/// where the litres come out; of the ways to do so the one with the least air over the wine, then the one with the
/// least wine under that air, then with the fewest vessels, then the earliest vessels of the list. Vessels that are not
/// needed stay empty. Brims count in steps of 0.1 L, rounded down; with all vessels that full, they are filled evenly.
/// For thousands of vessels of different sizes the largest are filled first and the smallest that will do takes the
/// rest. Empty if the vessels cannot hold the litres.
std::optional<Filling> fill_vessels(const std::vector<double>& brim_l, double litres, Level level);

/// A pour from one vessel of a tier to another.
struct VesselPour {
  std::size_t from = 0;
  std::size_t to = 0;
  double litres = 0.0;
};

/// Pours that bring levels `now_l` to `wanted_l` (the same sum): fewer than there are vessels, each rounded to
/// `step_l`, but a vessel that is to be empty gives all it holds.
std::vector<VesselPour> pours_between(const std::vector<double>& now_l, const std::vector<double>& wanted_l,
                                      double step_l);

}  // namespace tierce
