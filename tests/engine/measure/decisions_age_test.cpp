// How old a wine is, by the decisions of docs/model.md on clocks, spread, unknown ages, the official quotient and the
// long run; each in a scenario small enough to be worked out on paper.
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "cli/read/load.h"
#include "tests/cli/report/as_json.h"

namespace tierce {
namespace {

using nlohmann::json;

constexpr double kRounding = 1e-9;  // sums of a few products in double precision

json forecast_of(const std::string& text) {
  std::vector<Problem> problems;
  const LoadedScenario loaded = check_source(source_from("inline.yaml", text, problems));
  EXPECT_TRUE(problems.empty());
  for (const Problem& problem : loaded.problems) ADD_FAILURE() << problem.at.line << ": " << problem.what;
  return test::forecast_as_json(loaded.scenario);
}

/// Wooden tier `wood`, steel tier `steel`, tank T1, two lots; nothing evaporates.
std::string cellar(const std::string& clock, const std::string& log) {
  return "reserve: Test\nclock: " + clock +
         "\n"
         "tiers: [{name: wood, vessels: [{name: w, capacity: 1000 L}], evaporation: 0 %/yr},\n"
         "        {name: steel, vessels: [{name: s, capacity: 1000 L}], evaporation: 0 %/yr, wood: no}]\n"
         "tanks: [{name: T1, capacity: 1000 L}]\n"
         "lots: [{name: L, harvested: 2018-02-10, alcohol: 18 %vol}, {name: M, harvested: 2019-02-10, alcohol: 9 "
         "%vol}]\n"
         "log:\n" +
         log;
}

// 750 L of L, 3 years old, and 250 L of M, 2 years old. Mean 2.75; deviation sqrt(0.75 x 0.25² + 0.25 x 0.75²) =
// sqrt(0.1875). A tenth of the wine is reached within M, half only with L. By alcohol (135 and 22.5 L): 450 / 157.5.
TEST(Age, OfTwoLotsAsReckonedOnPaper) {
  const json age =
      forecast_of(cellar("harvest",
                         "  - {date: 2020-02-10, do: add, lot: L, to: wood, volume: 750 L}\n"
                         "  - {date: 2020-02-10, do: add, lot: M, to: wood, volume: 250 L}\n"
                         "  - {date: 2021-02-10, do: draw, from: wood, volume: 10 L}\n"))["draws"][0]["age"];
  EXPECT_NEAR(age["mean_y"], 2.75, kRounding);
  EXPECT_NEAR(age["sd_y"], std::sqrt(0.1875), kRounding);
  EXPECT_EQ(age["youngest_y"], 2.0);
  EXPECT_EQ(age["oldest_y"], 3.0);
  EXPECT_EQ(age["quantiles_y"]["0.1"], 2.0);
  EXPECT_EQ(age["quantiles_y"]["0.5"], 3.0);
  EXPECT_NEAR(age["mean_by_alcohol_y"], (135.0 * 3.0 + 22.5 * 2.0) / 157.5, kRounding);
}

// A share of exactly a half reaches the half: the least age at which it is reached is the younger one.
TEST(Age, AQuantileIsTheLeastAgeAtWhichTheShareReachesIt) {
  const json age =
      forecast_of(cellar("harvest",
                         "  - {date: 2020-02-10, do: add, lot: L, to: wood, volume: 500 L}\n"
                         "  - {date: 2020-02-10, do: add, lot: M, to: wood, volume: 500 L}\n"
                         "  - {date: 2021-02-10, do: draw, from: wood, volume: 10 L}\n"))["draws"][0]["age"];
  EXPECT_EQ(age["quantiles_y"]["0.5"], 2.0);
}

// A year at 20 % turns 500 L of L into 400; then 400 L of M come in. By volume L and M are equal, by what does not
// evaporate they are 500 to 400. On the day ages are 3 and 2.
TEST(Age, BySolidsWeighsLitresAsTheyEntered) {
  const json age = forecast_of(
      "reserve: Test\ntiers: [{name: vat, vessels: [{name: v, capacity: 1000 L}], evaporation: 20 %/yr, vapour: 10 "
      "%vol}]\n"
      "lots: [{name: L, harvested: 2018-02-10, alcohol: 18 %vol}, {name: M, harvested: 2019-02-10, alcohol: 18 %vol}]\n"
      "log:\n"
      "  - {date: 2020-02-10, do: add, lot: L, to: vat, volume: 500 L}\n"
      "  - {date: 2021-02-10, do: add, lot: M, to: vat, volume: 400 L}\n"
      "  - {date: 2021-02-10, do: draw, from: vat, volume: 10 L}\n")["draws"][0]["age"];
  EXPECT_NEAR(age["mean_y"], 2.5, kRounding);
  EXPECT_NEAR(age["mean_by_solids_y"], (500.0 * 3.0 + 400.0 * 2.0) / 900.0, kRounding);
}

// L waits in a tank for a year, enters half and half on 10 February 2021 and 2022: on 10 February 2023 its parcels are
// 2 and 1 years old.
TEST(Clock, EntryCountsFromTheDayWineEntersATierAndNotFromTheTank) {
  const json draw = forecast_of(cellar("entry",
                                       "  - {date: 2020-02-10, do: add, lot: L, to: T1, volume: 200 L}\n"
                                       "  - {date: 2021-02-10, do: move, from: T1, to: wood, volume: 100 L}\n"
                                       "  - {date: 2022-02-10, do: move, from: T1, to: wood, volume: 100 L}\n"
                                       "  - {date: 2023-02-10, do: draw, from: wood, volume: 10 L}\n"))["draws"][0];
  EXPECT_NEAR(draw["age"]["mean_y"], 1.5, kRounding);
  ASSERT_EQ(draw["shares"].size(), 2u);
  EXPECT_EQ(draw["shares"][0]["entered"], "2021-02-10");
  EXPECT_EQ(draw["shares"][1]["entered"], "2022-02-10");
  EXPECT_NEAR(draw["shares"][0]["fraction"], 0.5, kRounding);
}

// Two years in wood, then two in steel, then one in wood: three years in wood of the five since it entered.
TEST(Clock, WoodCountsTheTimeInWoodenTiersOnly) {
  const json draw = forecast_of(cellar("wood",
                                       "  - {date: 2018-02-10, do: add, lot: L, to: wood, volume: 200 L}\n"
                                       "  - {date: 2020-02-10, do: move, from: wood, to: steel, share: 100 %}\n"
                                       "  - {date: 2022-02-10, do: move, from: steel, to: wood, share: 100 %}\n"
                                       "  - {date: 2023-02-10, do: draw, from: wood, volume: 10 L}\n"))["draws"][0];
  EXPECT_NEAR(draw["age"]["mean_y"], 3.0, kRounding);
}

// Wine of 12 years in an opening stock is 13 a year later; of L, with a harvest, 3. Half and half: 8.
TEST(Opening, WineOfAStatedAgeGrowsOlderFromThatDay) {
  const json draw = forecast_of(cellar("harvest", "  - {date: 2021-02-10, do: draw, from: wood, volume: 10 L}\n") +
                                "opening: [{date: 2020-02-10, tier: wood, volume: 500 L, lots: {old: 50 %, L: 50 %}, "
                                "ages: {old: 12 years}, alcohol: 18 %vol}]\n")["draws"][0];
  EXPECT_NEAR(draw["age"]["mean_y"], 8.0, kRounding);
  EXPECT_EQ(draw["age"]["oldest_y"], 13.0);
}

// Wine of unknown age has no mean, but it was wine a year ago. With L at 3 years, half and half: at least 2 years.
TEST(Opening, WineWithoutAgesHasNoMeanButBounds) {
  const json draw = forecast_of(
      cellar("harvest", "  - {date: 2021-02-10, do: draw, from: wood, volume: 10 L}\n") +
      "opening: [{date: 2020-02-10, tier: wood, volume: 500 L, lots: {old: 50 %, L: 50 %}, alcohol: 18 %vol}]\n")
      ["draws"][0];
  for (const char* key : {"mean_y", "oldest_y", "sd_y", "mean_by_alcohol_y", "mean_by_solids_y"})
    EXPECT_TRUE(draw["age"][key].is_null()) << key;
  EXPECT_TRUE(draw["age"]["quantiles_y"]["0.5"].is_null());
  EXPECT_NEAR(draw["age"]["mean_at_least_y"], 2.0, kRounding);
  EXPECT_EQ(draw["age"]["youngest_at_least_y"], 1.0);
  EXPECT_EQ(draw["shares"][0]["lot"], "old");
  EXPECT_NEAR(draw["shares"][0]["fraction"], 0.5, kRounding);
}

// 900 L in tiers at 18 %vol: 162 L of alcohol. Drawn in the calendar year: 90 L from a tier and 90 L from the
// tank, 16.2 L each. Before the first draw 162 / 32.4 = 5, after it 145.8 / 32.4 = 4.5. The tank's draw takes nothing
// from the tiers.
TEST(Quotient, IsTheAlcoholOfAllTiersOverThatOfAllDrawsOfTheCalendarYear) {
  const json draws = forecast_of(cellar("harvest",
                                        "  - {date: 2020-02-10, do: add, lot: L, to: wood, volume: 500 L}\n"
                                        "  - {date: 2020-02-10, do: add, lot: L, to: steel, volume: 400 L}\n"
                                        "  - {date: 2020-02-10, do: add, lot: L, to: T1, volume: 500 L}\n"
                                        "  - {date: 2021-01-01, do: draw, from: wood, volume: 90 L}\n"
                                        "  - {date: 2021-12-31, do: draw, from: T1, volume: 90 L}\n"))["draws"];
  EXPECT_NEAR(draws[0]["age"]["stock_over_draw_y"], 5.0, kRounding);
  EXPECT_NEAR(draws[0]["age"]["stock_after_over_draw_y"], 4.5, kRounding);
  EXPECT_NEAR(draws[1]["age"]["stock_over_draw_y"], 4.5, kRounding);
}

/// One vat of 1000 L that loses 4 % a year; a fifth is drawn every 10 February and new wine comes in that is 143 days
/// old.
json long_run_of(const std::string& order) {
  return forecast_of(
      "reserve: Test\ntiers: [{name: vat, vessels: [{name: v, capacity: 1000 L}], evaporation: 4 %/yr, vapour: 10 "
      "%vol}]\n"
      "lots: [{name: L, vintage: 2019, harvested: 2019-09-20, alcohol: 18 %vol}]\n"
      "log:\n  - {date: 2020-01-10, do: add, lot: L, to: vat, volume: 800 L}\n"
      "habit: {day: 10 Feb, order: " +
      order + ", draw: 20 %, refill: {like: L}}\nuntil: 2022\n")["long_run"];
}

constexpr double kNewWineAge = 143.0 / 365.0;  // 20 September to 10 February
constexpr double kRenewed = 1.0 - 0.8 * 0.96;  // share of the vat that a year replaces

// The wait of wine in the vat is geometric: share u (1-u)^(n-1) of the draw is n years old, n = 1, 2, ...; its mean is
// 1/u.
TEST(LongRun, DrawFirstIsTheAgeAtEntryAndOneOverTheShareRenewed) {
  const json settled = long_run_of("draw first");
  EXPECT_NEAR(settled["mean_y"], kNewWineAge + 1.0 / kRenewed, 1e-7);  // volumes settle to 1e-9
  EXPECT_NEAR(settled["half_life_y"], std::log(0.5) / std::log(1.0 - kRenewed), 1e-7);
}

// Filled before the draw, n counts from 0: one year less. 800 L after the draw become 768 and are filled to 1000 again.
TEST(LongRun, RefillFirstIsOneYearYounger) {
  EXPECT_NEAR(long_run_of("refill first")["mean_y"], kNewWineAge + 1.0 / kRenewed - 1.0, 1e-7);
}

}  // namespace
}  // namespace tierce
