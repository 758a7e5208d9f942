#include "engine/vapour.h"

#include <cmath>

#include "engine/alcoholometry.h"

namespace tierce {
namespace {

constexpr double kEthanolGramsPerMole = 46.068;  // standard atomic weights, rounded
constexpr double kWaterGramsPerMole = 18.015;
constexpr double kKpaPerBar = 100.0;
constexpr double kKpaPerMmHg = 0.133322;
constexpr double kZeroC = 273.15;
constexpr double kVanLaar12 = 1.400;
constexpr double kVanLaar21 = 1.295;
constexpr double kStrongestWinePct = 40.0;
constexpr double kReferencePct = 20.0;  // where the selectivity is set
constexpr double kReferenceC = 20.0;
constexpr double kLongestStep = 0.01;  // in ln V: a Runge-Kutta step of fourth order errs by some 1e-12 of the strength

std::optional<double> mole_fraction(double alcohol_pct) {
  const auto mass = mass_fraction_from_alcohol_pct(alcohol_pct);
  if (!mass) return std::nullopt;
  const double ethanol = *mass / kEthanolGramsPerMole;
  return ethanol / (ethanol + (1.0 - *mass) / kWaterGramsPerMole);
}

std::optional<double> strength_of_moles(double ethanol, double water) {
  const double grams = ethanol * kEthanolGramsPerMole;
  return alcohol_pct_from_mass_fraction(grams / (grams + water * kWaterGramsPerMole));
}

double ethanol_over_wine_kpa(double x, double temperature_c) {
  return x * ethanol_activity(x) * ethanol_vapour_pressure_kpa(temperature_c);
}
double water_over_wine_kpa(double x, double temperature_c) {
  return (1.0 - x) * water_activity(x) * water_vapour_pressure_kpa(temperature_c);
}

/// Change of the strength, in %vol, for each unit that ln V falls.
std::optional<double> drift(double alcohol_pct, const CellarAir& air) {
  const auto vapour_pct = vapour_strength_pct(alcohol_pct, air);
  if (!vapour_pct) return std::nullopt;
  return alcohol_pct - *vapour_pct;
}

std::optional<double> runge_kutta_step(double c, double h, const CellarAir& air) {
  const auto k1 = drift(c, air);
  const auto k2 = k1 ? drift(c + 0.5 * h * *k1, air) : std::nullopt;
  const auto k3 = k2 ? drift(c + 0.5 * h * *k2, air) : std::nullopt;
  const auto k4 = k3 ? drift(c + h * *k3, air) : std::nullopt;
  if (!k4) return std::nullopt;
  return c + h / 6.0 * (*k1 + 2.0 * *k2 + 2.0 * *k3 + *k4);
}

}  // namespace

double ethanol_vapour_pressure_kpa(double temperature_c) {
  return kKpaPerBar * std::pow(10.0, 5.37229 - 1670.409 / (temperature_c + kZeroC - 40.191));
}

double water_vapour_pressure_kpa(double temperature_c) {
  return kKpaPerMmHg * std::pow(10.0, 8.07131 - 1730.63 / (temperature_c + 233.426));
}

double ethanol_activity(double mole_fraction) {
  const double ratio = 1.0 + kVanLaar12 * mole_fraction / (kVanLaar21 * (1.0 - mole_fraction));
  return std::exp(kVanLaar12 / (ratio * ratio));
}

double water_activity(double mole_fraction) {
  const double part = kVanLaar12 * mole_fraction / (kVanLaar12 * mole_fraction + kVanLaar21 * (1.0 - mole_fraction));
  return std::exp(kVanLaar21 * part * part);
}

double wood_selectivity(double neutral_humidity) {
  const double x = *mole_fraction(kReferencePct);
  const double water_kpa =
      water_over_wine_kpa(x, kReferenceC) - neutral_humidity * water_vapour_pressure_kpa(kReferenceC);
  return x / (1.0 - x) * water_kpa / ethanol_over_wine_kpa(x, kReferenceC);
}

std::optional<double> vapour_strength_pct(double alcohol_pct, const CellarAir& air) {
  if (!(alcohol_pct > 0.0) || alcohol_pct > kStrongestWinePct) return std::nullopt;
  const auto x = mole_fraction(alcohol_pct);
  if (!x) return std::nullopt;
  const double ethanol = wood_selectivity(air.neutral_humidity) * ethanol_over_wine_kpa(*x, air.temperature_c);
  const double water =
      water_over_wine_kpa(*x, air.temperature_c) - air.humidity * water_vapour_pressure_kpa(air.temperature_c);
  if (!(ethanol > 0.0) || !(water > 0.0)) return std::nullopt;
  return strength_of_moles(ethanol, water);
}

std::optional<double> strength_after_loss_pct(double alcohol_pct, double lost, const CellarAir& air) {
  const double fall = -std::log1p(-lost);  // of ln V
  const int steps = static_cast<int>(std::ceil(std::abs(fall) / kLongestStep));
  std::optional<double> strength = alcohol_pct;
  for (int i = 0; i < steps && strength; ++i) strength = runge_kutta_step(*strength, fall / steps, air);
  return strength;
}

}  // namespace tierce
