// Vessels that come and go, tiers that are set anew, gauges against the book: figures worked out by hand.
#include "engine/run/vessel_work.h"

#include <gtest/gtest.h>

#include <cmath>

#include "cli/read/load.h"
#include "engine/measure/balance.h"
#include "engine/measure/losses.h"
#include "engine/run/outlook.h"

namespace tierce {
namespace {

// 400 L in two casks that lose nothing.
constexpr const char* kReserve =
    "reserve: Amber\n"
    "tiers:\n"
    "  - {name: floor, vessels: [{name: F, count: 2, capacity: 200 L}], evaporation: 0 %/yr}\n"
    "tanks: [{name: T1, capacity: 400 L}]\n"
    "lots:\n"
    "  - {name: GG20, vintage: 2020, harvested: 2020-10-01, alcohol: 18 %vol, sugar: 100 g/L}\n"
    "log:\n"
    "  - {date: 2021-01-01, do: add, lot: GG20, to: floor, volume: 400 L}\n";

Scenario scenario_of(const std::string& entries) {
  std::vector<Problem> problems;
  const LoadedScenario loaded = check_source(source_from("vessels.yaml", kReserve + entries, problems));
  EXPECT_TRUE(loaded.problems.empty()) << loaded.problems.front().what;
  return loaded.scenario;
}

Outlook run_of(const std::string& entries) { return run_scenario(scenario_of(entries), {.habit = false}); }

TEST(BringIn, MakesRoomAndRaisesATargetThatNobodyStated) {
  const Outlook outlook = run_of(
      "  - {date: 2021-06-01, do: bring in, tier: floor, vessel: F3, capacity: 100 L}\n"
      "  - {date: 2021-06-01, do: refill, lot: GG20}\n");
  const Stock& stock = outlook.run.looks.back();
  EXPECT_NEAR(stock.volume[0], 500.0, 1e-9);
  EXPECT_NEAR(stock.levels.of(0)[2], 100.0, 1e-9);
  EXPECT_NEAR(stock.levels.capacity_of(0), 500.0, 1e-12);
}

// The tier 'floor' has one vessel of its name: 'floor' alone would mean both as soon as there is a second.
TEST(BringIn, NeedsTheFirstVesselToHaveItsOwnName) {
  std::vector<Problem> problems;
  const LoadedScenario loaded = check_source(
      source_from("vessels.yaml",
                  "reserve: Amber\ntiers:\n  - name: floor\n    vessels: [{name: floor, capacity: 400 L}]\nlots:\n"
                  "  - {name: GG20, vintage: 2020, alcohol: 18 %vol}\nlog:\n"
                  "  - {date: 2021-01-01, do: add, lot: GG20, to: floor, volume: 400 L}\n"
                  "  - {date: 2022-01-01, do: bring in, tier: floor, vessel: F2, capacity: 200 L}\n",
                  problems));
  ASSERT_EQ(loaded.problems.size(), 1u);
  EXPECT_EQ(loaded.problems[0].at.line, 9);
  EXPECT_EQ(
      loaded.problems[0].what,
      "'vessel': tier 'floor' cannot get a second vessel, since the one in line 4 has the tier's name, which would "
      "then mean both");
}

TEST(BringIn, TakesTheSoakageOfDryWoodFromTheFirstWineInIt) {
  const Outlook outlook = run_of(
      "  - {date: 2021-06-01, do: bring in, tier: floor, vessel: F3, capacity: 100 L, soakage: 3 L}\n"
      "  - {date: 2021-06-02, do: refill, lot: GG20}\n");
  EXPECT_NEAR(outlook.run.looks.back().levels.of(0)[2], 97.0, 1e-9);
  ASSERT_EQ(outlook.run.losses.size(), 1u);
  EXPECT_EQ(outlook.run.losses[0].cause, "soakage");
  EXPECT_NEAR(outlook.run.losses[0].litres, 3.0, 1e-12);
  EXPECT_NEAR(balance_of_volume(outlook.run).gap(), 0.0, 1e-9 * 500.0);
}

TEST(TakeOut, LosesTheWineOfTheVesselForItsCause) {
  const Outlook outlook = run_of("  - {date: 2021-06-01, do: take out, vessel: F2, because: staves broken}\n");
  EXPECT_NEAR(outlook.run.looks.back().volume[0], 200.0, 1e-9);
  EXPECT_EQ(outlook.run.looks.back().levels.of(0)[1], 0.0);
  EXPECT_EQ(outlook.run.losses[0].cause, "staves broken");
  EXPECT_NEAR(outlook.run.losses[0].alcohol_l, 36.0, 1e-9);  // 200 L of 18 %vol
  EXPECT_NEAR(balance_of_volume(outlook.run).flow[kLost], 200.0, 1e-9);
}

TEST(TakeOut, LosesNothingAfterAMove) {
  const Outlook outlook = run_of(
      "  - {date: 2021-06-01, do: move, from: F2, to: T1, share: 100 %}\n"
      "  - {date: 2021-06-01, do: take out, vessel: F2, because: sold}\n");
  EXPECT_TRUE(outlook.run.losses.empty());
  EXPECT_NEAR(outlook.run.looks.back().volume[1], 200.0, 1e-9);
}

TEST(TakeOut, LetsAVesselComeBackWithAnotherCapacity) {
  const Outlook outlook = run_of(
      "  - {date: 2021-06-01, do: take out, vessel: F2, because: to the cooper}\n"
      "  - {date: 2021-07-01, do: bring in, tier: floor, vessel: F2, capacity: 190 L}\n"
      "  - {date: 2021-07-01, do: refill, lot: GG20}\n");
  EXPECT_NEAR(outlook.run.looks.back().volume[0], 390.0, 1e-9);
}

// 400 L x 0.96 at the new rate for one year; before it nothing is lost.
TEST(Set, ChangesTheEvaporationFromItsDayOn) {
  const Outlook outlook = run_of(
      "  - {date: 2022-01-01, do: set, tier: floor, evaporation: 4 %/yr, vapour: 10 %vol}\n"
      "  - {date: 2023-01-01, do: gauge, tier: floor, volume: 384 L}\n");
  ASSERT_EQ(outlook.run.readings.size(), 1u);
  EXPECT_NEAR(outlook.run.readings[0].book, 384.0, 1e-9);
  EXPECT_NEAR(outlook.run.looks.back().alcohol_l(0), 72.0 - 1.6, 1e-9);
}

TEST(Set, ChangesTheTargetOfTheNextRefill) {
  const Outlook outlook = run_of(
      "  - {date: 2022-01-01, do: draw, from: floor, volume: 100 L}\n"
      "  - {date: 2022-01-01, do: set, tier: floor, target: 350 L}\n"
      "  - {date: 2022-01-01, do: refill, lot: GG20}\n");
  EXPECT_NEAR(outlook.run.looks.back().volume[0], 350.0, 1e-9);
}

TEST(AsTheLogLeavesIt, HasTheVesselsAndTheRatesOfTheLastDay) {
  const Scenario left = as_the_log_leaves_it(
      scenario_of("  - {date: 2021-06-01, do: bring in, tier: floor, vessel: F3, capacity: 100 L}\n"
                  "  - {date: 2021-06-02, do: take out, vessel: F1, because: sold}\n"
                  "  - {date: 2021-06-03, do: set, tier: floor, evaporation: 4 %/yr}\n"));
  ASSERT_EQ(left.tiers[0].vessels.size(), 2u);
  EXPECT_EQ(left.tiers[0].vessels[0].name, "F2");
  EXPECT_NEAR(left.tiers[0].target_l, 300.0, 1e-12);
  EXPECT_NEAR(left.tiers[0].evaporation.per_year, 0.04, 1e-15);
}

// Half of the cask by its diameter; at 30 cm of 60 the shape of the heads does not matter.
TEST(Gauge, ByDipIsReadInTheVesselThatItNames) {
  const std::string cask = "{name: G, capacity: 200 L, bung: 60 cm, head: 50 cm, length: 76 cm}";
  std::vector<Problem> problems;
  const LoadedScenario loaded =
      check_source(source_from("dip.yaml",
                               "reserve: Amber\ntiers:\n  - {name: floor, vessels: [" + cask +
                                   ", {name: H, capacity: 100 L, table: {20 cm: 40 L, "
                                   "40 cm: 100 L}}], evaporation: 0 %/yr, vapour: 10 %vol}\n"
                                   "lots: [{name: GG20, vintage: 2020, alcohol: 18 %vol}]\n"
                                   "log:\n  - {date: 2021-01-01, do: add, lot: GG20, to: floor, volume: 290 L}\n"
                                   "  - {date: 2021-01-02, do: gauge, wet: {G: 30 cm, H: 30 cm}, error: 1 %}\n",
                               problems));
  ASSERT_TRUE(loaded.problems.empty()) << loaded.problems.front().what;
  const Outlook outlook = run_scenario(loaded.scenario, {});
  EXPECT_NEAR(outlook.run.looks.back().levels.of(0)[0], 100.0, 1e-8);
  EXPECT_NEAR(outlook.run.looks.back().levels.of(0)[1], 70.0, 1e-12);
  EXPECT_NEAR(outlook.run.readings[0].error_l, 1.0, 1e-9);
}

// Two gauges of 1 % on 1,000 L: sqrt(10^2 + 10^2) = 14.1 L, the root of the sum of squares.
TEST(GaugeCheck, HoldsADifferenceAgainstTheErrorsOfBothGauges) {
  EXPECT_NEAR(joint_error(10.0, 10.0), 14.142, 0.001);
  Trajectory run;
  Reading first;
  first.quantity = "volume";
  first.measured = first.book = 1000.0;
  first.error_l = 10.0;
  Reading second = first;
  for (const double missing : {14.0, 14.2, -14.2}) {
    second.measured = 1000.0 - missing;
    run.readings = {first, second};
    const auto checks = gauges_against_book(run);
    ASSERT_EQ(checks.size(), 2u);
    EXPECT_NEAR(checks[1].missing_l, missing, 1e-12);
    EXPECT_NEAR(checks[1].error_l, std::sqrt(200.0), 1e-12);
    EXPECT_EQ(checks[1].beyond(), std::abs(missing) > std::sqrt(200.0)) << missing;
  }
  second.error_l = kUnknown;
  run.readings = {second};
  EXPECT_FALSE(gauges_against_book(run)[0].beyond());  // nothing to hold it against
}

// 400 L for half a year, then 350 L for the other half: 375 L on average.
TEST(Losses, OfAYearStandBesideTheMeanStock) {
  const Outlook outlook = run_of(
      "  - {date: 2021-07-02, do: lose, from: floor, volume: 50 L, cause: leak}\n"
      "  - {date: 2021-12-31, do: lose, from: floor, volume: 1 L, cause: sample}\n");
  const auto years = losses_by_year(outlook.run);
  ASSERT_EQ(years.size(), 1u);
  const double until_july = 182.0 / 365.0, covered = 364.0 / 365.0;
  EXPECT_NEAR(years[0].years, covered, 1e-12);
  EXPECT_NEAR(years[0].mean_stock_l, (400.0 * until_july + 350.0 * (covered - until_july)) / covered, 1e-9);
  EXPECT_NEAR(years[0].causes.at("leak"), 50.0, 1e-12);
  EXPECT_NEAR(years[0].lost_l(), 51.0, 1e-9);
  // 10 %/yr as a tier has it: wine that stays a year keeps 0.9, so the rate is -ln 0.9 of what lies there.
  EXPECT_NEAR(years[0].allowed_l(0.1), -std::log(0.9) * years[0].mean_stock_l * covered, 1e-12);
  const auto both = together({years, years});
  EXPECT_NEAR(both[0].mean_stock_l, 2.0 * years[0].mean_stock_l, 1e-9);
  EXPECT_NEAR(both[0].per_year(), years[0].per_year(), 1e-12);
}

}  // namespace
}  // namespace tierce
