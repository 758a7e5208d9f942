// Conservation is law: opening + in = held + drawn + evaporated + gauge + lost, for every lot and for what it carries.
#pragma once

#include <array>

#include "engine/run/trajectory.h"

namespace tierce {

/// One balance over a whole run. Every figure may be unknown where the file does not state what it needs.
struct Balance {
  std::array<double, kFlowCount> flow{};
  double held = 0.0;
  double gap() const;         // what does not balance
  double throughput() const;  // opening + in + dosed: what the gap is measured against
};

/// The part of the throughput that a gap may reach (design decision 15).
constexpr double kBalanceTolerance = 1e-9;

Balance balance_of_volume(const Trajectory& trajectory);              // litres
Balance balance_of_alcohol(const Trajectory& trajectory);             // litres of pure alcohol
Balance balance_of_parcel(const Trajectory& trajectory, int parcel);  // litres
Balance balance_of(const Trajectory& trajectory, Solute solute);      // grams; SO2 and acetaldehyde in milligrams

/// Largest gap of any parcel, litres.
double largest_parcel_gap_l(const Trajectory& trajectory);

}  // namespace tierce
