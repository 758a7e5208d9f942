#include "engine/plan/filling.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>

namespace tierce {
namespace {

constexpr double kStepL = 0.1;        // in which brims are counted
constexpr double kOfAStep = 1e-6;     // a brim of 225.1 L may be held as 225.09999999999999
constexpr double kMostWork = 1.0e8;   // cells of the table of sums
constexpr double kVolumePart = 1e-9;  // volumes are the same to this part (design decision 6)

/// Vessels of one size.
struct Size {
  int units = 0;  // the brim, in whole steps
  int count = 0;
};

/// Several vessels of one size, taken together or not at all: with 1, 2, 4, ... of them any number can be taken.
struct Bundle {
  std::size_t size = 0;
  int vessels = 0;
  int units = 0;
};

std::vector<Bundle> bundles_of(const std::vector<Size>& sizes) {
  std::vector<Bundle> bundles;
  for (std::size_t i = 0; i < sizes.size(); ++i)
    for (int left = sizes[i].count, take = 1; left > 0; left -= take, take *= 2) {
      take = std::min(take, left);
      bundles.push_back({i, take, take * sizes[i].units});
    }
  return bundles;
}

/// For each sum of brims, the fewest vessels that make it, and which.
class Sums {
 public:
  explicit Sums(const std::vector<Size>& sizes) : sizes_(sizes), bundles_(bundles_of(sizes)) {
    int all = 0;
    for (const Bundle& bundle : bundles_) all += bundle.units;
    fewest_.assign(static_cast<std::size_t>(all) + 1, kNone);
    fewest_[0] = 0;
    for (const Bundle& bundle : bundles_) {
      auto& takes = taken_.emplace_back(fewest_.size(), false);
      for (int sum = all; sum >= bundle.units; --sum) {
        const int without = fewest_[index(sum - bundle.units)];
        if (without == kNone || without + bundle.vessels >= fewest_[index(sum)]) continue;
        fewest_[index(sum)] = without + bundle.vessels;
        takes[index(sum)] = true;
      }
    }
  }

  /// The least sum of at least `wanted`; empty if there is none.
  std::optional<int> least_from(int wanted) const {
    for (std::size_t sum = index(std::max(0, wanted)); sum < fewest_.size(); ++sum)
      if (fewest_[sum] != kNone) return static_cast<int>(sum);
    return std::nullopt;
  }

  /// Vessels of each size that make exactly `sum`; empty if none do.
  std::optional<std::vector<int>> counts_for(int sum) const {
    if (sum < 0 || index(sum) >= fewest_.size() || fewest_[index(sum)] == kNone) return std::nullopt;
    std::vector<int> counts(sizes_.size(), 0);
    for (std::size_t b = bundles_.size(); b-- > 0;) {
      if (!taken_[b][index(sum)]) continue;
      counts[bundles_[b].size] += bundles_[b].vessels;
      sum -= bundles_[b].units;
    }
    return counts;
  }

 private:
  static constexpr int kNone = std::numeric_limits<int>::max();
  static std::size_t index(int sum) { return static_cast<std::size_t>(sum); }

