#include "engine/strength.h"

#include <algorithm>
#include <cmath>

namespace tierce {

std::vector<StrengthBoundary> strength_boundaries(const RuleBook& book) {
  std::vector<StrengthBoundary> boundaries;
  for (const Rule& rule : book.rules)
    if (!rule.boundary.empty()) boundaries.push_back({rule.limit, rule.boundary, rule.source.where});
  for (const TaxClass& one : book.classes)
    if (!one.boundary.empty()) boundaries.push_back({one.above_pct, one.boundary, one.source.where});
  std::stable_sort(boundaries.begin(), boundaries.end(),
                   [](const StrengthBoundary& a, const StrengthBoundary& b) { return a.pct < b.pct; });
  return boundaries;
}

double strength_of(const DrawRecord& draw) { return 100.0 * draw.wine.alcohol.sum() / draw.volume_l; }

std::vector<Crossing> crossings(const std::vector<DrawRecord>& draws, const std::vector<StrengthBoundary>& boundaries) {
  std::vector<Crossing> found;
  for (std::size_t i = 1; i < draws.size(); ++i)
    for (const StrengthBoundary& boundary : boundaries) {
      const bool before = strength_of(draws[i - 1]) > boundary.pct, now = strength_of(draws[i]) > boundary.pct;
      if (before != now && is_known(strength_of(draws[i - 1])) && is_known(strength_of(draws[i])))
        found.push_back({i, boundary, now});
    }
  return found;
}

std::size_t first_outside(const std::vector<DrawRecord>& draws, double stated_pct, double tolerance_pct) {
  for (std::size_t i = 0; i < draws.size(); ++i)
    if (std::abs(strength_of(draws[i]) - stated_pct) > tolerance_pct) return i;
  return draws.size();
}

}  // namespace tierce
