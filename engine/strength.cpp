#include "engine/strength.h"

#include <cmath>

namespace tierce {

const std::vector<StrengthBoundary>& strength_boundaries() {
  static const std::vector<StrengthBoundary> kBoundaries = {
      {14.0, "US class and label tolerance of wine", "27 CFR 4.36(c)"},
      {16.0, "US tax class of still wine", "26 USC 5041(b)"},
      {21.0, "US tax class of still wine", "26 USC 5041(b)"},
      {22.0, "most that EU liqueur wine may have", "Reg. (EU) 1308/2013 annex VII part II (3)"},
      {24.0, "taxed in the US as spirits above this", "26 USC 5041(a)"},
  };
  return kBoundaries;
}

double strength_of(const DrawRecord& draw) { return 100.0 * draw.wine.alcohol.sum() / draw.volume_l; }

std::vector<Crossing> crossings(const std::vector<DrawRecord>& draws) {
  std::vector<Crossing> found;
  for (std::size_t i = 1; i < draws.size(); ++i)
    for (const StrengthBoundary& boundary : strength_boundaries()) {
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
