#include "engine/transfer.h"

#include <algorithm>
#include <cmath>

namespace tierce {

std::optional<double> share_of(double wanted_l, double held_l, double tolerance_l) {
  if (wanted_l > held_l + tolerance_l) return std::nullopt;
  if (wanted_l <= 0.0) return 0.0;
  return wanted_l >= held_l - tolerance_l ? 1.0 : wanted_l / held_l;
}

namespace {

/// Pours `wanted_l` from tier k-1 into tier k, or what there is if the refill has a stated volume. Returns what went.
double pour_down(RefillPlan& plan, Eigen::VectorXd& volume_l, int k, double wanted_l, double tolerance_l,
                 bool as_far_as_it_goes) {
  const double held_l = volume_l[k - 1];
  if (as_far_as_it_goes) wanted_l = std::min(wanted_l, held_l);
  const auto share = share_of(wanted_l, held_l, tolerance_l);
  if (!share) {
    if (!plan.short_of) plan.short_of = Shortage{k - 1, k, wanted_l - held_l};
    return 0.0;
  }
  if (*share <= 0.0) return 0.0;
  const double litres = *share * held_l;
  plan.pours.push_back({k - 1, k, litres, *share});
  volume_l[k - 1] -= litres;
  volume_l[k] += litres;
  return litres;
}

double need(const Volumes& volume_l, const Volumes& target_l, const Volumes& tolerance_l, Eigen::Index k) {
  const double need_l = target_l[k] - volume_l[k];
  return need_l > tolerance_l[k] ? need_l : 0.0;
}

}  // namespace

void plan_refill(const Refill& refill, const Volumes& volume_l, const Volumes& target_l, const Volumes& tolerance_l,
                 RefillPlan& plan) {
  const Eigen::Index tiers = volume_l.size();
  const bool stated = refill.volume_l.has_value();
  plan.pours.clear();
  plan.short_of.reset();
  plan.new_wine_first = refill.order == RefillOrder::youngest_first;
  Eigen::VectorXd& now_l = plan.now_l;
  now_l = volume_l;
  double into_l = 0.0;  // what must enter a tier: its own need and that of all older tiers
  for (Eigen::Index k = tiers - 1; k >= 0; --k) into_l += need(volume_l, target_l, tolerance_l, k);
  plan.new_wine_l = refill.volume_l.value_or(into_l);
  if (plan.new_wine_first) {
    now_l[0] += plan.new_wine_l;
    for (Eigen::Index k = 1; k < tiers; ++k) {
      into_l = 0.0;
      for (Eigen::Index older = tiers - 1; older >= k; --older) into_l += need(volume_l, target_l, tolerance_l, older);
      pour_down(plan, now_l, static_cast<int>(k), into_l, tolerance_l[k - 1], stated);
    }
    return;
  }
  double passed_l = 0.0;  // what the tier has just given to the older one, which may be less than that one needed
  for (Eigen::Index k = tiers - 1; k >= 1; --k) {
    const double wanted_l = need(volume_l, target_l, tolerance_l, k) + passed_l;
    passed_l = pour_down(plan, now_l, static_cast<int>(k), wanted_l, tolerance_l[k - 1], stated);
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
