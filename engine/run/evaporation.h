// What the wood takes: how much of a row's volume goes in a time, and with what strength.
#pragma once

#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "engine/book/calendar.h"
#include "engine/book/scenario.h"
#include "engine/wine/vapour.h"

namespace tierce {

/// Part of the volume that is left after `years` of a loss of `fraction_per_year` (0..1; negative: a gain),
/// compounding: (1-e)^t. Design decision 3; "evap is per year and compounds", reference rows F66 to F69 in
/// tests/data/closed_form_cases.csv.
double kept_after(double fraction_per_year, double years);

/// kept_after() for a run, which remembers: a year has few different periods, all tiers age through them, and a power
/// takes as long as a row of lots.
class Powers {
 public:
  double kept_after(double fraction_per_year, double years) {
    // The place follows from the numbers alone; two that share one only cost each other a power.
    const auto bits = std::bit_cast<std::uint64_t>(fraction_per_year + 3.0 * years);
    Known& known = known_[(bits * 0x9E3779B97F4A7C15u) >> 59];
    const bool is_it = known.years == years && known.fraction_per_year == fraction_per_year;
    return is_it ? known.kept : work_out(known, fraction_per_year, years);
  }

 private:
  struct Known {
    double fraction_per_year = -1.0;
    double years = -1.0;
    double kept = 1.0;
  };
  static double work_out(Known& known, double fraction_per_year, double years);
  std::array<Known, 32> known_{};
};

/// The same for one loss and whole days, at most a year of them.
class DailyPowers {
 public:
  static constexpr int kMostDays = 366;
  double kept_after(double fraction_per_year, int days) {
    if (fraction_per_year != fraction_per_year_) forget(fraction_per_year);
    double& kept = kept_[static_cast<std::size_t>(days)];
    return is_known(kept) ? kept : kept = tierce::kept_after(fraction_per_year, years_between_days(0, days));
  }

 private:
  void forget(double fraction_per_year) {
    fraction_per_year_ = fraction_per_year;
    kept_.assign(kMostDays + 1, kUnknown);
  }
  double fraction_per_year_ = kUnknown;
  std::vector<double> kept_;
};

/// Litres of pure alcohol that go with `lost_l` of a tier's `held_l` (negative: found in excess), of which
/// `held_alcohol_l` is pure alcohol. At the stated vapour's strength; where none is stated, at that which the cellar's
/// air draws, following the wine's strength (vapour.h). Unknown where the strength is; empty where the air or the
/// strength lies outside that model.
std::optional<double> alcohol_lost_l(const Cellar& cellar, const Tier& tier, double held_l, double held_alcohol_l,
                                     double lost_l, VapourCurves& curves);

/// The cellar's air, with the defaults of design decision 3 where nothing is stated.
CellarAir air_of(const Cellar& cellar);

/// Humidities between which the air tells the strength of a loss that is stated (design decision 3): a loss that does
/// not feel the air, with a vapour that does, drifts too far in dry or damp air.
constexpr double kDriestForStatedLoss = 0.65;
constexpr double kDampestForStatedLoss = 0.75;
/// The air that decides the vapour of a tier: the cellar's, and held between those two where the tier states its loss.
CellarAir air_for(const Cellar& cellar, const Tier& tier);

}  // namespace tierce
