#include "engine/wine/vapour.h"

#include <algorithm>
#include <cmath>
#include <numbers>

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

/// Litres that leave a wine of 18 %vol at 15 °C and 70 % humidity, up to the same factor for the wood.
double litres_at_reference(const CellarAir& air) {
  CellarAir reference = kReferenceAir;
  reference.neutral_humidity = air.neutral_humidity;
  return *litres_of(*leaving(kReferenceWinePct, reference));
}

/// How fast the logarithm of the volume and the strength change, a year.
struct Change {
  double ln_volume = 0.0;
  double alcohol_pct = 0.0;
};

/// The two functions themselves, as a curve has them.
struct ExactVapour {
  const CellarAir& air;
  double at_reference = litres_at_reference(air);  // once for many steps

  std::optional<double> drift_pct(double alcohol_pct) const;
  std::optional<double> loss(double alcohol_pct) const;
};

/// `ln_at_reference`: d(ln V)/dt of a wine of 18 %vol at 15 °C and 70 % humidity.
template <class Vapour>
std::optional<Change> change_in_air(double alcohol_pct, double ln_at_reference, const Vapour& vapour) {
  const auto loss = vapour.loss(alcohol_pct);
  if (!loss) return std::nullopt;
  const double ln_volume = ln_at_reference * *loss;
  const auto drift = alcohol_pct > 0.0 ? vapour.drift_pct(alcohol_pct) : std::optional(alcohol_pct);  // water alone
  return drift ? std::optional(Change{ln_volume, -ln_volume * *drift}) : std::nullopt;
}

struct Moment {
  double ln_volume = 0.0;
  double alcohol_pct = 0.0;
  Moment after(const Change& change, double years) const {
    return {ln_volume + years * change.ln_volume, alcohol_pct + years * change.alcohol_pct};
  }
};

