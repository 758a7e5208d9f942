#include "engine/rules/strength.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/wine/alcoholometry.h"

namespace tierce {

namespace {

/// False for a rule that is for other products than the one stated.
bool may_be_for(const std::vector<Condition>& when, const std::map<std::string, std::string>& label) {
  const auto stated = label.find("product");
  return std::none_of(when.begin(), when.end(), [&](const Condition& condition) {
    return condition.fact == "product" && stated != label.end() &&
           std::find(condition.words.begin(), condition.words.end(), stated->second) == condition.words.end();
  });
}

}  // namespace

std::vector<StrengthBoundary> strength_boundaries(const RuleBook& book, const std::vector<std::string>& sets,
                                                  const std::map<std::string, std::string>& label) {
  std::vector<StrengthBoundary> boundaries;
  const auto counts = [&](const auto& one) {
    return !one.boundary.empty() && std::find(sets.begin(), sets.end(), one.set) != sets.end() &&
           may_be_for(one.when, label);
  };
  for (const Rule& rule : book.rules)
    if (counts(rule)) boundaries.push_back({rule.limit, rule.boundary, rule.source.where, rule.strength_at_c});
  for (const TaxClass& one : book.classes)
    if (counts(one)) boundaries.push_back({one.above_pct, one.boundary, one.source.where, one.strength_at_c});
  std::stable_sort(boundaries.begin(), boundaries.end(),
                   [](const StrengthBoundary& a, const StrengthBoundary& b) { return a.pct < b.pct; });
  return boundaries;
}

double strength_on_scale(double alcohol_pct, double temperature_c) {
  if (temperature_c == kStrengthC || !is_known(alcohol_pct)) return alcohol_pct;
  return alcohol_pct_at(alcohol_pct, temperature_c).value_or(kUnknown);
}

double strength_of(const DrawRecord& draw) { return 100.0 * draw.wine.alcohol.sum() / draw.volume_l; }

std::vector<Crossing> crossings(const std::vector<DrawRecord>& draws, const std::vector<StrengthBoundary>& boundaries) {
  std::vector<Crossing> found;
  std::map<int, double> last_pct;  // by row
  for (std::size_t i = 0; i < draws.size(); ++i) {
    const double now_pct = strength_of(draws[i]);
    if (!is_known(now_pct)) continue;
    double& before_pct = last_pct.try_emplace(draws[i].row, now_pct).first->second;
    for (const StrengthBoundary& boundary : boundaries) {
      const auto above = [&](double pct) { return strength_on_scale(pct, boundary.strength_at_c) > boundary.pct; };
      if (above(before_pct) != above(now_pct)) found.push_back({i, boundary, above(now_pct)});
    }
    before_pct = now_pct;
  }
  return found;
}

std::size_t first_outside(const std::vector<DrawRecord>& draws, double stated_pct, double tolerance_pct,
                          double strength_at_c) {
  for (std::size_t i = 0; i < draws.size(); ++i)
    if (std::abs(strength_on_scale(strength_of(draws[i]), strength_at_c) - stated_pct) > tolerance_pct) return i;
  return draws.size();
}

}  // namespace tierce