  const std::vector<Size>& sizes_;
  std::vector<Bundle> bundles_;
  std::vector<int> fewest_;
  std::vector<std::vector<bool>> taken_;  // by bundle and sum: taking it was better
};

/// The vessels by size, smallest first, in a step that all brims are whole multiples of.
struct Sorted {
  double step_l = kStepL;
  std::vector<Size> sizes{};
  std::vector<std::vector<std::size_t>> vessels{};  // of each size, in the order of the list
};

Sorted sorted_in(const std::vector<double>& brim_l, double step_l) {
  std::map<int, std::vector<std::size_t>> by_brim;
  int common = 0;
  for (std::size_t i = 0; i < brim_l.size(); ++i) {
    const int steps = static_cast<int>(std::floor(brim_l[i] / step_l + kOfAStep));
    if (steps == 0) continue;  // too small to count
    by_brim[steps].push_back(i);
    common = std::gcd(common, steps);
  }
  Sorted sorted{common * step_l};
  for (auto& [steps, vessels] : by_brim) {
    sorted.sizes.push_back({steps / common, static_cast<int>(vessels.size())});
    sorted.vessels.push_back(std::move(vessels));
  }
  return sorted;
}

double work_for(const Sorted& sorted) {
  double sum = 1.0;
  for (const Size& size : sorted.sizes) sum += static_cast<double>(size.units) * size.count;
  return sum * static_cast<double>(bundles_of(sorted.sizes).size());
}

/// Which vessels are used, and the size whose last used vessel is the part full one.
struct Choice {
  std::vector<int> used;  // of each size
  std::optional<std::size_t> part_full;
  int sum = 0;
};

/// With the least sum that holds the wine, no vessel used can be spared; so any may be the part full one, and in the
/// smallest one the least wine lies under air.
std::optional<Choice> choose(const std::vector<Size>& sizes, double wanted_units) {
  const Sums all(sizes);
  const auto sum = all.least_from(static_cast<int>(std::ceil(wanted_units - kOfAStep)));
  if (!sum) return std::nullopt;
  if (*sum - wanted_units <= kOfAStep) return Choice{*all.counts_for(*sum), std::nullopt, *sum};
  for (std::size_t i = 0; i < sizes.size(); ++i) {
    std::vector<Size> others = sizes;
    --others[i].count;
    const Sums rest(others);
    if (auto counts = rest.counts_for(*sum - sizes[i].units)) {
      ++(*counts)[i];
      return Choice{*counts, i, *sum};
    }
  }
  return std::nullopt;  // cannot be: the vessels of the least sum hold at least one
}

Filling evenly(const std::vector<double>& brim_l, double litres) {
  const double all_l = std::accumulate(brim_l.begin(), brim_l.end(), 0.0);
  Filling filling;
  for (std::size_t i = 0; i < brim_l.size(); ++i) {
    filling.level_l.push_back(std::min(brim_l[i], litres / all_l * brim_l[i]));
    if (litres > 0.0) filling.order.push_back(i);
  }
  filling.air_l = litres > 0.0 ? std::max(0.0, all_l - litres) : 0.0;
  return filling;
}

Filling full_first(const std::vector<double>& brim_l, const Sorted& by_size, const Choice& choice, double litres) {
  Filling filling;
  filling.level_l.assign(brim_l.size(), 0.0);
  double left_l = litres;
  for (std::size_t i = 0; i < by_size.sizes.size(); ++i)
    for (int n = 0; n < choice.used[i]; ++n) {
      const std::size_t vessel = by_size.vessels[i][static_cast<std::size_t>(n)];
      if (choice.part_full == i && n + 1 == choice.used[i]) {
        filling.part_full = vessel;
        continue;
      }
      filling.level_l[vessel] = by_size.sizes[i].units * by_size.step_l;
      left_l -= filling.level_l[vessel];
      filling.order.push_back(vessel);
    }
  std::sort(filling.order.begin(), filling.order.end());
  if (filling.part_full) {
    filling.level_l[*filling.part_full] = left_l;
    filling.order.push_back(*filling.part_full);
  } else if (!filling.order.empty()) {
    filling.level_l[filling.order.back()] += left_l;  // rounding, far below a drop
  }
  for (const std::size_t vessel : filling.order) filling.air_l += brim_l[vessel] - filling.level_l[vessel];
  return filling;
}

/// Too many different vessels to weigh all sums: the largest are filled, the smallest that will do takes the rest.
Filling largest_first(const std::vector<double>& brim_l, double litres) {
  std::vector<std::size_t> by_size(brim_l.size());
  std::iota(by_size.begin(), by_size.end(), std::size_t{0});
  std::stable_sort(by_size.begin(), by_size.end(), [&](std::size_t a, std::size_t b) { return brim_l[a] > brim_l[b]; });
  Filling filling;
  filling.level_l.assign(brim_l.size(), 0.0);
  double left_l = litres;
  for (const std::size_t vessel : by_size) {
    if (brim_l[vessel] > left_l) {
      if (left_l > 0.0) filling.part_full = vessel;  // a smaller one may follow
      continue;
    }
    if (filling.part_full) break;
    filling.level_l[vessel] = brim_l[vessel];
    filling.order.push_back(vessel);
    left_l -= brim_l[vessel];
  }
  if (filling.part_full) {
    filling.level_l[*filling.part_full] = left_l;
    filling.order.push_back(*filling.part_full);
    filling.air_l = brim_l[*filling.part_full] - left_l;
  }
  return filling;
}

}  // namespace

std::optional<Filling> fill_vessels(const std::vector<double>& brim_l, double litres, Level level) {
  const double all_l = std::accumulate(brim_l.begin(), brim_l.end(), 0.0);
  if (!(litres <= all_l * (1.0 + kVolumePart))) return std::nullopt;
  if (!(litres > 0.0)) {
    Filling empty;
    empty.level_l.assign(brim_l.size(), 0.0);
    return empty;
  }
  if (level == Level::even) return evenly(brim_l, litres);
  const Sorted by_size = sorted_in(brim_l, kStepL);
  if (work_for(by_size) > kMostWork) return largest_first(brim_l, litres);
  if (by_size.sizes.empty()) return evenly(brim_l, litres);
  const auto choice = choose(by_size.sizes, litres / by_size.step_l);
  return choice ? full_first(brim_l, by_size, *choice, litres) : evenly(brim_l, litres);
}

std::vector<VesselPour> pours_between(const std::vector<double>& now_l, const std::vector<double>& wanted_l,
                                      double step_l) {
  std::vector<double> over_l(now_l.size()), left_l = now_l;
  for (std::size_t i = 0; i < now_l.size(); ++i) over_l[i] = now_l[i] - wanted_l[i];
  std::vector<VesselPour> pours;
  for (std::size_t n = 1; n < now_l.size(); ++n) {  // each pour brings one vessel to its level
    const auto most = static_cast<std::size_t>(std::max_element(over_l.begin(), over_l.end()) - over_l.begin());
    const auto least = static_cast<std::size_t>(std::min_element(over_l.begin(), over_l.end()) - over_l.begin());
    const double litres = std::min(over_l[most], -over_l[least]);
    over_l[most] -= litres;
    over_l[least] += litres;
    double poured_l = std::round(litres / step_l) * step_l;
    const bool to_be_empty = wanted_l[most] == 0.0 && over_l[most] <= step_l;
    if (to_be_empty || poured_l > left_l[most]) poured_l = left_l[most];
    if (!(litres > 0.0) || !(poured_l > 0.0)) continue;
    left_l[most] -= poured_l;
    pours.push_back({most, least, poured_l});
  }
  return pours;
}

}  // namespace tierce
