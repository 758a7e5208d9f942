// Spirit and water in the book: a mass balance, with the contraction on its own line.
#include <gtest/gtest.h>

#include <cmath>

#include "cli/read/rule_book.h"
#include "engine/measure/balance.h"
#include "engine/rules/strength.h"
#include "engine/run/outlook.h"
#include "engine/wine/alcoholometry.h"

namespace tierce {
namespace {

/// One tank of `volume_l` at `alcohol_pct`, with spirits of 40, 77 and 96 %vol at hand.
Scenario tank_of(double volume_l, double alcohol_pct) {
  Scenario scenario;
  Tier tier;
  tier.name = "tier";
  tier.vessels = {{{}, "v", 2000.0}};
  tier.target_l = 2000.0;
  tier.evaporation = {Evaporation::Kind::share, 0.0, true};
  scenario.tiers = {tier};
  Lot lot;
  lot.name = "base";
  lot.vintage = 2020;
  lot.harvested = {2020, 10, 1};
  lot.wine.alcohol_pct = alcohol_pct;
  lot.wine.sugar_g_l = 120.0;
  lot.wine.ph = 3.5;
  scenario.lots = {lot};
  for (const double strength : {40.0, 77.0, 96.0}) {
    Spirit spirit;
    spirit.name = "spirit";
    spirit.strength_pct = strength;
    spirit.made = Date{2020, 1, 1};
    scenario.spirits.push_back(spirit);
  }
  Entry add;
  add.date = {2020, 11, 1};
  add.action = Add{0, {}, Place{{}, 0, -1}, Amount{{}, Amount::Kind::litres, volume_l, 0.0}};
  scenario.log = {add};
  return scenario;
}

Outlook with(Scenario scenario, const Action& action) {
  Entry entry;
  entry.date = {2020, 11, 2};
  entry.action = action;
  scenario.log.push_back(entry);
  return run_scenario(scenario, {});
}

Fortify pour(int spirit, double litres) {
  Fortify fortify;
  fortify.place.row = 0;
  fortify.spirit = spirit;
  fortify.volume_l = litres;
  return fortify;
}

// Blends worked out with OIML R 22 (docs/sources.md, fortifying against the additive rule), printed to 0.001 %vol and
// 0.01 L.
TEST(FortifyInTheBook, GivesTheMassBalanceOfOimlR22) {
  struct Case {
    double base_l, base_pct;
    int spirit;
    double spirit_l, pct, litres, litres_tolerance;
  };
  for (const Case& c : {Case{20, 15, 0, 5, 20.016, 24.981, 5e-4}, Case{440, 6, 1, 110, 20.365, 545.54, 5e-3},
                        Case{90, 10, 2, 10, 18.752, 99.19, 5e-3}}) {
    const Outlook outlook = with(tank_of(c.base_l, c.base_pct), pour(c.spirit, c.spirit_l));
    const Stock& stock = outlook.run.looks.back();
    EXPECT_NEAR(stock.alcohol_pct(0), c.pct, 5e-4);
    EXPECT_NEAR(stock.volume[0], c.litres, c.litres_tolerance);
    EXPECT_NEAR(stock.litres.sum(), stock.volume[0], 1e-12 * c.litres);
    EXPECT_NEAR(stock.levels.of(0, 0), stock.volume[0], 1e-12 * c.litres);
  }
}

TEST(FortifyInTheBook, BooksTheContractionAndKeepsSugarAndAlcohol) {
  const Outlook outlook = with(tank_of(1000.0, 7.0), pour(2, 110.0));
  const Balance volume = balance_of_volume(outlook.run), alcohol = balance_of_alcohol(outlook.run),
                sugar = balance_of(outlook.run, kSugar);
  EXPECT_GT(volume.flow[kContracted], 0.0);
  EXPECT_NEAR(volume.gap(), 0.0, 1e-9 * volume.throughput());
  EXPECT_NEAR(alcohol.held, 70.0 + 0.96 * 110.0, 1e-10);
  EXPECT_NEAR(alcohol.gap(), 0.0, 1e-9 * alcohol.throughput());
  EXPECT_NEAR(sugar.held, 120.0 * 1000.0, 1e-9);
  EXPECT_NEAR(outlook.run.flows.years.back().gap_l(), 0.0, 1e-9 * volume.throughput());
  EXPECT_NEAR(outlook.run.looks.back().ph(0), 3.5, 1e-12);
}

TEST(FortifyInTheBook, ReachesTheStrengthAskedFor) {
  Fortify fortify;
  fortify.place.row = 0;
  fortify.spirit = 2;
  fortify.to_pct = 16.0;
  EXPECT_NEAR(with(tank_of(1000.0, 7.0), fortify).run.looks.back().alcohol_pct(0), 16.0, 1e-10);
}

// 27 CFR 30.66: 100 gallons at 112 proof need 12.42 gallons of water to reach 100 proof (at 60 °F; the change to 20 °C
// moves the fifth digit).
TEST(ReduceInTheBook, TakesTheWaterOfTheGaugingRegulation) {
  Reduce reduce;
  reduce.place.row = 0;
  reduce.to_pct = 50.0;
  const Outlook outlook = with(tank_of(100.0, 56.0), reduce);
  EXPECT_NEAR(outlook.run.fortifications.back().added_l, 12.42, 0.02);
  EXPECT_NEAR(outlook.run.looks.back().alcohol_pct(0), 50.0, 1e-10);
  const Balance volume = balance_of_volume(outlook.run);
  EXPECT_NEAR(volume.flow[kWater], outlook.run.fortifications.back().added_l, 1e-9);
  EXPECT_NEAR(volume.gap(), 0.0, 1e-9 * volume.throughput());
}

TEST(FortifyInTheBook, RefusesWhatCannotBe) {
  Fortify weak;
  weak.place.row = 0;
  weak.spirit = 0;
  weak.to_pct = 45.0;  // above the spirit's 40 %vol
  EXPECT_EQ(with(tank_of(100.0, 10.0), weak).run.problems.size(), 1u);
  Scenario scenario = tank_of(100.0, 10.0);
  scenario.spirits[2].stock_l = 5.0;
  const Outlook outlook = with(scenario, pour(2, 6.0));
  ASSERT_EQ(outlook.run.problems.size(), 1u);
  EXPECT_EQ(outlook.run.problems[0].what, "this takes 6 L of spirit 'spirit', of which 5 L is left");
  EXPECT_NEAR(outlook.run.looks.back().volume[0], 100.0, 1e-12);  // nothing was changed
}

/// Draws of 100 L: their row and strength.
std::vector<DrawRecord> draws_of(const std::vector<std::pair<int, double>>& rows_and_strengths) {
  std::vector<DrawRecord> draws;
  for (const auto& [row, strength_pct] : rows_and_strengths) {
    DrawRecord& draw = draws.emplace_back();
    draw.row = row;
    draw.volume_l = 100.0;
    draw.wine.alcohol = Amounts::Constant(1, strength_pct);
  }
  return draws;
}

// 26 USC 5041(b): a class runs "not more than" its upper strength, so the boundary itself belongs to the lower side.
TEST(StrengthClasses, TheBoundaryBelongsToTheLowerSide) {
  const double on_it = *alcohol_pct_from_us_proof(32.0);  // 16 %vol at 60 °F, the scale of the law
  const auto draws = draws_of({{0, 15.9}, {0, on_it - 1e-9}, {0, on_it + 1e-7}, {0, 17.0}, {0, 17.5}});
  const auto found = crossings(draws, strength_boundaries(built_in_rules(), {"us"}, {}));
  ASSERT_EQ(found.size(), 1u);
  EXPECT_EQ(found[0].draw, 2u);
  EXPECT_EQ(found[0].boundary.pct, 16.0);
  EXPECT_TRUE(found[0].upward);
  EXPECT_EQ(first_outside(draws, 16.0, 1.0), 4u);  // 17.0 is not more than 1.0 away
  EXPECT_EQ(first_outside(draws, 16.0, 2.0), draws.size());
}

TEST(StrengthClasses, AreCrossedByTheWineOfOneTierWhateverIsDrawnBetween) {
  const auto draws = draws_of({{0, 15.5}, {1, 18.0}, {0, kUnknown}, {0, 16.5}, {1, 15.0}});
  const auto found = crossings(draws, {{16.0, "above 16", "a rule"}});
  ASSERT_EQ(found.size(), 2u);
  EXPECT_EQ(found[0].draw, 3u);
  EXPECT_TRUE(found[0].upward);
  EXPECT_EQ(found[1].draw, 4u);
  EXPECT_FALSE(found[1].upward);
  EXPECT_EQ(crossings(draws_of({{0, 15.5}, {0, 16.5}}), {{16.0, "above 16", "a rule"}}).size(), 1u);
}

}  // namespace
}  // namespace tierce
