// The vapour that a cellar draws from wine, against measured vapour pressures and the humidity that keeps a strength.
#include "engine/vapour.h"

#include <gtest/gtest.h>

#include <cmath>

#include "engine/alcoholometry.h"
#include "engine/evaporation.h"
#include "tests/csv.h"

namespace tierce {
namespace {

using test::number;

// tests/data/vapour_pressure.csv: the published Antoine sets' own values at 20 and 25 °C, printed to 0.0001 kPa.
TEST(VapourPressure, IsThatOfThePublishedAntoineEquations) {
  const auto rows = test::read_csv("vapour_pressure.csv");
  EXPECT_NEAR(ethanol_vapour_pressure_kpa(20.0), number(rows[0], "value_20degC_kPa_own_evaluation"), 5e-5);
  EXPECT_NEAR(ethanol_vapour_pressure_kpa(25.0), number(rows[0], "value_25degC_kPa_own_evaluation"), 5e-5);
  EXPECT_NEAR(water_vapour_pressure_kpa(20.0), number(rows[3], "value_20degC_kPa_own_evaluation"), 5e-5);
  EXPECT_NEAR(water_vapour_pressure_kpa(25.0), number(rows[3], "value_25degC_kPa_own_evaluation"), 5e-5);
}

// The same table, rows "measured": 59.20 and 23.78 torr at 25 °C. The water equation is known to be 0.4 % low.
TEST(VapourPressure, IsNearTheMeasuredOne) {
  EXPECT_NEAR(ethanol_vapour_pressure_kpa(25.0), 7.8926, 0.002 * 7.8926);
  EXPECT_NEAR(water_vapour_pressure_kpa(25.0), 3.1704, 0.005 * 3.1704);
}

// Pemberton and Mash 1978, 30 °C, ethanol up to a mole fraction of 0.171; the fit's own largest misfit is 1.8 %.
TEST(Activity, FollowsPembertonAndMashUpToFortyPercent) {
  int seen = 0;
  for (const auto& row : test::read_csv("ethanol_water_vle.csv")) {
    const double x = number(row, "x_ethanol_mole_fraction");
    if (row.at("series") != "PembertonMash1978" || x > 0.172) continue;
    ++seen;
    EXPECT_NEAR(ethanol_activity(x) / number(row, "gamma_ethanol_derived"), 1.0, 0.019) << x;
    EXPECT_NEAR(water_activity(x) / number(row, "gamma_water_derived"), 1.0, 0.02) << x;
  }
  EXPECT_EQ(seen, 7);
}

// selectivity_for_constant_strength.csv, rows of 20 %vol at 20 °C, printed to 0.0001. They use a water pressure 0.4 %
// above our equation's, which shifts the ratio by up to 0.0002.
TEST(Selectivity, KeepsTheStrengthAtTheNeutralHumidity) {
  int seen = 0;
  for (const auto& row : test::read_csv("selectivity_for_constant_strength.csv")) {
    if (number(row, "abv_pct") != 20.0) continue;
    ++seen;
    EXPECT_NEAR(wood_selectivity(number(row, "neutral_RH_pct") / 100.0), number(row, "k_ethanol_over_k_water"), 0.0003);
  }
  EXPECT_GE(seen, 5);
}

// Dry air raises the strength, damp air lowers it (Oxford Companion to Wine, 2006, "wine maturation"); at the neutral
// humidity the vapour is as strong as the wine, by the definition of neutral.
TEST(Drift, ChangesSignAtTheNeutralHumidity) {
  for (const double neutral : {0.65, 0.70, 0.80}) {
    EXPECT_NEAR(*vapour_strength_pct(20.0, {20.0, neutral, neutral}), 20.0, 1e-9);
    for (const double strength : {14.0, 18.0, 22.0}) {
      EXPECT_GT(*strength_after_loss_pct(strength, 0.04, {15.0, neutral - 0.1, neutral}), strength);
      EXPECT_LT(*strength_after_loss_pct(strength, 0.04, {15.0, neutral + 0.1, neutral}), strength);
    }
  }
}

TEST(Drift, SplittingALossChangesNothing) {
  const CellarAir air{16.0, 0.60, 0.70};
  const double whole = *strength_after_loss_pct(18.0, 0.30, air);
  double parted = 18.0;
  for (int i = 0; i < 10; ++i) parted = *strength_after_loss_pct(parted, 1.0 - std::pow(0.7, 0.1), air);
  EXPECT_NEAR(parted, whole, 1e-9);
}

// A vapour of constant strength v leaves A - v (V0 - V): a closed form that the integration must meet where the
// vapour's strength hardly moves, over a loss of a thousandth.
TEST(Drift, OfASmallLossIsThatOfAConstantVapour) {
  const CellarAir air{15.0, 0.6, 0.7};
  const double v = *vapour_strength_pct(18.0, air), lost = 1e-3;
  EXPECT_NEAR(*strength_after_loss_pct(18.0, lost, air), (18.0 - v * lost) / (1.0 - lost), 1e-5);
}

// A wine whose vapour is as strong as itself loses alcohol as it loses litres. In dry air the sum over ten thousand
// small losses, each at the strength of its moment, is the slower calculation: its error is of the order of one step's
// drift.
TEST(AlcoholLost, IsTheSumOfWhatEachMomentDraws) {
  const Tier tier;
  EXPECT_NEAR(*alcohol_lost_l({20.0, 0.70, 0.70}, tier, 100.0, 20.0, 4.0), 0.8, 1e-9);
  const Cellar dry{15.0, 0.60, 0.70};
  double held_l = 500.0, alcohol_l = 90.0;
  const int steps = 10000;
  for (int i = 0; i < steps; ++i) {
    alcohol_l -= 50.0 / steps * *vapour_strength_pct(100.0 * alcohol_l / held_l, {15.0, 0.60, 0.70}) / 100.0;
    held_l -= 50.0 / steps;
  }
  EXPECT_NEAR(*alcohol_lost_l(dry, tier, 500.0, 90.0, 50.0), 90.0 - alcohol_l, 1e-5);
}

TEST(Vapour, IsRefusedWhereTheModelDoesNotReach) {
  EXPECT_FALSE(vapour_strength_pct(45.0, {}));  // spirit: activities fitted to 40 %vol only
  EXPECT_FALSE(vapour_strength_pct(0.0, {}));
  EXPECT_FALSE(vapour_strength_pct(18.0, {15.0, 0.97, 0.7}));  // above some 94 % the wine takes water in
}

}  // namespace
}  // namespace tierce
