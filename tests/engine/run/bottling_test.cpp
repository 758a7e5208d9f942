// A draw that stands in a tank, and its bottling: figures worked out by hand.
#include <gtest/gtest.h>

#include <cmath>

#include "cli/read/load.h"
#include "engine/measure/age.h"
#include "engine/measure/balance.h"
#include "engine/measure/composition.h"
#include "engine/run/outlook.h"

namespace tierce {
namespace {

// 800 L that lose nothing, so that every figure can be had on paper. Grapes as stated by the lots.
constexpr const char* kReserve =
    "reserve: Amber\n"
    "tiers:\n"
    "  - {name: floor, vessels: [{name: F, count: 4, capacity: 200 L}], evaporation: 0 %/yr}\n"
    "tanks: [{name: T1, capacity: 400 L}, {name: T2, capacity: 400 L}]\n"
    "lots:\n"
    "  - {name: GG20, vintage: 2020, harvested: 2020-10-01, alcohol: 18 %vol, sugar: 100 g/L, grapes: {Verdelho: 100 "
    "%}}\n"
    "  - {name: GG23, vintage: 2023, harvested: 2023-10-01, alcohol: 16 %vol, sugar: 60 g/L, grapes: {Touriga: 40 %}}\n"
    "log:\n"
    "  - {date: 2020-11-01, do: add, lot: GG20, to: floor, volume: 600 L}\n"
    "  - {date: 2023-11-01, do: add, lot: GG23, to: floor, volume: 200 L}\n";

Outlook run_of(const std::string& entries) {
  std::vector<Problem> problems;
  const LoadedScenario loaded = check_source(source_from("bottling.yaml", kReserve + entries, problems));
  EXPECT_TRUE(loaded.problems.empty()) << loaded.problems.front().what;
  return run_scenario(loaded.scenario, {});
}

constexpr const char* kStandsAndIsBottled =
    "  - {date: 2024-10-01, do: draw, from: floor, volume: 216 L, to: T1, for: Bottling 2024}\n"
    "  - {date: 2025-10-01, do: bottle, from: T1, bottles: 560 x 375 mL, loss: 3 L}\n";

TEST(Bottling, AgesAreThoseOfItsDayAndTheDrawsStandBeside) {
  const Outlook outlook = run_of(kStandsAndIsBottled);
  ASSERT_EQ(outlook.run.bottlings.size(), 1u);
  const BottlingRecord& bottling = outlook.run.bottlings[0];
  EXPECT_EQ(bottling.wine.name, "Bottling 2024");
  EXPECT_EQ(bottling.draws, std::vector<int>{0});
  EXPECT_NEAR(bottling.wine.volume_l, 210.0, 1e-12);
  // Three quarters of 2020 and a quarter of 2023: a year in the tank makes each a year older.
  const auto mean_y = [&](const DrawRecord& wine) {
    return age_of(outlook.line, Clock::harvest, wine.wine, wine.day).mean_y;
  };
  EXPECT_NEAR(mean_y(outlook.run.draws[0]), 0.75 * 4 + 0.25 * 1, 1e-12);
  EXPECT_NEAR(mean_y(bottling.wine), 0.75 * 5 + 0.25 * 2, 1e-12);
}

TEST(Bottling, IsOneFlowOfTheBalanceAndItsLossAnother) {
  const Balance balance = balance_of_volume(run_of(kStandsAndIsBottled).run);
  EXPECT_EQ(balance.flow[kDrawn], 0.0);  // the draw went no further than the tank
  EXPECT_NEAR(balance.flow[kBottled], 210.0, 1e-12);
  EXPECT_NEAR(balance.flow[kLost], 3.0, 1e-12);
  EXPECT_NEAR(balance.held, 800.0 - 213.0, 1e-9);  // 3 L stay in the tank
  EXPECT_NEAR(balance.gap(), 0.0, 1e-9 * 800.0);
}

TEST(Bottling, EmptiesATankToNothing) {
  const Outlook outlook = run_of(
      "  - {date: 2024-10-01, do: draw, from: floor, volume: 213 L, to: T1}\n"
      "  - {date: 2025-10-01, do: bottle, from: T1, bottles: 560 x 375 mL, loss: 3 L}\n"
      "  - {date: 2025-10-02, do: draw, from: floor, volume: 10 L, to: T1, for: Next}\n");
  EXPECT_NEAR(outlook.run.bottlings[0].wine.wine.litres.sum(), 210.0, 1e-9);
  EXPECT_NEAR(outlook.run.looks.back().volume[1], 10.0, 1e-12);
  EXPECT_EQ(outlook.run.standing.back()[1], std::vector<int>{1});  // of the first draw nothing is left there
}

TEST(Bottling, BlendsTheDrawsThatStandInOneTankAndNamesThem) {
  const Outlook outlook = run_of(
      "  - {date: 2024-10-01, do: draw, from: floor, volume: 100 L, to: T1, for: First}\n"
      "  - {date: 2024-10-02, do: draw, from: floor, volume: 100 L, to: T2, for: Second}\n"
      "  - {date: 2024-10-03, do: move, from: T2, to: T1, share: 100 %}\n"
      "  - {date: 2024-10-04, do: bottle, from: T1, bottles: 100 x 750 mL}\n");
  EXPECT_EQ(outlook.run.bottlings[0].wine.name, "First + Second");
  EXPECT_EQ(outlook.run.bottlings[0].draws, (std::vector<int>{0, 1}));
  EXPECT_TRUE(outlook.run.standing.back()[2].empty());
}

// Decision 11: all draws of the year, in pure alcohol. What is drawn from a tank has been counted at its draw.
TEST(Bottling, WineDrawnTwiceCountsOnceInTheQuotient) {
  const Outlook outlook = run_of(
      "  - {date: 2024-10-01, do: draw, from: floor, volume: 200 L, to: T1, for: Bottling 2024}\n"
      "  - {date: 2024-11-01, do: draw, from: T1, volume: 50 L, use: bulk, for: Sale}\n");
  const DrawRecord& draw = outlook.run.draws[0];
  EXPECT_NEAR(stock_over_draw_y(outlook.run, draw, draw.tiers_alcohol_before_l), 4.0, 1e-12);
  EXPECT_TRUE(outlook.run.draws[1].again);
  EXPECT_EQ(outlook.run.draws[1].use, Use::bulk);
}

TEST(Refill, TakesItsNewWineFromATank) {
  const Outlook outlook = run_of(
      "  - {date: 2024-10-01, do: add, lot: GG23, to: T2, volume: 300 L}\n"
      "  - {date: 2024-10-05, do: draw, from: floor, volume: 200 L}\n"
      "  - {date: 2024-10-05, do: refill, from: T2}\n");
  EXPECT_NEAR(outlook.run.looks.back().volume[0], 800.0, 1e-9);
  EXPECT_NEAR(outlook.run.looks.back().volume[2], 100.0, 1e-9);
  ASSERT_EQ(outlook.run.refreshes.back().lots.size(), 1u);
  EXPECT_EQ(outlook.run.refreshes.back().lots[0].first, "GG23");
  EXPECT_NEAR(outlook.run.refreshes.back().lots[0].second, 200.0, 1e-9);
}

// Three quarters of a wine that is all Verdelho, a quarter of one that states 40 % of Touriga and no more.
TEST(Composition, IsThatOfTheLotsByLitres) {
  const Outlook outlook = run_of(kStandsAndIsBottled);
  const auto grapes = grapes_of(outlook.line, outlook.run.draws[0].wine.litres);
  ASSERT_EQ(grapes.size(), 2u);
  EXPECT_EQ(grapes[0].name, "Verdelho");
  EXPECT_NEAR(grapes[0].fraction, 0.75, 1e-12);
  EXPECT_NEAR(grapes[1].fraction, 0.10, 1e-12);
  EXPECT_TRUE(grown_of(outlook.line, outlook.run.draws[0].wine.litres).empty());
}

}  // namespace
}  // namespace tierce
