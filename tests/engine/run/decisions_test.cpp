// The decisions of docs/model.md on wine and time, each in a scenario small enough to be worked out on paper. Every
// expected figure stands beside its reckoning.
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

/// One tier of one vessel and one lot of 18 %vol and 95 g/L; `tier` and `rest` are YAML.
std::string one_vat(const std::string& tier, const std::string& rest) {
  return "reserve: Test\n"
         "tiers: [{name: vat, vessels: [{name: v, capacity: 1000 L}], " +
         tier +
         "}]\n"
         "lots: [{name: L, vintage: 2019, harvested: 2019-02-10, alcohol: 18 %vol, sugar: 95 g/L, so2: {free: 15 mg/L, "
         "total: 60 mg/L}},\n"
         "       {name: M, vintage: 2020, harvested: 2020-02-10, alcohol: 18 %vol}]\n"
         "log:\n  - {date: 2020-02-10, do: add, lot: L, to: vat, volume: 1000 L}\n" +
         rest;
}

/// Two tiers that lose nothing, 1000 L and 500 L, filled with L; 100 L are drawn and M comes in.
std::string two_tiers(const std::string& refill) {
  return "reserve: Test\n"
         "tiers: [{name: upper, vessels: [{name: u, capacity: 1000 L}], evaporation: 0 %/yr}, {name: lower, vessels: "
         "[{name: l, capacity: 500 L}], evaporation: 0 %/yr}]\n"
         "lots: [{name: L, vintage: 2018, alcohol: 18 %vol}, {name: M, vintage: 2019, alcohol: 18 %vol}]\n"
         "log:\n"
         "  - {date: 2020-02-10, do: add, lot: L, to: upper, volume: 1000 L}\n"
         "  - {date: 2020-02-10, do: add, lot: L, to: lower, volume: 500 L}\n"
         "  - {date: 2021-02-10, do: draw, from: lower, volume: 100 L}\n"
         "  - {date: 2021-02-10, do: refill, lot: M" +
         refill + "}\n";
}

double fraction_of(const json& row, const std::string& lot) {
  for (const json& share : row.at("shares"))
    if (share.at("lot") == lot) return share.at("fraction");
  return 0.0;
}

// 29 February counts as 1 March, so from 29 February 2020 to 1 March 2021 is exactly one year: half of the wine is
// left.
TEST(Time, FromLeapDayToTheFirstOfMarchIsOneYear) {
  const json forecast = forecast_of(
      "reserve: Test\nclock: entry\n"
      "tiers: [{name: vat, vessels: [{name: v, capacity: 1000 L}], evaporation: 50 %/yr, vapour: 10 %vol}]\n"
      "lots: [{name: L, vintage: 2019, alcohol: 18 %vol}]\n"
      "log:\n  - {date: 2020-02-29, do: add, lot: L, to: vat, volume: 1000 L}\n  - {date: 2021-03-01, do: draw, from: "
      "vat, share: 100 %}\n");
  EXPECT_NEAR(forecast["draws"][0]["volume_L"], 500.0, 1000 * kRounding);
  EXPECT_EQ(forecast["draws"][0]["age"]["mean_y"], 1.0);
}

// 1000 L lose 4 % = 40 L of 10 %vol, so 4 L of 180 L of alcohol: 176 in 960 L. Sugar stays: 95000 g in 960 L.
TEST(Evaporation, TakesAlcoholAtTheStrengthOfTheVapourAndNothingElse) {
  const json draw = forecast_of(one_vat("evaporation: 4 %/yr, vapour: 10 %vol",
                                        "  - {date: 2021-02-10, do: draw, from: vat, share: 10 %}\n"))["draws"][0];
  EXPECT_NEAR(draw["volume_L"], 96.0, 100 * kRounding);
  EXPECT_NEAR(draw["alcohol_pct"], 100.0 * 176.0 / 960.0, 20 * kRounding);
  EXPECT_NEAR(draw["sugar_g_L"], 95000.0 / 960.0, 100 * kRounding);
}

