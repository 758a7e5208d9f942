#include "engine/wine/must.h"

#include <algorithm>
#include <array>
#include <span>

#include "engine/wine/alcoholometry.h"

namespace tierce {
namespace {

enum Column : std::size_t { kBrixPct, kDensityKgL, kGramsPerL };
using Row = std::array<double, 3>;

// OIV-MA-AS2-02, table II (Oeno 21/2004), columns 1, 3 and 4: mass percent sucrose of the same refraction, density at
// 20 C, sugar. Read in the French order of 14 September 2011 (EFII1125161A), annex IV, of which these are 31 rows of
// 201.
constexpr std::array<Row, 31> kMust = {{
    {10.0, 1.0391, 82.2},  {11.0, 1.0431, 92.8},  {12.0, 1.0472, 103.5}, {13.0, 1.0514, 114.3}, {14.0, 1.0556, 125.2},
    {15.0, 1.0598, 136.1}, {16.0, 1.0641, 147.1}, {17.0, 1.0685, 158.2}, {18.0, 1.0729, 169.4}, {19.0, 1.0773, 180.6},
    {20.0, 1.0818, 191.9}, {20.5, 1.0840, 197.6}, {21.0, 1.0863, 203.3}, {21.5, 1.0885, 209.0}, {22.0, 1.0908, 214.7},
    {22.5, 1.0931, 220.5}, {23.0, 1.0954, 226.2}, {23.5, 1.0977, 232.0}, {24.0, 1.1001, 237.8}, {24.5, 1.1024, 243.6},
    {25.0, 1.1047, 249.5}, {25.5, 1.1071, 255.3}, {26.0, 1.1095, 261.2}, {26.5, 1.1118, 267.1}, {27.0, 1.1142, 273.0},
    {27.5, 1.1166, 278.9}, {28.0, 1.1190, 284.9}, {28.5, 1.1214, 290.9}, {29.0, 1.1239, 296.9}, {29.5, 1.1263, 302.9},
    {30.0, 1.1287, 308.9},
}};
constexpr double kWaterDensity20cKgL = kWaterDensity20cKgM3 / 1000.0;

// Sucrose in water at 20 C, after the CRC Handbook; the last column is mass percent x density.
constexpr std::array<Row, 6> kSucrose = {{
    {0.0, 0.9982, 0.0},
    {10.0, 1.0381, 103.81},
    {20.0, 1.0810, 216.20},
    {30.0, 1.1270, 338.10},
    {40.0, 1.1764, 470.56},
    {50.0, 1.2296, kMostExtractGPerL},
}};
constexpr double kSucroseTableWaterKgL = kSucrose[0][kDensityKgL];

// Where x lies among the values of a rising column: the row that ends its interval, or none. A value computed from the
// first or last row itself may miss it by rounding and still counts as that row's.
const Row* row_above(std::span<const Row> table, Column column, double x) {
  const double rounding = 1e-12 * table.back()[column];
  if (!(x >= table.front()[column] - rounding && x <= table.back()[column] + rounding)) return nullptr;
  std::size_t i = 1;
  while (i + 1 < table.size() && x > table[i][column]) ++i;
  return &table[i];
}

std::optional<double> interpolate(std::span<const Row> table, Column from, Column to, double x) {
  const Row* above = row_above(table, from, x);
  if (above == nullptr) return std::nullopt;
  const Row& high = *above;
  const Row& low = *(above - 1);
  return low[to] + (high[to] - low[to]) * (x - low[from]) / (high[from] - low[from]);
}

std::optional<double> over(std::optional<double> density_kg_l, double water_kg_l) {
  if (!density_kg_l) return std::nullopt;
  return *density_kg_l / water_kg_l;
}

std::optional<double> alcohol_sg(double alcohol_pct) {
  return over(density_of_strength_kg_m3(alcohol_pct, 20.0), kWaterDensity20cKgM3);
}

// What a mark shows at this temperature over what it shows at 20 C: the liquid has grown, and so has the float.
std::optional<double> shown_share(double alcohol_pct, double temperature_c, double glass_expansion_per_c) {
  const auto there = density_of_strength_kg_m3(alcohol_pct, temperature_c);
  const auto at_20c = density_of_strength_kg_m3(alcohol_pct, 20.0);
  if (!there || !at_20c) return std::nullopt;
  return *there / *at_20c * (1.0 + glass_expansion_per_c * (temperature_c - 20.0));
}

}  // namespace

double sg_from_baume(double baume_deg) { return 145.0 / (145.0 - baume_deg); }
double baume_from_sg(double sg) { return 145.0 - 145.0 / sg; }
double sg_from_oechsle(double oechsle_deg) { return 1.0 + oechsle_deg / 1000.0; }
double oechsle_from_sg(double sg) { return 1000.0 * (sg - 1.0); }

std::optional<double> sg_from_hydrometer_brix(double brix_pct) {
  const Row* above = row_above(kSucrose, kBrixPct, brix_pct);
  if (above == nullptr) return std::nullopt;
  const Row& high = *above;
  const Row& low = *(above - 1);
  // grams = 10 Brix density, and density is linear in grams; solved for density.
  const double slope = (high[kDensityKgL] - low[kDensityKgL]) / (high[kGramsPerL] - low[kGramsPerL]);
  const double density_kg_l = (low[kDensityKgL] - slope * low[kGramsPerL]) / (1.0 - 10.0 * brix_pct * slope);
  return density_kg_l / kSucroseTableWaterKgL;
}

std::optional<double> hydrometer_brix_from_sg(double sg) {
  const auto sucrose_g_l = extract_g_l_from_sg(sg);
  if (!sucrose_g_l) return std::nullopt;
  return *sucrose_g_l / (10.0 * sg * kSucroseTableWaterKgL);
}

std::optional<double> extract_g_l_from_sg(double sg) {
  return interpolate(kSucrose, kDensityKgL, kGramsPerL, sg * kSucroseTableWaterKgL);
}

std::optional<double> sg_from_extract_g_l(double extract_g_l) {
  return over(interpolate(kSucrose, kGramsPerL, kDensityKgL, extract_g_l), kSucroseTableWaterKgL);
}

std::optional<double> must_sugar_g_l_from_brix(double brix_pct) {
  return interpolate(kMust, kBrixPct, kGramsPerL, brix_pct);
}

std::optional<double> brix_from_must_sugar_g_l(double sugar_g_l) {
  return interpolate(kMust, kGramsPerL, kBrixPct, sugar_g_l);
}

std::optional<double> must_sugar_g_l_from_sg(double sg) {
  return interpolate(kMust, kDensityKgL, kGramsPerL, sg * kWaterDensity20cKgL);
}

std::optional<double> sg_from_must_sugar_g_l(double sugar_g_l) {
  return over(interpolate(kMust, kGramsPerL, kDensityKgL, sugar_g_l), kWaterDensity20cKgL);
}

std::optional<double> must_other_extract_g_l(double must_sugar_g_l) {
  const auto sg = sg_from_must_sugar_g_l(must_sugar_g_l);
  if (!sg) return std::nullopt;
  const auto extract_g_l = extract_g_l_from_sg(*sg);
  if (!extract_g_l) return std::nullopt;
  return *extract_g_l - must_sugar_g_l;
}

double potential_alcohol_pct(double sugar_g_l, double sugar_g_l_per_pct) { return sugar_g_l / sugar_g_l_per_pct; }

std::optional<double> wine_extract_g_l(double wine_sg, double alcohol_pct) {
  const auto alcohol = alcohol_sg(alcohol_pct);
  if (!alcohol) return std::nullopt;
  return extract_g_l_from_sg(wine_sg - *alcohol + 1.0);
}

std::optional<double> wine_sugar_g_l(double wine_sg, double alcohol_pct, double other_extract_g_l) {
  const auto extract_g_l = wine_extract_g_l(wine_sg, alcohol_pct);
  if (!extract_g_l || !(other_extract_g_l >= 0.0)) return std::nullopt;
  const double sugar_g_l = *extract_g_l - other_extract_g_l;
  if (sugar_g_l < -1e-9) return std::nullopt;  // less than that is rounding, and dry
  return std::max(0.0, sugar_g_l);
}

std::optional<double> wine_sg(double sugar_g_l, double alcohol_pct, double other_extract_g_l) {
  const auto alcohol = alcohol_sg(alcohol_pct);
  const auto residue = sg_from_extract_g_l(sugar_g_l + other_extract_g_l);
  if (!alcohol || !residue || !(sugar_g_l >= 0.0 && other_extract_g_l >= 0.0)) return std::nullopt;
  return *residue + *alcohol - 1.0;
}

std::optional<double> sg_shown(double sg_20c, double alcohol_pct, double temperature_c, double glass_expansion_per_c) {
  const auto share = shown_share(alcohol_pct, temperature_c, glass_expansion_per_c);
  if (!share) return std::nullopt;
  return sg_20c * *share;
}

std::optional<double> sg_at_20c(double sg_shown, double alcohol_pct, double temperature_c,
                                double glass_expansion_per_c) {
  const auto share = shown_share(alcohol_pct, temperature_c, glass_expansion_per_c);
  if (!share) return std::nullopt;
  return sg_shown / *share;
}

}  // namespace tierce
