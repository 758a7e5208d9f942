#include "engine/evaporation.h"

#include <algorithm>
#include <cmath>

namespace tierce {

double kept_after(double fraction_per_year, double years) { return std::pow(1.0 - fraction_per_year, years); }

double loss_of_vessels(std::span<const double> levels_l, double each_l) {
  double loss_l = 0.0;
  for (const double level_l : levels_l) loss_l += std::min(level_l, each_l);
  return loss_l;
}

void take_from_each_vessel(std::span<double> levels_l, double each_l) {
  for (double& level_l : levels_l) level_l -= std::min(level_l, each_l);
}

}  // namespace tierce
