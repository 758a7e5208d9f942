// Where a lot is and what is behind a draw are two views of the same litres: they add up, and they agree with the twin
// that follows every parcel by hand.
#include "engine/measure/trace.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <set>

#include "engine/run/simulate.h"
#include "tests/twin/random_cellar.h"
#include "tests/twin/slow_twin.h"

namespace tierce {
namespace {

// Sums of some thousand roundings of 1e-16, each relative to at most 100,000 L.
constexpr double kAgreeL = 1e-7;
constexpr unsigned kSeeds = 60;

std::set<std::string> lots_of(const Traced& traced) {
  std::set<std::string> names;
  for (const Arrival& arrival : traced.arrivals) names.insert(arrival.lot);
  return names;
}

Traced traced_cellar(const Scenario& scenario) { return trace(scenario, timeline(scenario, {})); }

TEST(Trace, OfADrawAgreesWithTheTwinThatFollowsEveryParcel) {
  std::size_t draws = 0;
  for (unsigned seed = 1; seed <= kSeeds; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    const Scenario scenario = test::random_cellar(seed);
    const twin::Outcome outcome = twin::run(scenario);
    const Traced traced = traced_cellar(scenario);
    ASSERT_EQ(traced.run.draws.size(), outcome.cellar.draws.size());
    for (std::size_t i = 0; i < traced.run.draws.size(); ++i, ++draws) {
      std::map<std::string, double> by_hand;
      for (const twin::Parcel& parcel : outcome.cellar.draws[i].wine)
        by_hand[outcome.cellar.sources[twin::at(parcel.source)].name] += parcel.litres;
      for (const std::string& lot : lots_of(traced))
        ASSERT_NEAR(litres_of_lot(traced, lot, traced.run.draws[i].wine.litres), by_hand[lot], kAgreeL) << lot;
    }
  }
  EXPECT_GT(draws, 500u);
}

// Line by line over all draws, and lot by lot over all places: the same litres, summed both ways.
TEST(Trace, BothViewsAddUpToTheSameLitres) {
  for (unsigned seed = 1; seed <= kSeeds; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    const Scenario scenario = test::random_cellar(seed);
    const Traced traced = traced_cellar(scenario);
    std::map<std::size_t, double> drawn_by_act, drawn_in_acts;
    std::vector<DrawRecord> left;  // the book: draws, but for those into tanks, and bottlings
    for (const DrawRecord& draw : traced.run.draws)
      if (draw.to < 0) left.push_back(draw);
    for (const BottlingRecord& bottling : traced.run.bottlings) left.push_back(bottling.wine);
    for (const DrawRecord& draw : left) {
      double litres = 0.0;
      for (const Behind& act : behind(scenario, traced, draw)) {
        drawn_by_act[act.event] += act.litres;
        litres += act.litres;
      }
      ASSERT_NEAR(litres, draw.volume_l, kAgreeL) << draw.name;  // the acts behind a draw make up all of it
    }
    for (std::size_t column = 0; column < traced.arrivals.size(); ++column)
      for (const Flow way : {kDrawn, kBottled})
        drawn_in_acts[traced.arrivals[column].event] += traced.run.flows.litres(way, static_cast<Eigen::Index>(column));
    for (const auto& [act, litres] : drawn_in_acts) ASSERT_NEAR(drawn_by_act[act], litres, kAgreeL);
    for (const std::string& lot : lots_of(traced)) {
      double drawn = 0.0;
      for (const DrawRecord& draw : left) drawn += litres_of_lot(traced, lot, draw.wine.litres);
      const auto flow = [&](Flow way) { return flow_of_lot(traced, lot, way); };
      const double held = litres_of_lot(traced, lot, traced.run.looks.back().litres.colwise().sum());
      ASSERT_NEAR(drawn, flow(kDrawn) + flow(kBottled), kAgreeL) << lot;
      ASSERT_NEAR(flow(kOpening) + flow(kIn) + flow(kWater),
                  held + drawn + flow(kEvaporated) + flow(kGauged) + flow(kLost) + flow(kContracted), kAgreeL)
          << lot;
    }
  }
}

// Wine kept apart more finely is the same wine.
TEST(Trace, ChangesNothingOfTheRun) {
  for (unsigned seed = 1; seed <= kSeeds; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    const Scenario scenario = test::random_cellar(seed);
    const Timeline line = timeline(scenario, {});
    const Trajectory plain = simulate(scenario, line);
    const Traced traced = trace(scenario, line);
    ASSERT_EQ(plain.draws.size(), traced.run.draws.size());
    for (std::size_t i = 0; i < plain.draws.size(); ++i)
      ASSERT_NEAR(plain.draws[i].volume_l, traced.run.draws[i].volume_l, kAgreeL);
    ASSERT_LE((plain.looks.back().volume - traced.run.looks.back().volume).cwiseAbs().maxCoeff(), kAgreeL);
  }
}

/// A tier under a tank and a second tier aside, by hand.
Scenario three_rows() {
  Scenario scenario;
  for (const char* name : {"young", "old"}) {
    Tier tier;
    tier.name = name;
    tier.vessels = {{{}, name, 1000.0}};
    tier.target_l = 1000.0;
    tier.evaporation.per_year = 0.0;
    scenario.tiers.push_back(tier);
  }
  scenario.tanks = {{{}, "T1", 1000.0}};
  for (const char* name : {"A", "B"}) {
    Lot lot;
    lot.name = name;
    lot.harvested = {2020, 10, 1};
    lot.vintage = 2020;
    lot.wine.alcohol_pct = 18.0;
    scenario.lots.push_back(lot);
  }
  return scenario;
}

Entry done(int line, const Date& date, Action action) { return {{line, 1}, date, std::move(action), "", ""}; }
Amount litres(double value) { return {{}, Amount::Kind::litres, value, 0.0}; }

// By hand: 300 L of A and 100 L of B in the tank; 200 L of it go to `old`, where 200 L of A lie already. Of the 400 L
// there, 150 L of A and 50 L of B came by the tank, 200 L of A by the add; the draw of 100 L takes a quarter of each.
TEST(Trace, TellsWhichLinesAreBehindADraw) {
  Scenario scenario = three_rows();
  const Place young{{}, 0, -1}, old{{}, 1, -1}, tank{{}, 2, -1};
  scenario.log = {
      done(1, {2021, 1, 1}, Add{0, {}, tank, litres(300)}),  done(2, {2021, 1, 1}, Add{1, {}, tank, litres(100)}),
      done(3, {2021, 1, 1}, Add{1, {}, young, litres(500)}), done(4, {2021, 1, 2}, Add{0, {}, old, litres(200)}),
      done(5, {2021, 1, 3}, Move{tank, old, litres(200)}),   done(6, {2021, 1, 4}, Draw{old, litres(100), "D"})};
  const Traced traced = traced_cellar(scenario);
  const auto acts = behind(scenario, traced, traced.run.draws.at(0));
  std::map<int, double> by_line;
  for (const Behind& act : acts) by_line[traced.line.events[act.event].at.line] = act.litres;
  ASSERT_EQ(by_line.size(), 5u);  // with the draw, not the wine in `young`
  EXPECT_NEAR(by_line[1], 100.0 * 150.0 / 400.0, 1e-9);
  EXPECT_NEAR(by_line[2], 100.0 * 50.0 / 400.0, 1e-9);
  EXPECT_NEAR(by_line[4], 100.0 * 200.0 / 400.0, 1e-9);
  EXPECT_EQ(by_line[5], 0.0);  // the move passed wine on, and brought none into the book
}

// What lay in a tank before it was emptied is not behind the wine that came later.
TEST(Trace, ForgetsWhatLayThereBeforeItWasEmpty) {
  Scenario scenario = three_rows();
  const Place tank{{}, 2, -1};
  Dose dose;
  dose.place = tank;
  dose.value = 20.0;
  scenario.log = {done(1, {2021, 1, 1}, Add{0, {}, tank, litres(300)}), done(2, {2021, 1, 1}, dose),
                  done(3, {2021, 1, 2}, Draw{tank, litres(300), "first"}),
                  done(4, {2021, 1, 3}, Add{1, {}, tank, litres(100)}),
                  done(5, {2021, 1, 4}, Draw{tank, litres(50), "second"})};
  const Traced traced = traced_cellar(scenario);
  const auto first = behind(scenario, traced, traced.run.draws.at(0));
  const auto second = behind(scenario, traced, traced.run.draws.at(1));
  ASSERT_EQ(first.size(), 3u);
  ASSERT_EQ(second.size(), 2u);
  EXPECT_EQ(traced.line.events[second[0].event].at.line, 4);
}

}  // namespace
}  // namespace tierce
