// Ages by the clock `wood`: each part of a wine has the years that it spent in wood itself.
#include "engine/run/wood_parts.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <utility>

#include "cli/read/load.h"
#include "engine/measure/age.h"
#include "engine/measure/balance.h"
#include "engine/run/outlook.h"
#include "engine/run/simulate.h"
#include "tests/cli/command/program.h"

namespace tierce {
namespace {

/// A file of tests/data/wood, whose hand calculation stands in its first lines.
Outlook of_file(const std::string& name) {
  const LoadedScenario loaded = load_scenario(std::string(TIERCE_TEST_DATA) + "/wood/" + name);
  EXPECT_TRUE(loaded.problems.empty()) << loaded.problems.front().what;
  return run_scenario(loaded.scenario, {});
}

AgeSummary age_of_draw(const Outlook& outlook, const DrawRecord& draw) {
  return age_of(outlook.line, Clock::wood, draw.wine, draw.day);
}

constexpr double kRounding = 1e-12;  // years, of sums of a few hundred litres

TEST(WoodParts, WineThatLeavesWoodOnTwoDaysHasTwoAges) {
  const Outlook outlook = of_file("wood_then_steel.yaml");
  const AgeSummary age = age_of_draw(outlook, outlook.run.draws.front());
  EXPECT_NEAR(age.youngest_y, 28.0 / 365.0, kRounding);
  EXPECT_NEAR(age.oldest_y, 5.0 + 28.0 / 365.0, kRounding);
  EXPECT_NEAR(age.mean_y, 4.5 + 28.0 / 365.0, kRounding);
  EXPECT_NEAR(age.sd_y, 1.5, kRounding);
  EXPECT_NEAR(age.quantiles_y[0], 28.0 / 365.0, kRounding);
  EXPECT_NEAR(age.quantiles_y[1], 5.0 + 28.0 / 365.0, kRounding);
}

TEST(WoodParts, AGatheringTankKeepsTheAgeOfEachDraw) {
  const Outlook outlook = of_file("gathering_tank.yaml");
  const AgeSummary age = age_of_draw(outlook, outlook.run.bottlings.front().wine);
  EXPECT_NEAR(age.youngest_y, 1.0, kRounding);
  EXPECT_NEAR(age.oldest_y, 5.0, kRounding);
  EXPECT_NEAR(age.mean_y, 4.0, kRounding);
  EXPECT_NEAR(age.sd_y, std::sqrt(3.0), kRounding);
}

TEST(WoodParts, WineThatComesToWoodLateIsWeightedByWhatIsLeft) {
  const Outlook outlook = of_file("steel_into_wood.yaml");
  const AgeSummary age = age_of_draw(outlook, outlook.run.draws.front());
  EXPECT_NEAR(age.youngest_y, 0.0, kRounding);
  EXPECT_NEAR(age.oldest_y, 4.0, kRounding);
  EXPECT_NEAR(age.mean_y, 98.415 * 4.0 / 198.415, kRounding);
  EXPECT_NEAR(age.mean_by_alcohol_y, 9.366 * 4.0 / 29.366, kRounding);
  EXPECT_NEAR(age.mean_by_solids_y, 2.4, kRounding);
}

TEST(WoodParts, WinePutBackToWoodKeepsTheTimeThatItHad) {
  const Outlook outlook = of_file("put_back.yaml");
  const DrawRecord& draw = outlook.run.draws.front();
  const AgeSummary age = age_of_draw(outlook, draw);
  EXPECT_NEAR(age.youngest_y, 2.0 / 365.0, kRounding);
  EXPECT_NEAR(age.oldest_y, 3651.0 / 365.0, kRounding);
  EXPECT_NEAR(age.mean_y, 3653.0 / 2.0 / 365.0, kRounding);
  for (const Share& share : shares_of(outlook.line, Clock::wood, draw.wine, draw.day))
    EXPECT_NEAR(share.fraction, 0.5, kRounding);
  EXPECT_LE(largest_parcel_gap_l(outlook.run), 1e-9);
}

// 27 CFR 5.74 and Regulation (EU) 2019/787, article 13(6): an age is that of the youngest part.
TEST(WoodParts, NoAgeIsStatedThatTheYoungestPartDoesNotHave) {
  const test::Said said =
      test::run_program("label tests/data/wood/spirit_then_steel.yaml --json --claim 'youngest, stated: 4 years'");
  const nlohmann::json label = nlohmann::json::parse(said.out);
  std::map<std::string, std::string> verdicts;
  for (const auto& claim : label.at("claims"))
    if (claim.at("rule").is_string()) verdicts[claim.at("rule")] = claim.at("verdict");
  EXPECT_EQ(verdicts["US-SPIRIT-AGE"], "fails");
  EXPECT_EQ(verdicts["EU-AGE-YOUNG"], "fails");
  EXPECT_EQ(said.status, 1);
}

TEST(WoodParts, TheSentenceForTheLabelSaysInWood) {
  const test::Said said = test::run_program("label tests/data/wood/gathering_tank.yaml --all");
  EXPECT_NE(said.out.find("No part of it was younger than 1.0 years in wood at bottling."), std::string::npos)
      << said.out;
}

// The draw of 2026 holds more parts than a reader follows: a line for each lot and day of entry is left.
TEST(WoodParts, ALongTableHasOneLineForEachLotAndDayOfEntry) {
  const Outlook outlook = of_file("yearly.yaml");
  const DrawRecord& draw = outlook.run.draws.back();
  ASSERT_GT(shares_of(outlook.line, Clock::wood, draw.wine, draw.day).size(), 40u);
  const test::Said said = test::run_program("age tests/data/wood/yearly.yaml --draw 'Bottling 2026'");
  const std::string line = "2015, entered 10 Feb 2016";
  const auto first = said.out.find(line);
  ASSERT_NE(first, std::string::npos) << said.out;
  EXPECT_EQ(said.out.find(line, first + 1), std::string::npos) << said.out;
}

/// Litres by lot and by days in wood, of wine that is in wood or in a tank: the slow way, day by day.
using Parts = std::map<std::pair<int, int>, double>;

void pour(Parts& from, Parts& to, double share) {
  for (auto& [part, litres] : from) {
    to[part] += share * litres;
    litres *= 1.0 - share;
  }
}

Parts a_day_older(const Parts& parts) {
  Parts older;
  for (const auto& [part, litres] : parts) older[{part.first, part.second + 1}] = litres;
  return older;
}

struct Expected {
  double mean_y = 0.0, sd_y = 0.0, youngest_y = INFINITY, oldest_y = 0.0;
};

Expected ages_of(const Parts& parts) {
  Expected ages;
  double litres = 0.0, square = 0.0;
  for (const auto& [part, part_l] : parts) {
    const double years = part.second / 365.0;
    litres += part_l;
    ages.mean_y += part_l * years;
    ages.youngest_y = std::min(ages.youngest_y, years);
    ages.oldest_y = std::max(ages.oldest_y, years);
  }
  ages.mean_y /= litres;
  for (const auto& [part, part_l] : parts)
    square += part_l * (part.second / 365.0 - ages.mean_y) * (part.second / 365.0 - ages.mean_y);
  ages.sd_y = std::sqrt(square / litres);
  return ages;
}

constexpr int kLots = 60, kDays = 180;

/// The day of 2001 so many days after 1 January.
Date day_of_2001(int day) {
  int month = 1;
  for (const int days : {31, 28, 31, 30, 31, 30}) {
    if (day < days) break;
    day -= days;
    ++month;
  }
  return {2001, month, day + 1};
}

/// A lot comes in on each of the first days; every day some wine goes to the tank, and some comes back.
Scenario daily() {
  Scenario scenario;
  scenario.clock = Clock::wood;
  Tier tier;
  tier.name = "cask";
  tier.vessels = {{{}, "cask", 1000.0}};
  tier.target_l = 1000.0;
  tier.evaporation = {Evaporation::Kind::share, 0.0, true};
  scenario.tiers = {tier};
  scenario.tanks.push_back({{}, "tank", 1000.0});
  for (int i = 0; i < kLots; ++i) {
    Lot lot;
    lot.name = "L" + std::to_string(i);
    lot.vintage = 2000;
    lot.harvested = {2000, 10, 1};
    lot.wine.alcohol_pct = 18.0;
    scenario.lots.push_back(lot);
  }
  const auto share = [](double part) { return Amount{{}, Amount::Kind::share, part, 0.0}; };
  const Place cask{{}, 0, -1}, tank{{}, 1, -1};
  for (int day = 0; day < kDays; ++day) {
    const Date date = day_of_2001(day);
    const auto book = [&](const Action& action) { scenario.log.push_back({{}, date, action, "", ""}); };
    if (day < kLots) book(Add{day, {}, cask, {{}, Amount::Kind::litres, 10.0, 0.0}});
    if (day > 0) book(Move{tank, cask, share(0.4)});
    book(Move{cask, tank, share(0.3)});
  }
  return scenario;
}

// Some 20,000 parts: more than are told apart. The same daily moves in plain maps tell what must come out.
TEST(WoodParts, BeyondTenThousandMeanSpreadYoungestAndOldestStayExact) {
  const Scenario scenario = daily();
  const Timeline line = timeline(scenario, {});
  ASSERT_TRUE(line.wood.shared());
  EXPECT_LE(line.parcels.size(), kMostParts + 3 * kLots);
  const Trajectory run = simulate(scenario, line);
  ASSERT_TRUE(run.problems.empty()) << run.problems.front().what;
  Parts parts[2];
  for (int day = 0; day < kDays; ++day) {
    if (day > 0) parts[0] = a_day_older(parts[0]);
    if (day < kLots) parts[0][{day, 0}] = 10.0;
    if (day > 0) pour(parts[1], parts[0], 0.4);
    pour(parts[0], parts[1], 0.3);
  }
  const Stock& last = run.looks.back();
  for (const int row : {0, 1}) {
    SCOPED_TRACE(row);
    const AgeSummary age = age_of(line, Clock::wood, part_of(last, row, 1.0), last.day);
    const Expected expected = ages_of(parts[row]);
    EXPECT_NEAR(age.mean_y, expected.mean_y, 1e-9);
    EXPECT_NEAR(age.sd_y, expected.sd_y, 1e-9);
    EXPECT_NEAR(age.youngest_y, expected.youngest_y, 1e-12);
    EXPECT_NEAR(age.oldest_y, expected.oldest_y, 1e-12);
    for (const double quantile_y : age.quantiles_y) EXPECT_FALSE(is_known(quantile_y));
    EXPECT_FALSE(is_known(age.mean_by_alcohol_y));
  }
  EXPECT_LE(largest_parcel_gap_l(run), 1e-9);
}

}  // namespace
}  // namespace tierce
