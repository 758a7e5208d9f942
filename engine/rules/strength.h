// Where the strength drifts: the draws at which it passes from one class into another, or leaves what a label states.
#pragma once

#include <cstddef>
#include <map>
#include <string>
#include <vector>

#include "engine/rules/rule.h"
#include "engine/run/trajectory.h"

namespace tierce {

/// A strength at which a wine changes its class. The strength itself belongs to the lower side.
struct StrengthBoundary {
  double pct = 0.0;       // %vol
  std::string meaning{};  // what changes there
  std::string source{};   // where the text stands
  double strength_at_c = kStrengthC;
};
/// Those that rules and classes of these sets name, weakest first. `label`: what the wine is stated to be, whose
/// product some are not for.
std::vector<StrengthBoundary> strength_boundaries(const RuleBook& book, const std::vector<std::string>& sets,
                                                  const std::map<std::string, std::string>& label);

/// The first draw on the other side of a boundary than the last draw from the same tier or tank of which the strength
/// is known, by unrounded strengths.
struct Crossing {
  std::size_t draw = 0;  // index into Trajectory::draws
  StrengthBoundary boundary;
  bool upward = false;
};
std::vector<Crossing> crossings(const std::vector<DrawRecord>& draws, const std::vector<StrengthBoundary>& boundaries);

/// Index of the first draw whose strength, on the scale of a temperature, differs from `stated_pct` by more than
/// `tolerance_pct`; draws.size() if none.
std::size_t first_outside(const std::vector<DrawRecord>& draws, double stated_pct, double tolerance_pct,
                          double strength_at_c = kStrengthC);

/// A strength at 20 °C on the scale of another temperature; unknown stays unknown.
double strength_on_scale(double alcohol_pct, double temperature_c);

double strength_of(const DrawRecord& draw);  // %vol, unrounded

}  // namespace tierce
