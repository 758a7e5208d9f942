#include "engine/strength.h"

#include <algorithm>
#include <cmath>
#include <map>

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
  std::map<int, double> last_pct;  // by row
  for (std::size_t i = 0; i < draws.size(); ++i) {
    const double now_pct = strength_of(draws[i]);
    if (!is_known(now_pct)) continue;
    double& before_pct = last_pct.try_emplace(draws[i].row, now_pct).first->second;
    for (const StrengthBoundary& boundary : boundaries)
      if ((before_pct > boundary.pct) != (now_pct > boundary.pct))
        found.push_back({i, boundary, now_pct > boundary.pct});
    before_pct = now_pct;
  }
  return found;
}

std::size_t first_outside(const std::vector<DrawRecord>& draws, double stated_pct, double tolerance_pct) {
  for (std::size_t i = 0; i < draws.size(); ++i)
    if (std::abs(strength_of(draws[i]) - stated_pct) > tolerance_pct) return i;
  return draws.size();
}

}  // namespace tierce
