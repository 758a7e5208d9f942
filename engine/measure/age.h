// How old a wine is, by the scenario's clock: shares, mean on three bases, spread, quantiles.
#pragma once

#include <array>
#include <vector>

#include "engine/run/timeline.h"
#include "engine/run/trajectory.h"

namespace tierce {

/// One parcel's part of a wine.
struct Share {
  int parcel = 0;
  double fraction = 0.0;  // of the litres now
  double litres = 0.0;
  double age_y = kUnknown;       // on the day asked; the mean where parts share the column
  double at_least_y = 0.0;       // equals the age where it is known
  double youngest_y = kUnknown;  // these three differ from the age only where parts share the column
  double oldest_y = kUnknown;
  double sd_y = 0.0;
  bool shared() const { return sd_y > 0.0; }
};

constexpr std::array<double, 3> kQuantiles = {0.1, 0.5, 0.9};

/// Ages in years, weighted by litres now where nothing else is said (design decision 11). With wine of unknown age,
/// the mean, the spread and the quantiles are unknown, and the `at_least` bounds hold instead. Where parts of several
/// ages share a column (wood_parts.h), the quantiles and the means by alcohol and by solids are unknown.
struct AgeSummary {
  double mean_y = kUnknown;
  double youngest_y = kUnknown;  // of any share above zero
  double oldest_y = kUnknown;
  double sd_y = kUnknown;  // from deviations about the mean
  std::array<double, kQuantiles.size()> quantiles_y{
      kUnknown, kUnknown, kUnknown};    // least age at which the cumulated share reaches each of kQuantiles
  double mean_by_alcohol_y = kUnknown;  // weighted by pure alcohol
  double mean_by_solids_y = kUnknown;   // weighted by litres as entered: what does not evaporate
  double unknown_fraction = 0.0;        // of the litres: wine of unknown age
  double mean_at_least_y = kUnknown;
  double youngest_at_least_y = kUnknown;
  double oldest_at_least_y = kUnknown;
};

/// Every parcel with a share above zero, oldest vintage first. `day`: day number (calendar.h). Empty for no wine.
std::vector<Share> shares_of(const Timeline& line, Clock clock, const Parcelled& wine, int day);
AgeSummary age_of(const Timeline& line, Clock clock, const Parcelled& wine, int day);

/// The official quotient: pure alcohol of all tiers just before (or after) a draw over the pure alcohol of all draws of
/// that calendar year. A quotient, not an age. Unknown where the strength is.
double stock_over_draw_y(const Trajectory& trajectory, const DrawRecord& draw, double tiers_alcohol_l);

}  // namespace tierce
