// One refill or move and the volumes now become a list of pours.
// Volumes first: once the pours are known, all lots move alike (each pour is linear in the lots).
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "engine/book/scenario.h"

namespace tierce {

/// `litres` go from one row to another; `share` is their part of what `from` holds at that moment.
struct Pour {
  int from = -1;
  int to = -1;
  double litres = 0.0;
  double share = 0.0;
};

/// A row that cannot give what another needs.
struct Shortage {
  int from = -1;
  int to = -1;
  double missing_l = 0.0;
};

/// Litres by tier, youngest first.
using Volumes = std::span<const double>;

/// A plan has room for as many shares, so that four tiers at a time can be poured.
constexpr std::size_t kSharesAtLeast = 4;

struct RefillPlan {
  std::vector<Pour> pours;      // in the order in which they are done
  double new_wine_l = 0.0;      // into row 0
  bool new_wine_first = false;  // before the pours (youngest first) or after them (oldest first)
  std::optional<Shortage> short_of;
  bool all_give_some = false;  // oldest first, and each tier but the oldest gives some of its wine and keeps some
  std::vector<double> share;   // then: by tier, what it gives; the oldest nothing, and zeros up to kSharesAtLeast
};

/// Volumes are compared to this part of a row's capacity (design decision 6).
constexpr double kVolumeTolerance = 1e-9;

/// What one refill moves (design decision 6). `volume_l` and `target_l`: litres of each tier, youngest first;
/// `tolerance_l`: of each tier.
RefillPlan plan_refill(const Refill& refill, const Volumes& volume_l, const Volumes& target_l,
                       const Volumes& tolerance_l);

/// The same into a plan that is there already, whose memory is used again.
void plan_refill(const Refill& refill, const Volumes& volume_l, const Volumes& target_l, const Volumes& tolerance_l,
                 RefillPlan& plan);

/// Litres that a tier lacks of its target; nothing within the tolerance.
inline double needed_l(double volume_l, double target_l, double tolerance_l) {
  const double need_l = target_l - volume_l;
  return need_l > tolerance_l ? need_l : 0.0;
}

/// Some of what is held, and not all of it.
inline bool is_part(double wanted_l, double held_l, double tolerance_l) {
  return wanted_l > 0.0 && wanted_l < held_l - tolerance_l;
}

/// The part of `held_l` that `wanted_l` is: exactly 1 within `tolerance_l` of all, empty if more is wanted than is
/// held.
inline std::optional<double> share_of(double wanted_l, double held_l, double tolerance_l) {
  if (wanted_l > held_l + tolerance_l) return std::nullopt;
  if (wanted_l <= 0.0) return 0.0;
  return wanted_l >= held_l - tolerance_l ? 1.0 : wanted_l / held_l;
}

}  // namespace tierce
