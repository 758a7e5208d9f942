#include "cli/report/share_search.h"

#include <boost/math/tools/roots.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>

namespace tierce {
namespace {

namespace tools = boost::math::tools;

constexpr std::uintmax_t kMostSteps = 200;

/// Parts of the largest share that are tried, from above, before the last bracket is refined.
constexpr double kParts[] = {0.95, 0.9,  0.85, 0.8,  0.75, 0.7,  0.65, 0.6,  0.55,  0.5,  0.45, 0.4, 0.35,
                             0.3,  0.25, 0.2,  0.15, 0.1,  0.05, 0.02, 0.01, 0.005, 1e-3, 1e-4, 1e-6};

/// Shares with which a habit is tried first, until one can be kept up.
constexpr double kFirstTries[] = {0.2, 0.1, 0.05, 0.3, 0.15, 0.25, 0.4, 0.02, 0.01, 0.5, 0.001, 0.7, 0.9, 1e-9};

/// Where a property of the share ends, between a share that has it and one that does not; the end that has it.
template <class Has>
double edge(double has, double has_not, int bits, const Has& property) {
  const auto sign = [&](double share) { return property(share) ? 1.0 : -1.0; };
  const double low = std::min(has, has_not), high = std::max(has, has_not);
  std::uintmax_t steps = kMostSteps;
  const auto found = tools::bisect(sign, low, high, tools::eps_tolerance<double>(bits), steps);
  return has < has_not ? found.first : found.second;
}

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
  double goes = kUnknown;
  for (const double share : kFirstTries) {
    if (!at(share).goes) {
      if (why_none_.empty()) why_none_ = at(share).why_not;
      continue;
    }
    goes = share;
    break;
  }
  if (!is_known(goes)) return;
  const auto can = [&](double share) { return at(share).goes; };
  most_ = can(1.0) ? 1.0 : edge(goes, 1.0, bits_, can);
  least_ = can(kLeastShare) ? kLeastShare : edge(goes, kLeastShare, bits_, can);
}

double ShareSearch::most() {
  find_bounds();
  return most_;
}

double ShareSearch::least() {
  find_bounds();
  return least_;
}

/// Between a share that keeps the age and a larger one that does not. Youngest ages go in steps, others are smooth: the
/// method halves where nothing better is to be had. The end that keeps the age is the answer.
double ShareSearch::refine(const AgeOfTrial& age, double wanted_y, double keeps, double fails) {
  const auto above = [&](double share) {
    const double found_y = at(share).goes ? age(at(share)) : kUnknown;
    return is_known(found_y) ? found_y - wanted_y : -wanted_y;
  };
  if (above(keeps) <= 0.0) return keeps;  // it has the age just so
  std::uintmax_t steps = kMostSteps;
  const auto found = tools::toms748_solve(above, keeps, fails, tools::eps_tolerance<double>(bits_), steps);
  if (above(found.second) >= 0.0) return found.second;
  return above(found.first) >= 0.0 ? found.first : keeps;
}

LargestShare ShareSearch::largest(const AgeOfTrial& age, double wanted_y) {
  LargestShare result;
  find_bounds();
  if (!is_known(most_)) {
    result.why_not = why_none_;
    return result;
  }
  result.highest_y = age(at(least_));
  const auto keeps = [&](double share) { return age(at(share)) >= wanted_y - kSameAgeY; };
  if (keeps(most_)) {
    result.limit = LargestShare::Limit::wine;
    result.at = at(most_);
    return result;
  }
  double fails = most_, best = most_;
  bool any_known = is_known(age(at(most_)));
  const auto look_at = [&](double share) {
    if (keeps(share)) return true;
    const double found_y = age(at(share));
    if (is_known(found_y)) fails = share;
    if (is_known(found_y) && !(age(at(best)) >= found_y)) best = share;
    any_known = any_known || is_known(found_y);
    return false;
  };
  double found = kUnknown;
  for (const double part : kParts) {
    const double share = part * most_;
    if (share <= least_ || is_known(found)) break;
    if (look_at(share)) found = share;
  }
  if (!is_known(found) && look_at(least_)) found = least_;
  if (is_known(found)) {
    result.limit = LargestShare::Limit::age;
    result.at = at(refine(age, wanted_y, found, fails));
    return result;
  }
  result.limit = any_known ? LargestShare::Limit::never : LargestShare::Limit::unknown;
  result.at = at(best);
  return result;
}

}  // namespace tierce
