#include "engine/wine/fortify.h"

#include <gtest/gtest.h>

#include <limits>
#include <random>

#include "engine/wine/alcoholometry.h"
#include "tests/project/csv.h"

namespace tierce {
namespace {

using test::number;
using test::read_csv;

constexpr double kNoNumber = std::numeric_limits<double>::quiet_NaN();

// A slow twin of the mass balance that knows nothing but printed numbers: mass fraction and density at 20 C of the
// strengths in oiml_r22_own_evaluation.csv, straight lines between them.
struct PrintedTable {
  double fraction(double pct) const { return between("abv20_pct", "mass_fraction_ethanol", pct); }
  double density(double pct) const { return between("abv20_pct", "density_20degC_kg_m3", pct); }

  double spirit_needed_l(const MustAtArrest& base, double spirit_pct, double wanted_pct) const {
    const double base_kg = base.volume_l * density(base.alcohol_pct);
    const double spirit_kg =
        base_kg * (fraction(wanted_pct) - fraction(base.alcohol_pct)) / (fraction(spirit_pct) - fraction(wanted_pct));
    return spirit_kg / density(spirit_pct);
  }

  EthanolWater blend(EthanolWater a, EthanolWater b) const {
    const double a_kg = a.volume_l * density(a.alcohol_pct), b_kg = b.volume_l * density(b.alcohol_pct);
    const double p = (a_kg * fraction(a.alcohol_pct) + b_kg * fraction(b.alcohol_pct)) / (a_kg + b_kg);
    const double pct = between("mass_fraction_ethanol", "abv20_pct", p);
    return {(a_kg + b_kg) / density(pct), pct};
  }

  double between(const std::string& from, const std::string& to, double x) const {
    std::size_t i = 1;
    while (i + 1 < rows.size() && number(rows[i], from) < x) ++i;
    const double x0 = number(rows[i - 1], from), x1 = number(rows[i], from);
    const double y0 = number(rows[i - 1], to), y1 = number(rows[i], to);
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0);
  }

