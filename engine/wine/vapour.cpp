#include "engine/wine/vapour.h"

#include <algorithm>
#include <cmath>

#include "engine/wine/alcoholometry.h"
#include "engine/wine/units.h"

namespace tierce {
namespace {

constexpr double kEthanolGramsPerMole = 46.068;  // standard atomic weights, rounded
constexpr double kWaterGramsPerMole = 18.015;
constexpr double kKpaPerBar = 100.0;
constexpr double kKpaPerMmHg = 0.133322;
constexpr double kVanLaar12 = 1.400;
constexpr double kVanLaar21 = 1.295;
constexpr double kStrongestWinePct = 40.0;
constexpr double kReferencePct = 20.0;  // where the selectivity is set
constexpr double kReferenceC = 20.0;
constexpr double kWorkedAtC = 20.0;    // litres are those of OIML R 22 at 20 °C
constexpr double kLongestStep = 0.01;  // in ln V: a Runge-Kutta step of fourth order errs by some 1e-12 of the strength

std::optional<double> mole_fraction(double alcohol_pct) {
  const auto mass = mass_fraction_from_alcohol_pct(alcohol_pct);
  if (!mass) return std::nullopt;
  const double ethanol = *mass / kEthanolGramsPerMole;
  return ethanol / (ethanol + (1.0 - *mass) / kWaterGramsPerMole);
}

/// What leaves a wine, in moles, up to one factor for the wood.
struct Leaving {
  double ethanol = 0.0;
  double water = 0.0;
  double grams() const { return ethanol * kEthanolGramsPerMole + water * kWaterGramsPerMole; }
  double mass_fraction() const { return ethanol * kEthanolGramsPerMole / grams(); }
};

double ethanol_over_wine_kpa(double x, double temperature_c) {
  return x * ethanol_activity(x) * ethanol_vapour_pressure_kpa(temperature_c);
}
double water_over_wine_kpa(double x, double temperature_c) {
  return (1.0 - x) * water_activity(x) * water_vapour_pressure_kpa(temperature_c);
}

/// Empty above 40 %vol, where the activities are not known to us, and where no water leaves.
std::optional<Leaving> leaving(double alcohol_pct, const CellarAir& air) {
  const auto x = alcohol_pct <= kStrongestWinePct ? mole_fraction(alcohol_pct) : std::nullopt;
  if (!x) return std::nullopt;
  const Leaving flow{
      wood_selectivity(air.neutral_humidity) * ethanol_over_wine_kpa(*x, air.temperature_c),
      water_over_wine_kpa(*x, air.temperature_c) - air.humidity * water_vapour_pressure_kpa(air.temperature_c)};
  return flow.water > 0.0 ? std::optional(flow) : std::nullopt;
}

std::optional<double> litres_of(const Leaving& flow) {
  const auto density = density_kg_m3(flow.mass_fraction(), kWorkedAtC);
  return density ? std::optional(flow.grams() / *density) : std::nullopt;
}

/// How fast the logarithm of the volume and the strength change, a year.
struct Change {
  double ln_volume = 0.0;
  double alcohol_pct = 0.0;
};

/// `at_reference`: d(ln V)/dt of a wine of 18 %vol at 15 °C and 70 % humidity, over the litres that leave it there.
std::optional<Change> change_in_air(double alcohol_pct, double at_reference, const CellarAir& air) {
  const auto flow = leaving(alcohol_pct, air);
  const auto litres = flow ? litres_of(*flow) : std::nullopt;
  if (!litres) return std::nullopt;
  const double ln_volume = at_reference * *litres;
  const double vapour_pct = flow->ethanol > 0.0 ? *alcohol_pct_from_mass_fraction(flow->mass_fraction()) : 0.0;
  return Change{ln_volume, ln_volume * (vapour_pct - alcohol_pct)};
}

struct Moment {
  double ln_volume = 0.0;
  double alcohol_pct = 0.0;
  Moment after(const Change& change, double years) const {
    return {ln_volume + years * change.ln_volume, alcohol_pct + years * change.alcohol_pct};
  }
};

std::optional<Moment> runge_kutta_years(const Moment& begin, double h, double at_reference, const CellarAir& air) {
  const auto slope = [&](const Moment& moment) { return change_in_air(moment.alcohol_pct, at_reference, air); };
  const auto k1 = slope(begin);
  const auto k2 = k1 ? slope(begin.after(*k1, 0.5 * h)) : std::nullopt;
  const auto k3 = k2 ? slope(begin.after(*k2, 0.5 * h)) : std::nullopt;
  const auto k4 = k3 ? slope(begin.after(*k3, h)) : std::nullopt;
  if (!k4) return std::nullopt;
  const auto mean = [](double a, double b, double c, double d) { return (a + 2.0 * b + 2.0 * c + d) / 6.0; };
  return begin.after({mean(k1->ln_volume, k2->ln_volume, k3->ln_volume, k4->ln_volume),
                      mean(k1->alcohol_pct, k2->alcohol_pct, k3->alcohol_pct, k4->alcohol_pct)},
                     h);
}

/// Litres that leave a wine of 18 %vol at 15 °C and 70 % humidity, up to the same factor for the wood.
double litres_at_reference(const CellarAir& air) {
  CellarAir reference = kReferenceAir;
  reference.neutral_humidity = air.neutral_humidity;
  return *litres_of(*leaving(kReferenceWinePct, reference));
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
  const auto flow = alcohol_pct > 0.0 ? leaving(alcohol_pct, air) : std::nullopt;
  return flow ? alcohol_pct_from_mass_fraction(flow->mass_fraction()) : std::nullopt;
}

std::optional<double> loss_over_reference(double alcohol_pct, const CellarAir& air) {
  const auto flow = leaving(alcohol_pct, air);
  const auto litres = flow ? litres_of(*flow) : std::nullopt;
  return litres ? std::optional(*litres / litres_at_reference(air)) : std::nullopt;
}

std::optional<Left> left_in_air(double alcohol_pct, double years, double reference_loss, const CellarAir& air) {
  const double at_reference = std::log1p(-reference_loss) / litres_at_reference(air);
  const auto first = change_in_air(alcohol_pct, at_reference, air);
  if (!first) return std::nullopt;
  const int steps = std::max(1, static_cast<int>(std::ceil(std::abs(first->ln_volume * years) / kLongestStep)));
  std::optional<Moment> now = Moment{0.0, alcohol_pct};
  for (int i = 0; i < steps && now; ++i) now = runge_kutta_years(*now, years / steps, at_reference, air);
  return now ? std::optional(Left{std::exp(now->ln_volume), now->alcohol_pct}) : std::nullopt;
}

std::optional<double> strength_after_loss_pct(double alcohol_pct, double lost, const CellarAir& air) {
  const double fall = -std::log1p(-lost);  // of ln V
  const int steps = static_cast<int>(std::ceil(std::abs(fall) / kLongestStep));
  std::optional<double> strength = alcohol_pct;
  for (int i = 0; i < steps && strength; ++i) strength = runge_kutta_step(*strength, fall / steps, air);
  return strength;
}

}  // namespace tierce