// In two years at 4 L a year the full vessel gives 8 L, and the one with 3 L gives those 3: 103 - 11 = 92 L.
TEST(Evaporation, ByVesselTakesFromEachNoMoreThanItHolds) {
  const json stock = forecast_of(
      "reserve: Test\ntiers: [{name: vat, vessels: [{name: A, capacity: 100 L}, {name: B, capacity: 100 L}], "
      "evaporation: 4 L/yr per vessel, vapour: 10 %vol}]\n"
      "lots: [{name: L, vintage: 2019, alcohol: 18 %vol}]\n"
      "log:\n"
      "  - {date: 2020-02-10, do: add, lot: L, to: A, volume: 100 L}\n"
      "  - {date: 2020-02-10, do: add, lot: L, to: B, volume: 3 L}\n"
      "  - {date: 2022-02-10, do: analyse, tier: vat, sugar: 90 g/L}\n")["stock"][0];
  EXPECT_NEAR(stock["vessels"][0]["volume_L"], 92.0, 100 * kRounding);
  EXPECT_EQ(stock["vessels"][1]["volume_L"], 0.0);
  EXPECT_NEAR(stock["volume_L"], 92.0, 100 * kRounding);
}

// The lower tier takes 100 L that have received nothing yet; the upper one then takes 100 L of M: a tenth.
TEST(Refill, OldestFirstPassesOnWineThatHasReceivedNothing) {
  const json forecast = forecast_of(two_tiers(""));
  EXPECT_NEAR(forecast["refreshes"][0]["new_wine_L"], 100.0, 100 * kRounding);
  EXPECT_NEAR(fraction_of(forecast["stock"][0], "M"), 0.1, kRounding);
  EXPECT_EQ(fraction_of(forecast["stock"][1], "M"), 0.0);
}

// 100 L of M on 1000 L are one eleventh; the lower tier gets 100 L of that: 100/11 L of M in its 500 L.
TEST(Refill, YoungestFirstPassesOnTheMixture) {
  const json forecast = forecast_of(two_tiers(", order: youngest first"));
  EXPECT_NEAR(fraction_of(forecast["stock"][0], "M"), 1.0 / 11.0, kRounding);
  EXPECT_NEAR(fraction_of(forecast["stock"][1], "M"), 100.0 / 11.0 / 500.0, kRounding);
}

// 30 L come in and 100 L are needed below. The upper tier holds enough, so it passes 100 L down and ends at 930 L.
TEST(Refill, OfAStatedVolumeMeetsTheNeedsBelowAsFarAsTheWineGoes) {
  const json forecast = forecast_of(two_tiers(", volume: 30 L"));
  EXPECT_NEAR(forecast["stock"][0]["volume_L"], 930.0, 1000 * kRounding);
  EXPECT_NEAR(forecast["stock"][1]["volume_L"], 500.0, 1000 * kRounding);
  EXPECT_NEAR(fraction_of(forecast["stock"][0], "M"), 30.0 / 930.0, kRounding);
}

// A loss of 100 L from B leaves A 600, B 300. A draw of 180 L is a fifth of each: 480 and 240. Their ullage is 120 and
// 160, so 70 L of new wine go in as 30 and 40.
TEST(Vessels, GiveInProportionToLevelAndTakeInProportionToUllage) {
  const json stock = forecast_of(
      "reserve: Test\ntiers: [{name: vat, vessels: [{name: A, capacity: 600 L}, {name: B, capacity: 400 L}], "
      "evaporation: 0 %/yr}]\n"
      "lots: [{name: L, vintage: 2019, alcohol: 18 %vol}]\n"
      "log:\n"
      "  - {date: 2020-02-10, do: add, lot: L, to: vat, volume: 1000 L}\n"
      "  - {date: 2021-02-10, do: lose, from: B, volume: 100 L, cause: leak}\n"
      "  - {date: 2021-02-10, do: draw, from: vat, volume: 180 L}\n"
      "  - {date: 2021-02-10, do: add, lot: L, to: vat, volume: 70 L}\n")["stock"][0];
  EXPECT_NEAR(stock["vessels"][0]["volume_L"], 510.0, 1000 * kRounding);
  EXPECT_NEAR(stock["vessels"][1]["volume_L"], 280.0, 1000 * kRounding);
}

// The book has 1000 L; 950 are read. The 50 L went at 10 %vol: 175 L of alcohol, and all the sugar, in 950 L.
TEST(Gauge, BooksTheDifferenceAsEvaporation) {
  const json forecast = forecast_of(
      one_vat("evaporation: 4 %/yr, vapour: 10 %vol", "  - {date: 2020-02-10, do: gauge, tier: vat, volume: 950 L}\n"));
  EXPECT_NEAR(forecast["years"][0]["gauge_L"], 50.0, 1000 * kRounding);
  EXPECT_NEAR(forecast["stock"][0]["alcohol_pct"], 100.0 * 175.0 / 950.0, 20 * kRounding);
  EXPECT_NEAR(forecast["stock"][0]["sugar_g_L"], 95000.0 / 950.0, 100 * kRounding);
}

