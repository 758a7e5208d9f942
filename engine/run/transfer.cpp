#include "engine/run/transfer.h"

#include <algorithm>
#include <cmath>

namespace tierce {

namespace {

/// Plans a pour of `wanted_l` from tier k-1, which holds `held_l`, into tier k, or of what there is if the refill has a
/// stated volume. Returns what goes.
inline double pour_down(RefillPlan& plan, int k, double wanted_l, double held_l, double tolerance_l,
                        bool as_far_as_it_goes) {
  if (as_far_as_it_goes) wanted_l = std::min(wanted_l, held_l);
  const auto share = share_of(wanted_l, held_l, tolerance_l);
  if (!share) {
    if (!plan.short_of) plan.short_of = Shortage{k - 1, k, wanted_l - held_l};
    return 0.0;
  }
  if (*share <= 0.0) return 0.0;
  // Of a part, the litres asked for, not share x held: the next tier then need not wait for the division.
  const double litres = *share < 1.0 ? wanted_l : held_l;
  plan.pours.push_back({k - 1, k, litres, *share});
  plan.share[static_cast<std::size_t>(k - 1)] = *share;
  plan.all_give_some = plan.all_give_some && *share < 1.0;
  return litres;
}

/// Each tier gives to the next older one before it gets anything itself.
void plan_oldest_first(const Refill& refill, int tiers, const double* volume_l, const double* target_l,
                       const double* tolerance_l, RefillPlan& plan) {
  double into_l = 0.0;    // what must enter a tier: its own need and that of all older tiers
  double passed_l = 0.0;  // what the tier has just given to the older one, which may be less than that one needed
  for (int k = tiers - 1; k >= 1; --k) {
    const double need_l = needed_l(volume_l[k], target_l[k], tolerance_l[k]);
    into_l += need_l;
    passed_l = pour_down(plan, k, need_l + passed_l, volume_l[k - 1], tolerance_l[k - 1], refill.volume_l.has_value());
  }
  plan.new_wine_l = refill.volume_l.value_or(into_l + needed_l(volume_l[0], target_l[0], tolerance_l[0]));
  plan.all_give_some = plan.all_give_some && static_cast<int>(plan.pours.size()) == tiers - 1;
}

/// The new wine first; each tier then gives to the next older one what that and all older ones need.
void plan_youngest_first(const Refill& refill, int tiers, const double* volume_l, const double* target_l,
                         const double* tolerance_l, RefillPlan& plan) {
  const auto into_l = [&](int first) {
    double sum_l = 0.0;
    for (int k = tiers - 1; k >= first; --k) sum_l += needed_l(volume_l[k], target_l[k], tolerance_l[k]);
    return sum_l;
  };
  plan.new_wine_l = refill.volume_l.value_or(into_l(0));
  double held_l = volume_l[0] + plan.new_wine_l;  // by the tier that gives
  for (int k = 1; k < tiers; ++k)
    held_l = volume_l[k] + pour_down(plan, k, into_l(k), held_l, tolerance_l[k - 1], refill.volume_l.has_value());
}

}  // namespace

void plan_refill(const Refill& refill, const Volumes& volume_l, const Volumes& target_l, const Volumes& tolerance_l,
                 RefillPlan& plan) {
  plan.pours.clear();
  plan.short_of.reset();
  plan.share.resize(std::max<std::size_t>(volume_l.size(), kSharesAtLeast));  // the last row and those beyond: none
  plan.new_wine_first = refill.order == RefillOrder::youngest_first;
  plan.all_give_some = !plan.new_wine_first;
  (plan.new_wine_first ? plan_youngest_first : plan_oldest_first)(
      refill, static_cast<int>(volume_l.size()), volume_l.data(), target_l.data(), tolerance_l.data(), plan);
}

RefillPlan plan_refill(const Refill& refill, const Volumes& volume_l, const Volumes& target_l,
                       const Volumes& tolerance_l) {
  RefillPlan plan;
  plan_refill(refill, volume_l, target_l, tolerance_l, plan);
  return plan;
}

}  // namespace tierce