template <class Vapour>
std::optional<Moment> runge_kutta_years(const Moment& begin, double h, double ln_at_reference, const Vapour& vapour) {
  const auto slope = [&](const Moment& moment) { return change_in_air(moment.alcohol_pct, ln_at_reference, vapour); };
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

template <class Vapour>
std::optional<double> runge_kutta_step(double c, double h, const Vapour& vapour) {
  const auto k1 = vapour.drift_pct(c);
  const auto k2 = k1 ? vapour.drift_pct(c + 0.5 * h * *k1) : std::nullopt;
  const auto k3 = k2 ? vapour.drift_pct(c + 0.5 * h * *k2) : std::nullopt;
  const auto k4 = k3 ? vapour.drift_pct(c + h * *k3) : std::nullopt;
  if (!k4) return std::nullopt;
  return c + h / 6.0 * (*k1 + 2.0 * *k2 + 2.0 * *k3 + *k4);
}

std::optional<double> ExactVapour::drift_pct(double alcohol_pct) const {
  const auto vapour_pct = vapour_strength_pct(alcohol_pct, air);
  return vapour_pct ? std::optional(alcohol_pct - *vapour_pct) : std::nullopt;
}

std::optional<double> ExactVapour::loss(double alcohol_pct) const {
  const auto flow = leaving(alcohol_pct, air);
  const auto litres = flow ? litres_of(*flow) : std::nullopt;
  return litres ? std::optional(*litres / at_reference) : std::nullopt;
}

// Chebyshev sums.

constexpr double kCurveLowPct = 5.0, kCurveHighPct = 30.0;
constexpr int kCurveTerms = 24;
constexpr double kNearEnough = 1e-12;  // of the last terms: what is left out is smaller
constexpr double kNothing = 1e-14;     // %vol: smaller terms at the end lie below the rounding of the functions

/// Where a strength lies between the ends, -1 to 1.
double on_the_curve(double alcohol_pct) {
  return (2.0 * alcohol_pct - kCurveLowPct - kCurveHighPct) / (kCurveHighPct - kCurveLowPct);
}

/// Terms of the sum through a function's values at the Chebyshev nodes; none where it has no value somewhere, or where
/// its last terms are not small.
template <class Function>
std::vector<double> terms_of(const Function& function) {
  const auto angle = [](int k) { return std::numbers::pi * (k + 0.5) / kCurveTerms; };
  std::vector<double> values;
  for (int k = 0; k < kCurveTerms; ++k) {
    const double at = std::cos(angle(k));
    const auto value = function(0.5 * (kCurveLowPct + kCurveHighPct + at * (kCurveHighPct - kCurveLowPct)));
    if (!value) return {};
    values.push_back(*value);
  }
  std::vector<double> terms(kCurveTerms, 0.0);
  for (int j = 0; j < kCurveTerms; ++j)
    for (int k = 0; k < kCurveTerms; ++k)
      terms[static_cast<std::size_t>(j)] +=
          2.0 / kCurveTerms * values[static_cast<std::size_t>(k)] * std::cos(j * angle(k));
  terms.front() *= 0.5;
  const double last = std::max(std::abs(terms.back()), std::abs(terms[kCurveTerms - 2]));
  if (!(last < kNearEnough)) return {};
  while (std::abs(terms.back()) < kNothing && terms.size() > 1) terms.pop_back();
  return terms;
}

/// The sum as a polynomial in x, as many coefficients as make whole fours.
std::vector<double> as_polynomial(const std::vector<double>& terms) {
  if (terms.empty()) return {};
  const std::size_t size = (terms.size() + 3) / 4 * 4;
  std::vector<double> sum(size, 0.0), before(size, 0.0), now(size, 0.0);
  before[0] = 1.0;  // T0 = 1, T1 = x, then T(n + 1) = 2 x T(n) - T(n - 1)
  now[1] = 1.0;
  for (std::size_t n = 0; n < terms.size(); ++n) {
    for (std::size_t k = 0; k < size; ++k) sum[k] += terms[n] * before[k];
    std::vector<double> next(size, 0.0);
    for (std::size_t k = 0; k + 1 < size; ++k) next[k + 1] = 2.0 * now[k];
    for (std::size_t k = 0; k < size; ++k) next[k] -= before[k];
    before = std::move(now);
    now = std::move(next);
  }
  return sum;
}

/// Four sums in x^4 side by side: a quarter of the time of one after the other.
double polynomial_at(const std::vector<double>& coefficients, double x) {
  const double x2 = x * x, x4 = x2 * x2;
  double sums[4] = {0.0, 0.0, 0.0, 0.0};
  for (std::size_t k = coefficients.size(); k > 0; k -= 4)
    for (std::size_t i = 0; i < 4; ++i) sums[i] = sums[i] * x4 + coefficients[k - 4 + i];
  return (sums[0] + x * sums[1]) + x2 * (sums[2] + x * sums[3]);
}

template <class Vapour>
std::optional<Left> left_in(double alcohol_pct, double years, double reference_loss, const Vapour& vapour) {
  const double ln_at_reference = std::log1p(-reference_loss);
  const auto first = change_in_air(alcohol_pct, ln_at_reference, vapour);
  if (!first) return std::nullopt;
  const int steps = std::max(1, static_cast<int>(std::ceil(std::abs(first->ln_volume * years) / kLongestStep)));
  std::optional<Moment> now = Moment{0.0, alcohol_pct};
  for (int i = 0; i < steps && now; ++i) now = runge_kutta_years(*now, years / steps, ln_at_reference, vapour);
  return now ? std::optional(Left{std::exp(now->ln_volume), now->alcohol_pct}) : std::nullopt;
}

template <class Vapour>
std::optional<double> strength_after(double alcohol_pct, double lost, const Vapour& vapour) {
  const double fall = -std::log1p(-lost);  // of ln V
  const int steps = static_cast<int>(std::ceil(std::abs(fall) / kLongestStep));
  std::optional<double> strength = alcohol_pct;
  for (int i = 0; i < steps && strength; ++i) strength = runge_kutta_step(*strength, fall / steps, vapour);
  return strength;
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

VapourCurve::VapourCurve(const CellarAir& air) : air_(air) {
  const ExactVapour exact{air_};
  drift_ = as_polynomial(terms_of([&](double alcohol_pct) { return exact.drift_pct(alcohol_pct); }));
  loss_ = as_polynomial(terms_of([&](double alcohol_pct) { return exact.loss(alcohol_pct); }));
}

bool VapourCurve::holds(double alcohol_pct) const {
  return alcohol_pct >= kCurveLowPct && alcohol_pct <= kCurveHighPct && !drift_.empty() && !loss_.empty();
}

std::optional<double> VapourCurve::drift_pct(double alcohol_pct) const {
  return holds(alcohol_pct) ? polynomial_at(drift_, on_the_curve(alcohol_pct))
                            : ExactVapour{air_}.drift_pct(alcohol_pct);
}

std::optional<double> VapourCurve::loss(double alcohol_pct) const {
  return holds(alcohol_pct) ? polynomial_at(loss_, on_the_curve(alcohol_pct)) : ExactVapour{air_}.loss(alcohol_pct);
}

const VapourCurve& VapourCurves::in(const CellarAir& air) {
  constexpr std::size_t kMost = 16;
  for (const VapourCurve& curve : known_)
    if (curve.air() == air) return curve;
  if (known_.size() == kMost) known_.clear();
  return known_.emplace_back(air);
}

std::optional<Left> left_in_air(double alcohol_pct, double years, double reference_loss, const VapourCurve& curve) {
  return left_in(alcohol_pct, years, reference_loss, curve);
}
std::optional<Left> left_in_air(double alcohol_pct, double years, double reference_loss, const CellarAir& air) {
  return left_in(alcohol_pct, years, reference_loss, ExactVapour{air});
}

std::optional<double> strength_after_loss_pct(double alcohol_pct, double lost, const VapourCurve& curve) {
  return strength_after(alcohol_pct, lost, curve);
}
std::optional<double> strength_after_loss_pct(double alcohol_pct, double lost, const CellarAir& air) {
  return strength_after(alcohol_pct, lost, ExactVapour{air});
}

}  // namespace tierce
