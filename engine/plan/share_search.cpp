#include "engine/plan/share_search.h"

#include <algorithm>
#include <vector>

#include "engine/plan/bisect.h"
#include "engine/plan/crossing.h"

namespace tierce {
namespace {

constexpr double kLeastShare = 1e-9;  // as good as drawing nothing
constexpr int kMostHalvings = 200;

/// Parts of the largest share that are tried, from above, before the last bracket is refined.
constexpr double kParts[] = {0.95, 0.9,  0.85, 0.8,  0.75, 0.7,  0.65, 0.6,  0.55,  0.5,  0.45, 0.4, 0.35,
                             0.3,  0.25, 0.2,  0.15, 0.1,  0.05, 0.02, 0.01, 0.005, 1e-3, 1e-4, 1e-6};

/// Shares with which a habit is tried first, until one can be kept up.
constexpr double kFirstTries[] = {0.2, 0.1, 0.05, 0.3, 0.15, 0.25, 0.4, 0.02, 0.01, 0.5, 0.001, 0.7, 0.9, kLeastShare};

}  // namespace

const ShareTrial& ShareSearch::at(double share) {
  const auto known = known_.find(share);
  if (known != known_.end()) return known->second;
  ShareTrial trial = run_(share);
  trial.share = share;
  return known_.emplace(share, std::move(trial)).first->second;
}

void ShareSearch::find_bounds() {
  if (bounded_) return;
  bounded_ = true;
  const auto can = [&](double share) { return at(share).goes; };
  const auto* goes = std::find_if(std::begin(kFirstTries), std::end(kFirstTries), can);
  if (goes == std::end(kFirstTries)) return;
  const double near = std::ldexp(1.0, 1 - bits_);
  most_ = can(1.0) ? 1.0 : bisect(*goes, 1.0, kMostHalvings, can, near);
  least_ = can(kLeastShare) ? kLeastShare : bisect(*goes, kLeastShare, kMostHalvings, can, near);
}

double ShareSearch::most() {
  find_bounds();
  return most_;
}

double ShareSearch::least() {
  find_bounds();
  return least_;
}

NoLongRun ShareSearch::why_none() { return is_known(most()) ? NoLongRun{} : at(kFirstTries[0]).why_not; }

NoLongRun ShareSearch::why_no_less() { return is_known(least()) ? at(kLeastShare).why_not : NoLongRun{}; }

/// Between a share that keeps the age and a larger one that does not. Youngest ages go in steps, others are smooth: the
/// method halves where nothing better is to be had. The end that keeps the age is the answer.
double ShareSearch::refine(const AgeOfTrial& age, double wanted_y, double keeps, double fails) {
  const auto above = [&](double share) {
    const double found_y = at(share).goes ? age(at(share)) : kUnknown;
    return is_known(found_y) ? found_y - wanted_y : -wanted_y;
  };
  if (above(keeps) <= 0.0) return keeps;  // it has the age just so
  const auto found = crossing(above, keeps, fails, bits_);
  if (above(found.second) >= 0.0) return found.second;
  return above(found.first) >= 0.0 ? found.first : keeps;
}

LargestShare ShareSearch::largest(const AgeOfTrial& age, double wanted_y) {
  LargestShare result{.why_not = why_none()};
  if (!is_known(most())) return result;
  const auto y_at = [&](double share) { return age(at(share)); };
  result.highest_y = y_at(least_);
  result.at = at(most_);
  result.limit = LargestShare::Limit::wine;
  if (y_at(most_) >= wanted_y - kSameAgeY) return result;
  std::vector<double> tried;
  for (const double part : kParts)
    if (part * most_ > least_) tried.push_back(part * most_);
  tried.push_back(least_);
  double fails = most_, best = most_;
  for (const double share : tried) {
    const double found_y = y_at(share);
    if (found_y >= wanted_y - kSameAgeY) {
      result.limit = LargestShare::Limit::age;
      result.at = at(refine(age, wanted_y, share, fails));
      return result;
    }
    if (!is_known(found_y)) continue;
    fails = share;
    if (!(y_at(best) >= found_y)) best = share;
  }
  result.limit = is_known(y_at(best)) ? LargestShare::Limit::never : LargestShare::Limit::unknown;
  result.at = at(best);
  return result;
}

}  // namespace tierce
