#include "engine/run/evaporation.h"

#include <algorithm>
#include <cmath>

namespace tierce {

double kept_after(double fraction_per_year, double years) { return std::pow(1.0 - fraction_per_year, years); }

double Powers::work_out(Known& known, double fraction_per_year, double years) {
  known = {fraction_per_year, years, tierce::kept_after(fraction_per_year, years)};
  return known.kept;
}

CellarAir air_of(const Cellar& cellar) {
  CellarAir air;
  if (is_known(cellar.temperature_c)) air.temperature_c = cellar.temperature_c;
  if (is_known(cellar.humidity_fraction)) air.humidity = cellar.humidity_fraction;
  if (is_known(cellar.neutral_humidity_fraction)) air.neutral_humidity = cellar.neutral_humidity_fraction;
  return air;
}

CellarAir air_for(const Cellar& cellar, const Tier& tier) {
  CellarAir air = air_of(cellar);
  if (tier.evaporation.kind != Evaporation::Kind::air)
    air.humidity = std::clamp(air.humidity, kDriestForStatedLoss, kDampestForStatedLoss);
  return air;
}

std::optional<double> alcohol_lost_l(const Cellar& cellar, const Tier& tier, double held_l, double held_alcohol_l,
                                     double lost_l, VapourCurves& curves) {
  if (tier.vapour_stated) return lost_l * tier.vapour_pct / 100.0;
  if (!is_known(held_alcohol_l)) return kUnknown;
  if (held_alcohol_l == 0.0) return 0.0;  // only water leaves
  const auto left_pct =
      strength_after_loss_pct(100.0 * held_alcohol_l / held_l, lost_l / held_l, curves.in(air_for(cellar, tier)));
  if (!left_pct) return std::nullopt;
  return held_alcohol_l - (held_l - lost_l) * *left_pct / 100.0;
}

}  // namespace tierce