// Of 1000 L at 18 %vol, 300 L at 60 %vol would be all 180 L of alcohol, and 301 L more.
TEST(Gauge, MayNotTakeMoreAlcoholThanThereIs) {
  const auto faults = [](const std::string& read) {
    std::vector<Problem> problems;
    return check_source(source_from("gauge.yaml",
                                    one_vat("evaporation: 4 %/yr, vapour: 60 %vol",
                                            "  - {date: 2020-02-10, do: gauge, tier: vat, volume: " + read + "}\n"),
                                    problems))
        .problems;
  };
  ASSERT_EQ(faults("699 L").size(), 1u);
  EXPECT_EQ(faults("699 L").front().what, "the gauge would take more alcohol from tier 'vat' than it holds");
  EXPECT_TRUE(faults("701 L").empty());
}

// 500 L of L at 18 %vol and 500 L of M at 18 %vol, read at 18.9: every lot's alcohol grows by a twentieth, so the mean
// by alcohol (ages 2 and 1) stays 1.5. M states no sugar, which is unknown until the laboratory reads 80 g/L.
TEST(Analysis, ScalesTheAlcoholOfAllLotsAndReplacesTheRest) {
  const json draws =
      forecast_of(one_vat("evaporation: 0 %/yr",
                          "  - {date: 2021-02-10, do: lose, from: vat, volume: 500 L, cause: leak}\n"
                          "  - {date: 2021-02-10, do: add, lot: M, to: vat, volume: 500 L}\n"
                          "  - {date: 2021-02-10, do: draw, from: vat, volume: 10 L, for: before}\n"
                          "  - {date: 2021-02-10, do: analyse, tier: vat, alcohol: 18.9 %vol, sugar: 80 g/L}\n"
                          "  - {date: 2021-02-10, do: draw, from: vat, volume: 10 L, for: after}\n"))["draws"];
  EXPECT_TRUE(draws[0]["sugar_g_L"].is_null());
  EXPECT_NEAR(draws[1]["sugar_g_L"], 80.0, 100 * kRounding);
  EXPECT_NEAR(draws[1]["alcohol_pct"], 18.9, 20 * kRounding);
  EXPECT_NEAR(draws[1]["age"]["mean_by_alcohol_y"], 1.5, kRounding);
}

// 1000 L; 30 mg/L are added, a third of it binds: free 15 + 20, total 90. A year at 36 mg/L takes 36 from the free,
// which has 35, then 1 from the bound: total 54, in 960 L: 54 / 0.96. Free keeps a tenth of what stands if it keeps its
// share of the total, with a fifth bound: (15 + 24) x 54 / 90 = 23.4.
TEST(Sulfur, LossTakesFreeFirstThenBound) {
  const json draws = forecast_of(one_vat("evaporation: 4 %/yr, vapour: 10 %vol, so2_loss: 36 mg/L/yr",
                                         "  - {date: 2020-02-10, do: dose, tier: vat, so2: 30 mg/L}\n"
                                         "  - {date: 2020-02-10, do: draw, from: vat, volume: 1 L}\n"
                                         "  - {date: 2021-02-10, do: draw, from: vat, volume: 1 L}\n"))["draws"];
  EXPECT_NEAR(draws[0]["so2_free_mg_L"], 35.0, 100 * kRounding);
  EXPECT_NEAR(draws[0]["so2_total_mg_L"], 90.0, 100 * kRounding);
  EXPECT_NEAR(draws[1]["so2_free_mg_L"], 2.34 / 0.96, 100 * kRounding);
  EXPECT_NEAR(draws[1]["so2_free_low_mg_L"], 2.34 / 0.96, 100 * kRounding);
  EXPECT_NEAR(draws[1]["so2_free_high_mg_L"], 23.4 / 0.96, 100 * kRounding);
  EXPECT_NEAR(draws[1]["so2_total_mg_L"], 54.0 / 0.96, 100 * kRounding);
}

