// The engine against the twin that moves wine parcel by parcel, over random cellars with fixed seeds.
#include "tests/twin/slow_twin.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "tests/twin/random_cellar.h"
#include "tests/twin/twin_agreement.h"

namespace tierce {
namespace {

using test::expect_agreement;
using test::random_cellar;

/// Tiers `tier0`, `tier1`, ... of one vessel each, filled to capacity, that lose nothing; one lot without a fault.
Scenario plain_cellar(const std::vector<double>& capacities_l) {
  Scenario scenario;
  for (const double capacity_l : capacities_l) {
    Tier tier;
    tier.name = "tier" + std::to_string(scenario.tiers.size());
    tier.vessels = {{{}, tier.name + "v", capacity_l}};
    tier.target_l = capacity_l;
    tier.evaporation = {Evaporation::Kind::share, 0.0, true};
    tier.vapour_pct = 10.0;
    tier.vapour_stated = true;
    scenario.tiers.push_back(tier);
  }
  Lot lot;
  lot.name = "first";
  lot.vintage = 2000;
  lot.harvested = {2000, 10, 1};
  lot.wine.alcohol_pct = 18.0;
  lot.wine.so2_total_mg_l = 100.0;
  lot.wine.so2_free_mg_l = 40.0;
  scenario.lots.push_back(lot);
  return scenario;
}

void do_on(Scenario& scenario, const Date& date, const Action& action) {
  Entry& entry = scenario.log.emplace_back();
  entry.at = {static_cast<int>(scenario.log.size()), 1};
  entry.date = date;
  entry.action = action;
}

Add add_to(int row, double litres) { return {0, {}, Place{{}, row, -1}, {{}, Amount::Kind::litres, litres, 0.0}}; }
Draw draw_share(int row, double share) { return {Place{{}, row, -1}, {{}, Amount::Kind::share, share, 0.0}, ""}; }

/// Runs both, and wants them to agree before anything else is said of the outcome.
twin::Outcome agreed(const Scenario& scenario) {
  expect_agreement(scenario);
  return twin::run(scenario);
}

// 500 L made into a tank leave 4 % of lees there; a part is moved into a tier, and the tank gives the next refill.
TEST(SlowTwin, HoldsWineThatWasMadeIntoATank) {
  Scenario scenario = plain_cellar({300.0, 200.0});
  scenario.tanks.push_back({{}, "T3", 600.0});
  Lot made = scenario.lots.front();
  made.name = "in the tank";
  made.harvested = {2001, 9, 20};
  made.wine.alcohol_pct = 17.0;
  made.made = LotMade{{}, 500.0, Date{2001, 10, 20}, 0.04, Place{{}, 2, -1}};
  scenario.lots.push_back(made);
  do_on(scenario, {2001, 2, 10}, add_to(0, 300.0));
  do_on(scenario, {2001, 2, 10}, add_to(1, 200.0));
  do_on(scenario, {2002, 2, 10}, draw_share(1, 0.5));
  do_on(scenario, {2002, 2, 10}, Refill{-1, {}, RefillOrder::oldest_first, {}, Place{{}, 2, -1}});
  const twin::Outcome outcome = agreed(scenario);
  EXPECT_NEAR(twin::litres_in(outcome.cellar.rows[2]), 500.0 - 20.0 - 100.0, 1e-10);
  EXPECT_NEAR(outcome.cellar.rows[0].wine[0].litres, 200.0, 1e-10);  // of the first lot: 100 L went down
}

// A fifth drawn and refilled leaves four fifths of every lot: after n rounds (1 - s)^n of the first is there.
TEST(SlowTwin, LeavesOfTheFirstLotWhatRepeatedDrawsLeave) {
  Scenario scenario = plain_cellar({1000.0});
  scenario.lots.push_back(scenario.lots.front());
  scenario.lots.back().name = "second";
  do_on(scenario, {2001, 2, 10}, add_to(0, 1000.0));
  for (int year = 2002; year < 2012; ++year) {
    do_on(scenario, {year, 2, 10}, draw_share(0, 0.2));
    do_on(scenario, {year, 2, 10}, Refill{1, {}, RefillOrder::oldest_first, {}});
  }
  const twin::Outcome outcome = agreed(scenario);
  EXPECT_NEAR(outcome.cellar.rows[0].wine[0].litres, 1000.0 * std::pow(0.8, 10), 1e-10);
  EXPECT_NEAR(twin::litres_in(outcome.cellar.rows[0]), 1000.0, 1e-10);
}

// Design decision 6 by hand: tier 2 lacks 100 L and gets the 30 L there are; tier 1, now empty, lacks 100 L and gets
// them from the 300 L of tier 0, which then takes the stated 50 L.
TEST(SlowTwin, FillsNoTierAboveItsTargetWhenTheOneAboveItCouldNotGiveAll) {
  Scenario scenario = plain_cellar({300.0, 100.0, 100.0});
  do_on(scenario, {2001, 2, 10}, add_to(0, 300.0));
  do_on(scenario, {2001, 2, 10}, add_to(1, 30.0));
  do_on(scenario, {2001, 2, 11}, Refill{0, {}, RefillOrder::oldest_first, 50.0});
  const twin::Outcome outcome = agreed(scenario);
  EXPECT_TRUE(outcome.left_out.empty());
  EXPECT_NEAR(twin::litres_in(outcome.cellar.rows[2]), 30.0, 1e-10);
  EXPECT_NEAR(twin::litres_in(outcome.cellar.rows[1]), 100.0, 1e-10);
  EXPECT_NEAR(twin::litres_in(outcome.cellar.rows[0]), 250.0, 1e-10);
}

// Design decision 13 by hand: the second year loses 36 mg for each litre held when it began, 1000 L x 0.9.
TEST(SlowTwin, LosesSulfurByTheLitresHeldWhenTheYearsStepBegan) {
  Scenario scenario = plain_cellar({1000.0});
  scenario.tiers[0].evaporation.per_year = 0.1;
  scenario.so2_loss = SulfurLoss{SulfurLoss::Law::fixed, 36.0};
  do_on(scenario, {2001, 7, 1}, add_to(0, 1000.0));
  do_on(scenario, {2003, 7, 1}, draw_share(0, 0.5));
  const twin::Outcome outcome = agreed(scenario);
  EXPECT_NEAR(outcome.cellar.draws[0].dissolved.so2_total_mg, 0.5 * (100000.0 - 36000.0 - 0.9 * 36000.0), 1e-8);
}

TEST(SlowTwin, NeverLearnsAFreeSulfurThatNobodyStated) {
  Scenario scenario = plain_cellar({1000.0});
  scenario.lots[0].wine.so2_free_mg_l = kUnknown;
  do_on(scenario, {2001, 7, 1}, add_to(0, 1000.0));
  do_on(scenario, {2003, 7, 1}, draw_share(0, 0.5));
  EXPECT_FALSE(is_known(agreed(scenario).cellar.draws[0].dissolved.so2_free_mg));
}

// Each vessel loses more than it holds, so nothing is left, even where the sum of the levels and the volume of the tier
// differ in their last digit.
TEST(SlowTwin, TellsThatATierDriesUpWhateverTheRounding) {
  for (int thirteenths = 1; thirteenths < 60; ++thirteenths) {
    Scenario scenario = plain_cellar({300.0});
    scenario.tiers[0].vessels = {{{}, "a", 47.0}, {{}, "b", 53.0}, {{}, "c", 61.0}};
    scenario.tiers[0].evaporation = {Evaporation::Kind::litres_per_vessel, 3.0, true};
    do_on(scenario, {2001, 2, 10}, add_to(0, thirteenths / 13.0));
    do_on(scenario, {2001, 2, 11}, draw_share(0, 1.0 / 3.0));
    do_on(scenario, {2004, 2, 10}, add_to(0, 1.0));
    EXPECT_EQ(agreed(scenario).left_out.size(), 1u) << thirteenths;
  }
}

// The fault of 2003 stands in the book. Every later refill puts wine into the tier that is too full, and is told so.
TEST(SlowTwin, TellsOfATierThatIsTooFullInEveryYearThatFillsIt) {
  Scenario scenario = plain_cellar({1000.0, 500.0});
  scenario.so2_loss = SulfurLoss{SulfurLoss::Law::of_total, 0.0};
  do_on(scenario, {2001, 2, 10}, add_to(0, 1000.0));
  do_on(scenario, {2001, 2, 10}, add_to(1, 500.0));
  for (int year = 2002; year < 2007; ++year) {
    if (year == 2003) do_on(scenario, {year, 1, 10}, add_to(0, 300.0));
    scenario.lots.push_back(scenario.lots.front());
    scenario.lots.back().name = std::to_string(year);
    do_on(scenario, {year, 2, 10}, draw_share(1, 0.1));
    do_on(scenario, {year, 2, 10}, Refill{year - 2001, {}, RefillOrder::oldest_first, {}});
  }
  EXPECT_EQ(agreed(scenario).left_out.size(), 5u);
}

class Hundred : public testing::TestWithParam<unsigned> {};

TEST_P(Hundred, RandomCellarsComeOutAsWhenTheirWineIsMovedParcelByParcel) {
  for (unsigned seed = GetParam(); seed < GetParam() + 100; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    expect_agreement(random_cellar(seed));
    if (HasFatalFailure()) return;
  }
}

// Small cellars with few worries, whose years the engine does in one piece (usual.h).
TEST(SlowTwin, AgreesWhereEveryYearIsLikeTheLast) {
  for (unsigned seed = 5001; seed < 5301; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    expect_agreement(random_cellar(seed, {.most_tiers = 5, .usual = true}));
    if (HasFatalFailure()) return;
  }
}

INSTANTIATE_TEST_SUITE_P(FromSeed, Hundred, testing::Range(1u, 1001u, 100u),
                         [](const auto& from) { return std::to_string(from.param); });

}  // namespace
}  // namespace tierce