  std::vector<test::CsvRow> rows = read_csv("oiml_r22_own_evaluation.csv");
};

Fortified wine(const OrRefusal<Fortified>& result) { return std::get<Fortified>(result); }
MustAtArrest base(const OrRefusal<MustAtArrest>& result) { return std::get<MustAtArrest>(result); }

template <class T>
FortifyRefusal refusal(const OrRefusal<T>& result) {
  if (const auto* refused = std::get_if<FortifyRefusal>(&result)) return *refused;
  ADD_FAILURE() << "not refused";
  return {};
}

// The custom of fortifying at 6 to 8 %vol to 16 %vol. Every strength used is a row of the printed table, so the twin is
// exact to its digits: 0.001 L in some 130 L. 0.01 %vol is as near as a cellar can want: it is checked on the strength
// that the twin finds for our litres of spirit.
TEST(Fortify, FromSixToEightPercentToSixteenTheMassBalanceHolds) {
  const PrintedTable table;
  for (const double spirit_pct : {77.0, 78.0, 95.0, 96.0, 96.2})
    for (const double arrest_pct : {6.0, 7.0, 8.0}) {
      const MustAtArrest must{1000.0, arrest_pct, 120.0};
      const Fortified made = wine(fortify_to_strength(must, spirit_pct, 16.0));
      EXPECT_NEAR(made.spirit_l, table.spirit_needed_l(must, spirit_pct, 16.0), 0.001)
          << arrest_pct << " " << spirit_pct;
      const auto twin = table.blend({1000.0, arrest_pct}, {made.spirit_l, spirit_pct});
      EXPECT_NEAR(twin.alcohol_pct, 16.0, 0.01);
      EXPECT_NEAR(made.alcohol_pct, 16.0, 1e-9);
      EXPECT_NEAR(made.volume_l, twin.volume_l, 0.01);
    }
}

// Blends worked out apart from this program by a mass balance with R 22 densities, printed to 0.001 %vol and 0.01 L.
TEST(Fortify, AGivenVolumeOfSpiritGivesTheStrengthOfTheMassBalance) {
  const Fortified port = wine(fortify_with_volume({440.0, 6.0, 150.0}, 77.0, 110.0));
  EXPECT_NEAR(port.alcohol_pct, 20.365, 0.0006);
  EXPECT_NEAR(port.volume_l, 545.54, 0.006);
  EXPECT_NEAR(port.additive_alcohol_pct, 20.2, 1e-9);  // (440 x 6 + 110 x 77) / 550
  EXPECT_NEAR(port.additive_error_pct, 20.2 - 20.365, 0.0006);
  EXPECT_NEAR(port.contraction_l, 550.0 - 545.54, 0.006);
  const Fortified other = wine(fortify_with_volume({90.0, 10.0, 0.0}, 96.0, 10.0));
  EXPECT_NEAR(other.alcohol_pct, 18.752, 0.0006);
  EXPECT_NEAR(other.volume_l, 99.19, 0.006);
}

// Published worked examples of Pearson's square (defalcos.com; Mini Farming, p. 353): what they promise is the additive
// rule, what one gets is the mass balance. The book rounds 19.963 to 20 and its spirit to whole ounces.
TEST(Fortify, PearsonsSquareIsReportedWithItsError) {
  for (const auto& row : read_csv("contraction_examples.csv")) {
    if (!row.at("case").starts_with("Pearson")) continue;
    const MustAtArrest table_wine{number(row, "volume_a_L"), number(row, "abv_a_pct"), 0.0};
    const Fortified made = wine(fortify_with_volume(table_wine, number(row, "abv_b_pct"), number(row, "volume_b_L")));
    EXPECT_NEAR(made.additive_alcohol_pct, number(row, "additive_abv_pct"), 0.0006);
    EXPECT_NEAR(made.alcohol_pct, number(row, "r22_final_abv_pct_at_same_temperature"), 0.0006);
    EXPECT_NEAR(made.additive_error_pct, made.additive_alcohol_pct - made.alcohol_pct, 1e-12);
  }
  // The square for 20 %vol from 15 and 40: 5 parts to 20, as the first example says; by mass it takes a little less.
  const Fortified exact = wine(fortify_to_strength({20.0, 15.0, 0.0}, 40.0, 20.0));
  EXPECT_NEAR(exact.additive_spirit_l.value(), 5.0, 1e-9);
  EXPECT_LT(exact.spirit_l, 5.0);
}

// By hand: 240 g/L arrested at 7 %vol leaves 240 - 7 x 16.83 = 122.19 g/L.
TEST(Fortify, EachPercentOfAlcoholCostsTheStatedSugar) {
  const Must must{1000.0, 240.0};
  EXPECT_NEAR(base(arrest_at_alcohol(must, 7.0)).sugar_g_l, 122.19, 1e-9);
  EXPECT_NEAR(base(arrest_at_sugar(must, 122.19)).alcohol_pct, 7.0, 1e-9);
  EXPECT_NEAR(base(arrest_at_alcohol({1000.0, 240.0, 17.0}, 7.0)).sugar_g_l, 240.0 - 119.0, 1e-9);
  EXPECT_EQ(base(arrest_at_alcohol(must, 0.0)).sugar_g_l, 240.0);
  EXPECT_NEAR(base(arrest_at_alcohol(must, 240.0 / 16.83)).sugar_g_l, 0.0, 1e-9);
}

// Tabarie's relation on printed figures: at 7 %vol ethanol-water weighs 988.4316 kg/m3 (the table), and 122.19 + 26
// g/L lies between 103.81 and 216.2 g/L in the sucrose table. 0.002 %vol is 0.00002 SG, the printed digits.
TEST(Fortify, TheHydrometerTellsWhenToArrest) {
  const double residue_g_ml = 1.0381 + (122.19 + 26.0 - 103.81) * (1.0810 - 1.0381) / (216.2 - 103.81);
  const double sg = residue_g_ml / 0.9982 + 0.9884316 / 0.9982012 - 1.0;
  EXPECT_NEAR(base(arrest_at_density({1000.0, 240.0}, sg, 26.0)).alcohol_pct, 7.0, 0.002);
  for (double pct = 0.0; pct <= 14.0; pct += 0.7) {
    const MustAtArrest there = base(arrest_at_alcohol({1000.0, 240.0}, pct));
    const double reads = *wine_sg(there.sugar_g_l, pct, 26.0);
    EXPECT_NEAR(base(arrest_at_density({1000.0, 240.0}, reads, 26.0)).alcohol_pct, pct, 1e-9);
  }
}

// By definition of each share, on 1000 L at 7 %vol with 122.19 g/L and 110 L of 96 %vol.
TEST(Fortify, SharesAreWhatTheirNamesSay) {
  const Fortified made = wine(fortify_with_volume({1000.0, 7.0, 122.19}, 96.0, 110.0));
  EXPECT_NEAR(made.spirit_share_of_must_pct, 11.0, 1e-9);
  EXPECT_NEAR(made.spirit_alcohol_share_of_must_pct, 10.56, 1e-9);
  EXPECT_NEAR(made.spirit_share_of_wine_pct, 100.0 * 110.0 / 1110.0, 1e-9);
  EXPECT_NEAR(made.must_share_of_wine_pct + made.spirit_share_of_wine_pct, 100.0, 1e-9);
  EXPECT_NEAR(made.spirit_share_of_alcohol_pct, 100.0 * 105.6 / 175.6, 1e-9);
  EXPECT_NEAR(made.total_alcohol_pct, made.alcohol_pct + made.sugar_g_l / 16.83, 1e-9);
}

// Conservation over random fortifications: grams of sugar, kilograms in all, litres with the contraction.
TEST(Fortify, SugarAndMassAreKeptAndTheVolumeCloses) {
  std::mt19937 rng(7);
  std::uniform_real_distribution<double> litres(1.0, 5000.0), arrest(0.0, 14.0), sugar(0.0, 300.0), spirit(40.0, 100.0);
  const auto mass_kg = [](double volume_l, double pct) { return volume_l * *density_of_strength_kg_m3(pct, 20.0); };
  for (int i = 0; i < 500; ++i) {
    const MustAtArrest must{litres(rng), arrest(rng), sugar(rng)};
    const double spirit_pct = spirit(rng);
    const Fortified made = wine(fortify_with_volume(must, spirit_pct, must.volume_l * 0.2));
    const double mass = mass_kg(must.volume_l, must.alcohol_pct) + mass_kg(made.spirit_l, spirit_pct);
    EXPECT_NEAR(made.sugar_g_l * made.volume_l, must.sugar_g_l * must.volume_l, 1e-9 * 5000.0 * 300.0);
    EXPECT_NEAR(mass_kg(made.volume_l, made.alcohol_pct), mass, 1e-10 * mass);
    EXPECT_NEAR(made.volume_l + made.contraction_l, must.volume_l + made.spirit_l, 1e-9);
    const Fortified back = wine(fortify_to_strength(must, spirit_pct, made.alcohol_pct));
    EXPECT_NEAR(back.spirit_l, made.spirit_l, 1e-9 * must.volume_l);
  }
}

// The way there and back: arrest, fortify, then ask which arrest gives that strength and that sugar.
TEST(Fortify, TheArrestForAWantedStrengthAndSugarIsFoundAgain) {
  for (const double spirit_pct : {18.5, 40.0, 77.0, 96.0})
    for (double arrest_pct = 0.0; arrest_pct <= 14.0; arrest_pct += 0.875) {
      const Must must{1000.0, 240.0};
      const Fortified made = wine(fortify_to_strength(base(arrest_at_alcohol(must, arrest_pct)), spirit_pct, 18.0));
      const auto plan = std::get<ArrestPlan>(plan_arrest(must, spirit_pct, 18.0, made.sugar_g_l));
      // 1e-8: near the spirit's strength the sugar hardly depends on the arrest.
      EXPECT_NEAR(plan.arrest.alcohol_pct, arrest_pct, 1e-8) << spirit_pct;
      EXPECT_NEAR(plan.wine.spirit_l, made.spirit_l, 1e-7 * made.spirit_l + 1e-9);
    }
}

// A must whose potential alcohol passes the spirit's strength: there the wine is the sweeter the later the arrest.
TEST(Fortify, AWeakSpiritOnAVerySweetMustTurnsTheRuleRound) {
  const Must must{100.0, 400.0};
  const Fortified early = wine(fortify_to_strength(base(arrest_at_alcohol(must, 2.0)), 20.0, 15.0));
  const Fortified late = wine(fortify_to_strength(base(arrest_at_alcohol(must, 9.0)), 20.0, 15.0));
  EXPECT_LT(early.sugar_g_l, late.sugar_g_l);
  const auto plan = std::get<ArrestPlan>(plan_arrest(must, 20.0, 15.0, late.sugar_g_l));
  EXPECT_NEAR(plan.arrest.alcohol_pct, 9.0, 1e-8);
}

TEST(Fortify, SpiritOnUnfermentedMustAndNoSpiritAtAllAreTheTwoEnds) {
  const Fortified mistelle = wine(fortify_to_strength({1000.0, 0.0, 240.0}, 96.0, 16.0));
  EXPECT_EQ(mistelle.spirit_share_of_alcohol_pct, 100.0);
  const Fortified none = wine(fortify_to_strength({1000.0, 14.0, 5.0}, 96.0, 14.0));
  EXPECT_NEAR(none.spirit_l, 0.0, 1e-9);
  EXPECT_NEAR(none.volume_l, 1000.0, 1e-9);
  const Fortified water = wine(fortify_with_volume({1000.0, 0.0, 240.0}, 0.0, 10.0));
  EXPECT_EQ(water.spirit_share_of_alcohol_pct, 0.0);
  EXPECT_FALSE(water.additive_spirit_l.has_value());
}

TEST(Fortify, WishesForTheStrengthThatCannotBeMetSayWhyAndWhatCould) {
  const MustAtArrest must{1000.0, 7.0, 120.0};
  const auto too_strong = refusal(fortify_to_strength(must, 18.0, 18.0));
  EXPECT_EQ(too_strong.fault, FortifyFault::strength_not_below_the_spirit);
  EXPECT_EQ(too_strong.asked, 18.0);
  EXPECT_EQ(too_strong.highest, 18.0);
  const auto too_weak = refusal(fortify_to_strength(must, 96.0, 5.0));
  EXPECT_EQ(too_weak.fault, FortifyFault::strength_below_the_arrest);
  EXPECT_EQ(too_weak.lowest, 7.0);
  EXPECT_EQ(refusal(fortify_to_strength(must, 101.0, 16.0)).fault, FortifyFault::spirit_strength_out_of_range);
  EXPECT_EQ(refusal(fortify_to_strength(must, 96.0, kNoNumber)).fault, FortifyFault::strength_not_below_the_spirit);
  EXPECT_EQ(refusal(fortify_with_volume(must, 96.0, -1.0)).fault, FortifyFault::spirit_volume_out_of_range);
  EXPECT_EQ(refusal(fortify_with_volume(must, 96.0, 1e300)).fault, FortifyFault::spirit_volume_out_of_range);
  EXPECT_EQ(refusal(fortify_with_volume({0.0, 7.0, 120.0}, 96.0, 1.0)).fault, FortifyFault::must_volume_out_of_range);
  EXPECT_EQ(refusal(fortify_with_volume({1.0, -7.0, 120.0}, 96.0, 1.0)).fault,
            FortifyFault::arrest_alcohol_out_of_reach);
  EXPECT_EQ(refusal(fortify_with_volume({1.0, 7.0, -1.0}, 96.0, 1.0)).fault, FortifyFault::must_sugar_out_of_range);
}

TEST(Fortify, ArrestsThatTheMustCannotReachSayHowFarItGoes) {
  const Must must{1000.0, 168.3};
  const auto late = refusal(arrest_at_alcohol(must, 11.0));
  EXPECT_EQ(late.fault, FortifyFault::arrest_alcohol_out_of_reach);
  EXPECT_NEAR(late.highest, 10.0, 1e-12);  // 168.3 / 16.83
  EXPECT_EQ(refusal(arrest_at_sugar(must, 170.0)).fault, FortifyFault::arrest_sugar_out_of_reach);
  const auto heavy = refusal(arrest_at_density(must, 1.12, 25.0));
  EXPECT_EQ(heavy.fault, FortifyFault::arrest_density_out_of_reach);
  EXPECT_LT(heavy.lowest, 1.0);
  EXPECT_EQ(refusal(arrest_at_density(must, 1.03, 600.0)).fault, FortifyFault::other_extract_out_of_range);
  EXPECT_EQ(refusal(arrest_at_density({1.0, 700.0}, 1.03, 0.0)).fault, FortifyFault::must_sugar_out_of_range);
  EXPECT_EQ(refusal(arrest_at_alcohol({1.0, 240.0, 0.0}, 7.0)).fault, FortifyFault::sugar_per_pct_out_of_range);
  EXPECT_EQ(refusal(arrest_at_alcohol({kNoNumber, 240.0}, 7.0)).fault, FortifyFault::must_volume_out_of_range);
}

// The ends: most sugar from spirit on unfermented must, least from must fermented dry or to the wanted strength.
TEST(Fortify, AWantedSugarOutOfReachIsRefusedWithTheRangeInReach) {
  const Must must{1000.0, 240.0};
  const auto refused = refusal(plan_arrest(must, 96.0, 18.0, 220.0));
  EXPECT_EQ(refused.fault, FortifyFault::final_sugar_out_of_reach);
  EXPECT_NEAR(refused.highest, wine(fortify_to_strength({1000.0, 0.0, 240.0}, 96.0, 18.0)).sugar_g_l, 1e-9);
  EXPECT_NEAR(refused.lowest, 0.0, 1e-9);
  // Fermented to 10 %vol, no spirit.
  EXPECT_NEAR(refusal(plan_arrest(must, 96.0, 10.0, 5.0)).lowest, 240.0 - 168.3, 1e-9);
  EXPECT_EQ(refusal(plan_arrest(must, 17.0, 18.0, 100.0)).fault, FortifyFault::strength_not_below_the_spirit);
}

// British Columbia Fruit, p. 28: 1370 L at 20 %vol sweetened to 60 g/L, printed as 82.26 kg, 1421 L, 19.28 %vol. That
// is 1370 L x 60 g/L, sized on the wine before it grew, and leaves 57.9 g/L. Solved on the sweetened volume: x kg with
// 1000 x = 60 (1370 + 0.62 x), by hand 85.38 kg, 1422.9 L, 19.256 %vol. Tolerances are the last digits.
TEST(Fortify, SweeteningIsSizedOnTheSweetenedVolume) {
  const Sweetened made = sweeten(1370.0, 20.0, 0.0, 60.0).value();
  EXPECT_NEAR(made.sugar_kg, 1370.0 * 60.0 / (1000.0 - 60.0 * 0.62), 1e-9);
  EXPECT_NEAR(made.sugar_kg, 85.38, 0.005);
  EXPECT_NEAR(made.volume_l, 1422.9, 0.05);
  EXPECT_NEAR(made.alcohol_pct, 19.256, 0.0005);
  EXPECT_NEAR(1000.0 * 82.26 / 1421.0, 57.9, 0.05);
  const Sweetened more = sweeten(1370.0, 20.0, 30.0, 60.0).value();
  EXPECT_NEAR((1370.0 * 30.0 + 1000.0 * more.sugar_kg) / more.volume_l, 60.0, 1e-9);
  EXPECT_FALSE(sweeten(1370.0, 20.0, 70.0, 60.0) || sweeten(1370.0, 20.0, 0.0, 1700.0));
  EXPECT_FALSE(sweeten(-1.0, 20.0, 0.0, 60.0) || sweeten(1.0, kNoNumber, 0.0, 60.0));
}

}  // namespace
}  // namespace tierce
