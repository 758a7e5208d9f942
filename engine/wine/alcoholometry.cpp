#include "engine/wine/alcoholometry.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "engine/wine/units.h"

namespace tierce {
namespace {

// The 54 coefficients of OIML R 22 (1975), general formula, p. 12. A1 to A4 and B1 to B4 are also printed in Council
// Directive 76/766/EEC, annex, section 4. With p the mass fraction and d = temperature - 20 C, in kg/m3:
//   density = A1 + sum A_k p^(k-1) + sum B_k d^k + sum C_i,k p^k d^i
constexpr std::array<double, 12> kA = {998.20123,   -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388,
                                       306287.4042, -613838.1234, 747017.2998, -547846.1354, 223446.0334, -39032.85426};
constexpr std::array<double, 6> kB = {-0.20618513,    -0.0052682542, 3.6130013e-05,
                                      -3.8957702e-07, 7.169354e-09,  -9.9739231e-11};
// One row for each power of d (1 to 5), one column for each power of p (1 to 11); the formula stops at 11, 10, 9, 4, 2.
constexpr std::array<std::array<double, 11>, 5> kC = {{
    {0.1693443461530087, -10.46914743455169, 71.96353469546523, -704.7478054272792, 3924.090430035045,
     -12101.64659068747, 22486.46550400788, -26055.62982188164, 18523.73922069467, -7420.201433430137,
     1285.617841998974},
    {-0.0119301300505701, 0.2517399633803461, -2.170575700536993, 13.53034988843029, -50.29988758547014,
     109.635566657757, -142.2753946421155, 108.043594285623, -44.14153236817392, 7.442971530188783, 0.0},
    {-0.0006802995733503803, 0.01876837790289664, -0.2002561813734156, 1.02299296671922, -2.895696483903638,
     4.810060584300675, -4.672147440794683, 2.458043105903461, -0.5411227621436812, 0.0, 0.0},
    {4.075376675622027e-06, -8.76305857347111e-06, 6.515031360099368e-06, -1.51578483698721e-06, 0.0, 0.0, 0.0, 0.0,
     0.0, 0.0, 0.0},
    {-2.788074354782409e-08, 1.345612883493354e-08, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0},
}};

using Polynomial = std::array<double, 13>;  // of the mass fraction, constant term first

struct ValueAndSlope {
  double value, slope;
};

// Pure ethanol's density, computed along two ways, may differ by this much through rounding alone.
constexpr double kRoundingKgM3 = 1e-9;

// Not a number lies in no range.
bool within(double x, double low, double high) { return x >= low && x <= high; }

double value_at(const Polynomial& f, double p) {
  double value = 0.0;
  for (std::size_t k = f.size(); k-- > 0;) value = value * p + f[k];
  return value;
}

ValueAndSlope value_and_slope_at(const Polynomial& f, double p) {
  double value = 0.0, slope = 0.0;
  for (std::size_t k = f.size(); k-- > 0;) {
    slope = slope * p + value;
    value = value * p + f[k];
  }
  return {value, slope};
}

// The formula at one temperature: what is left is a polynomial of the mass fraction.
Polynomial density_polynomial(double temperature_c) {
  const double d = temperature_c - 20.0;
  Polynomial f{};
  for (std::size_t k = 0; k < kC[0].size(); ++k) {
    double c = 0.0;
    for (std::size_t i = kC.size(); i-- > 0;) c = (c + kC[i][k]) * d;
    f[k + 1] = kA[k + 1] + c;
  }
  double b = 0.0;
  for (std::size_t k = kB.size(); k-- > 0;) b = (b + kB[k]) * d;
  f[0] = kA[0] + b;
  return f;
}

// Percent by volume, both volumes at this temperature: 100 p density(p) / density(1).
Polynomial strength_polynomial(double temperature_c) {
  const Polynomial density = density_polynomial(temperature_c);
  const double ethanol_density = value_at(density, 1.0);
  Polynomial f{};
  for (std::size_t k = 1; k < f.size(); ++k) f[k] = 100.0 * density[k - 1] / ethanol_density;
  return f;
}

// The mass fraction at which f, which only rises or only falls from 0 to 1, takes the target. Newton's steps, kept
// inside a shrinking bracket; a step below 1e-9 leaves an error below 1e-16, since the error squares at each step.
double mass_fraction_where(const Polynomial& f, double target, double guess) {
  const bool rises = value_at(f, 1.0) > value_at(f, 0.0);
  double low = 0.0, high = 1.0, p = guess;
  for (int step = 0; step < 100; ++step) {
    const auto [value, slope] = value_and_slope_at(f, p);
    if (value == target) break;
    ((value < target) == rises ? low : high) = p;
    const double newton = p + (target - value) / slope;
    const bool inside = within(newton, low, high);
    const double next = inside ? newton : 0.5 * (low + high);
    const bool done = std::abs(next - p) < (inside ? 1e-9 : 1e-16);
    p = next;
    if (done) break;
  }
  return p;
}

double volume_pct_of(double mass_fraction, double temperature_c) {
  return std::min(100.0, value_at(strength_polynomial(temperature_c), mass_fraction));  // 100 + 1e-11 is rounding
}

std::optional<double> mass_fraction_from_volume_pct(double volume_pct, double temperature_c) {
  if (!within(volume_pct, 0.0, 100.0)) return std::nullopt;
  const double x = volume_pct / 100.0;
  return mass_fraction_where(strength_polynomial(temperature_c), volume_pct, x * (0.79 + 0.21 * x * x));
}

}  // namespace

std::optional<double> density_kg_m3(double mass_fraction, double temperature_c) {
  if (!within(mass_fraction, 0.0, 1.0) || !within(temperature_c, kLowestDensityC, kHighestDensityC))
    return std::nullopt;
  return value_at(density_polynomial(temperature_c), mass_fraction);
}

std::optional<double> density_of_strength_kg_m3(double alcohol_pct, double temperature_c) {
  const auto mass_fraction = mass_fraction_from_alcohol_pct(alcohol_pct);
  if (!mass_fraction) return std::nullopt;
  return density_kg_m3(*mass_fraction, temperature_c);
}

std::optional<double> alcohol_pct_from_mass_fraction(double mass_fraction) {
  if (!within(mass_fraction, 0.0, 1.0)) return std::nullopt;
  return volume_pct_of(mass_fraction, 20.0);
}

std::optional<double> mass_fraction_from_alcohol_pct(double alcohol_pct) {
  return mass_fraction_from_volume_pct(alcohol_pct, 20.0);
}

std::optional<double> alcohol_pct_from_density(double density_kg_m3, double temperature_c) {
  if (!within(temperature_c, kLowestDensityC, kHighestDensityC)) return std::nullopt;
  const Polynomial f = density_polynomial(temperature_c);
  const double water = value_at(f, 0.0), ethanol = value_at(f, 1.0);
  if (!within(density_kg_m3, ethanol - kRoundingKgM3, water + kRoundingKgM3)) return std::nullopt;
  const double target = std::clamp(density_kg_m3, ethanol, water);
  return alcohol_pct_from_mass_fraction(mass_fraction_where(f, target, (water - target) / (water - ethanol)));
}

std::optional<double> alcohol_pct_from_hydrometer(double reading_pct, double temperature_c,
                                                  double glass_expansion_per_c) {
  const auto mark_kg_m3 = density_of_strength_kg_m3(reading_pct, 20.0);
  if (!mark_kg_m3) return std::nullopt;
  const double float_growth = 1.0 + glass_expansion_per_c * (temperature_c - 20.0);
  return alcohol_pct_from_density(*mark_kg_m3 / float_growth, temperature_c);
}

std::optional<double> hydrometer_reading_pct(double alcohol_pct, double temperature_c, double glass_expansion_per_c) {
  const auto true_kg_m3 = density_of_strength_kg_m3(alcohol_pct, temperature_c);
  if (!true_kg_m3) return std::nullopt;
  const double float_growth = 1.0 + glass_expansion_per_c * (temperature_c - 20.0);
  return alcohol_pct_from_density(*true_kg_m3 * float_growth, 20.0);
}

std::optional<double> volume_at_20c_l(double volume_l, double temperature_c, double alcohol_pct) {
  const auto now_kg_m3 = density_of_strength_kg_m3(alcohol_pct, temperature_c);
  if (!now_kg_m3 || !(volume_l >= 0.0)) return std::nullopt;
  return volume_l * *now_kg_m3 / *density_of_strength_kg_m3(alcohol_pct, 20.0);
}

std::optional<double> volume_at_temperature_l(double volume_at_20c_l, double temperature_c, double alcohol_pct) {
  const auto then_kg_m3 = density_of_strength_kg_m3(alcohol_pct, temperature_c);
  if (!then_kg_m3 || !(volume_at_20c_l >= 0.0)) return std::nullopt;
  return volume_at_20c_l * *density_of_strength_kg_m3(alcohol_pct, 20.0) / *then_kg_m3;
}

std::optional<double> alcohol_pct_from_us_proof(double us_proof) {
  const auto mass_fraction = mass_fraction_from_volume_pct(us_proof / 2.0, kSixtyFahrenheitC);
  if (!mass_fraction) return std::nullopt;
  return alcohol_pct_from_mass_fraction(*mass_fraction);
}

std::optional<double> alcohol_pct_at(double alcohol_pct, double temperature_c) {
  const auto mass_fraction = mass_fraction_from_alcohol_pct(alcohol_pct);
  if (!mass_fraction || !within(temperature_c, kLowestDensityC, kHighestDensityC)) return std::nullopt;
  return volume_pct_of(*mass_fraction, temperature_c);
}

std::optional<double> alcohol_pct_from_scale(double pct_on_scale, double temperature_c) {
  if (!within(temperature_c, kLowestDensityC, kHighestDensityC)) return std::nullopt;
  const auto mass_fraction = mass_fraction_from_volume_pct(pct_on_scale, temperature_c);
  if (!mass_fraction) return std::nullopt;
  return alcohol_pct_from_mass_fraction(*mass_fraction);
}

std::optional<double> us_proof_from_alcohol_pct(double alcohol_pct) {
  const auto mass_fraction = mass_fraction_from_alcohol_pct(alcohol_pct);
  if (!mass_fraction) return std::nullopt;
  return 2.0 * volume_pct_of(*mass_fraction, kSixtyFahrenheitC);
}

std::optional<EthanolWaterMix> mix_by_mass(EthanolWater a, EthanolWater b) {
  const auto a_fraction = mass_fraction_from_alcohol_pct(a.alcohol_pct);
  const auto b_fraction = mass_fraction_from_alcohol_pct(b.alcohol_pct);
  if (!a_fraction || !b_fraction) return std::nullopt;
  if (!within(a.volume_l, 0.0, kMostLitres) || !within(b.volume_l, 0.0, kMostLitres)) return std::nullopt;
  const double volumes_l = a.volume_l + b.volume_l;
  if (volumes_l <= 0.0) return std::nullopt;
  const double a_kg = a.volume_l * *density_kg_m3(*a_fraction, 20.0) / 1000.0;
  const double b_kg = b.volume_l * *density_kg_m3(*b_fraction, 20.0) / 1000.0;
  const double fraction = (a_kg * *a_fraction + b_kg * *b_fraction) / (a_kg + b_kg);
  const double volume_l = 1000.0 * (a_kg + b_kg) / *density_kg_m3(fraction, 20.0);
  return EthanolWaterMix{volume_l, *alcohol_pct_from_mass_fraction(fraction), volumes_l - volume_l};
}

std::optional<double> proof_gallons(double volume_l, double alcohol_pct) {
  const auto at_60_f_l = volume_at_temperature_l(volume_l, kSixtyFahrenheitC, alcohol_pct);
  const auto proof = us_proof_from_alcohol_pct(alcohol_pct);
  if (!at_60_f_l || !proof) return std::nullopt;
  return *at_60_f_l / kLitresPerGallon * *proof / 100.0;
}

std::optional<double> volume_to_reach_l(EthanolWater base, double added_pct, double wanted_pct) {
  const auto base_fraction = mass_fraction_from_alcohol_pct(base.alcohol_pct);
  const auto added_fraction = mass_fraction_from_alcohol_pct(added_pct);
  const auto wanted_fraction = mass_fraction_from_alcohol_pct(wanted_pct);
  if (!base_fraction || !added_fraction || !wanted_fraction) return std::nullopt;
  const double towards = (*wanted_fraction - *base_fraction) / (*added_fraction - *wanted_fraction);
  if (!(towards >= 0.0) || !std::isfinite(towards)) return std::nullopt;
  const double base_kg = base.volume_l * *density_kg_m3(*base_fraction, 20.0) / 1000.0;
  return 1000.0 * base_kg * towards / *density_kg_m3(*added_fraction, 20.0);
}

}  // namespace tierce