// The young tier keeps all its SO2: 100 mg/L become 100 / 0.97 in a year, and half of its wine goes on. In the old tier
// two years leave 0.6 x 0.6 of the SO2 and 0.97 x 0.97 of the wine.
TEST(Sulfur, IsLostInATierThatGotItFromOneWhichLosesNone) {
  const json draws = forecast_of(
      "reserve: Test\ntiers:\n"
      "  - {name: young, vessels: [{name: A, capacity: 100 L}], evaporation: 3 %/yr, vapour: 12 %vol, so2_loss: 0 %/yr "
      "of total}\n"
      "  - {name: old, vessels: [{name: B, capacity: 50 L}], evaporation: 3 %/yr, vapour: 12 %vol, so2_loss: 40 %/yr "
      "of "
      "total}\n"
      "lots: [{name: L, vintage: 2020, alcohol: 18 %vol, so2: {total: 100 mg/L, free: 20 mg/L}}]\n"
      "log:\n"
      "  - {date: 2021-02-01, do: add, lot: L, to: young, volume: 100 L}\n"
      "  - {date: 2022-02-01, do: refill, lot: L}\n"
      "  - {date: 2024-02-01, do: draw, from: old, volume: 1 L}\n")["draws"];
  EXPECT_NEAR(draws[0]["so2_total_mg_L"], 100.0 * 0.36 / (0.97 * 0.97 * 0.97), 100 * kRounding);
}

// 25 mg/L are wanted where 15 are free and a third of an addition binds: 10 / (2/3) = 15 mg/L, so 15 g in 1000 L and
// 15 / 0.5 = 30 g of the salt. The second dose finds nothing missing.
TEST(Sulfur, ADoseToALevelAddsWhatIsMissingOrNothing) {
  const json doses = forecast_of(one_vat("evaporation: 0 %/yr",
                                         "  - {date: 2020-02-10, do: dose, tier: vat, to: {free: 25 mg/L}}\n"
                                         "  - {date: 2020-02-10, do: dose, tier: vat, to: {free: 20 mg/L}}\n"
                                         "metabisulfite_yield: 50 %\n"))["doses"];
  EXPECT_NEAR(doses[0]["dose_mg_L"], 15.0, 100 * kRounding);
  EXPECT_NEAR(doses[0]["metabisulfite_g"], 30.0, 100 * kRounding);
  EXPECT_EQ(doses[1]["dose_mg_L"], 0.0);
}

// 70 L x 5 g/L of acid x pH 3.5 and 30 L x 7 g/L x pH 3.9: (350 x 3.5 + 210 x 3.9) / 560 = 3.65.
TEST(Acidity, PhIsTheMeanByTotalAcidUntilItIsMeasured) {
  const std::string text =
      "reserve: Test\ntiers: [{name: vat, vessels: [{name: v, capacity: 100 L}], evaporation: 0 %/yr}]\n"
      "lots: [{name: L, vintage: 2019, alcohol: 18 %vol, acidity: 5 g/L, pH: 3.5}, {name: M, vintage: 2019, alcohol: "
      "18 %vol, acidity: 7 g/L, pH: 3.9}]\n"
      "log:\n  - {date: 2020-02-10, do: add, lot: L, to: vat, volume: 70 L}\n  - {date: 2020-02-10, do: add, lot: M, "
      "to: vat, volume: 30 L}\n";
  EXPECT_NEAR(forecast_of(text)["stock"][0]["pH"], 3.65, kRounding);
  EXPECT_EQ(forecast_of(text + "  - {date: 2020-02-10, do: analyse, tier: vat, pH: 3.6}\n")["stock"][0]["pH"], 3.6);
}

// From 10 February (40 days after 1 January) to 1 January are 325 days of 365. What is held then opens the next year,
// whose 40 days of loss come first.
TEST(Years, CloseBeforeTheFirstOfJanuaryAndOpenWithWhatTheYearBeforeHeld) {
  const json years = forecast_of(one_vat("evaporation: 4 %/yr, vapour: 10 %vol",
                                         "  - {date: 2021-02-10, do: draw, from: vat, volume: 160 L}\n"))["years"];
  const double held_l = 1000.0 * std::pow(0.96, 325.0 / 365.0);
  EXPECT_NEAR(years[0]["in_L"], 1000.0, 1000 * kRounding);
  EXPECT_NEAR(years[0]["evaporated_L"], 1000.0 - held_l, 1000 * kRounding);
  EXPECT_NEAR(years[0]["closing_L"], held_l, 1000 * kRounding);
  EXPECT_NEAR(years[1]["opening_L"], held_l, 1000 * kRounding);
  EXPECT_NEAR(years[1]["evaporated_L"], held_l - 960.0, 1000 * kRounding);
  EXPECT_NEAR(years[1]["drawn_L"], 160.0, 1000 * kRounding);
  EXPECT_NEAR(years[1]["closing_L"], 800.0, 1000 * kRounding);
  EXPECT_NEAR(years[1]["gap_L"], 0.0, 1000 * kRounding);
}

}  // namespace
}  // namespace tierce
