#include "engine/transfer.h"

#include <algorithm>
#include <cmath>

namespace tierce {

namespace {

/// Plans a pour of `wanted_l` from tier k-1, which holds `held_l`, into tier k, or of what there is if the refill has a
/// stated volume. Returns what goes.
inline double pour_down(RefillPlan& plan, std::size_t k, double wanted_l, double held_l, double tolerance_l,
                        bool as_far_as_it_goes) {
  if (as_far_as_it_goes) wanted_l = std::min(wanted_l, held_l);
  const int to = static_cast<int>(k);
  const auto share = share_of(wanted_l, held_l, tolerance_l);
  if (!share) {
    if (!plan.short_of) plan.short_of = Shortage{to - 1, to, wanted_l - held_l};
    return 0.0;
  }
  if (*share <= 0.0) return 0.0;
  const double litres = *share < 1.0 ? wanted_l : held_l;
  plan.pours.push_back({to - 1, to, litres, *share});
  plan.share[k - 1] = *share;
  plan.all_give_some = plan.all_give_some && *share < 1.0;
  return litres;
}

inline double need(const Volumes& volume_l, const Volumes& target_l, const Volumes& tolerance_l, std::size_t k) {
  const double need_l = target_l[k] - volume_l[k];
  return need_l > tolerance_l[k] ? need_l : 0.0;
}

}  // namespace

void plan_refill(const Refill& refill, const Volumes& volume_l, const Volumes& target_l, const Volumes& tolerance_l,
                 RefillPlan& plan) {
  const std::size_t tiers = volume_l.size();
  const bool stated = refill.volume_l.has_value();
  plan.pours.clear();
  plan.short_of.reset();
  plan.share.resize(tiers);
  plan.new_wine_first = refill.order == RefillOrder::youngest_first;
  double into_l = 0.0;  // what must enter a tier: its own need and that of all older tiers
  plan.all_give_some = !plan.new_wine_first;
  if (!plan.new_wine_first) {
    plan.share.back() = 0.0;
    double passed_l = 0.0;  // what the tier has just given to the older one, which may be less than that one needed
    for (std::size_t k = tiers - 1; k >= 1; --k) {
      const double need_l = need(volume_l, target_l, tolerance_l, k);
      into_l += need_l;
      passed_l = pour_down(plan, k, need_l + passed_l, volume_l[k - 1], tolerance_l[k - 1], stated);
    }
    plan.new_wine_l = refill.volume_l.value_or(into_l + need(volume_l, target_l, tolerance_l, 0));
    plan.all_give_some = plan.all_give_some && plan.pours.size() == tiers - 1;
    return;
  }
  for (std::size_t k = tiers; k-- > 0;) into_l += need(volume_l, target_l, tolerance_l, k);
  plan.new_wine_l = refill.volume_l.value_or(into_l);
  auto& now_l = plan.now_l;
  now_l.assign(volume_l.begin(), volume_l.end());
  now_l[0] += plan.new_wine_l;
  for (std::size_t k = 1; k < tiers; ++k) {
    into_l = 0.0;
    for (std::size_t older = tiers; older-- > k;) into_l += need(volume_l, target_l, tolerance_l, older);
    const double poured_l = pour_down(plan, k, into_l, now_l[k - 1], tolerance_l[k - 1], stated);
    now_l[k - 1] -= poured_l;
    now_l[k] += poured_l;
  }
}

RefillPlan plan_refill(const Refill& refill, const Volumes& volume_l, const Volumes& target_l,
                       const Volumes& tolerance_l) {
  RefillPlan plan;
  plan_refill(refill, volume_l, target_l, tolerance_l, plan);
  return plan;
}

Eigen::MatrixXd transfer_matrix(const std::vector<Pour>& pours, int rows) {
  Eigen::MatrixXd matrix = Eigen::MatrixXd::Identity(rows, rows);
  for (const Pour& pour : pours) {
    matrix.row(pour.to) += pour.share * matrix.row(pour.from);
    matrix.row(pour.from) *= 1.0 - pour.share;
  }
  return matrix;
}

}  // namespace tierce
