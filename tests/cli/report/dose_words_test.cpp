// What the report on sulfur dioxide tells its reader: ranges, scales, what is not reachable, what to beware of.
#include "cli/report/dose_words.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <sstream>

#include "cli/read/load.h"
#include "cli/read/rule_book.h"
#include "cli/read/scenario_keys.h"
#include "cli/report/dose.h"
#include "cli/report/so2_text.h"
#include "cli/write/write.h"
#include "engine/measure/age.h"
#include "tests/cli/report/dose_scenes.h"

namespace tierce {
namespace {

using namespace scenes;
using nlohmann::json;

// What the reader is told.

TEST(DoseReport, SaysThatALevelIsNotReachableAndWhatIs) {
  Scenario scenario = yearly(cask_of(1000.0, Dose::Kind::to_molecular, 0.5));
  scenario.lots[0].wine.acetaldehyde_mg_l = 138.0;  // binds 138 x 64.06 / 44.05 = 200.69 mg/L
  scenario.lots[0].wine.so2_free_mg_l = kUnknown;   // one that was read would be believed
  const std::string page = page_of(scenario);
  EXPECT_TRUE(says(page, "NOT REACHABLE")) << page;
  EXPECT_TRUE(says(page, "0.5 molecular mg/L in cask on 10 Feb 2022"));
  const json dose = json_of(scenario).at("refreshes").at(0).at("doses").at(0);
  std::set<std::string> limits;
  for (const json& shortfall : dose.at("not_reachable")) {
    limits.insert(shortfall.at("limit"));
    EXPECT_NEAR(shortfall.at("acetaldehyde_binds_mg_L").get<double>(), 200.687, 5e-4);
    EXPECT_NEAR(shortfall.at("best").at("so2_total_mg_L").get<double>(), shortfall.at("limit_mg_L").get<double>(),
                1e-9);
  }
  EXPECT_EQ(limits, (std::set<std::string>{"EU-SO2-LIQ-SWEET"}));
}

TEST(DoseReport, MarksADoseThatIsHeldDown) {
  Scenario scenario = cask_of(1000.0, Dose::Kind::to_free, 30.0);
  std::get<Dose>(scenario.log.back().action).at_most_total_mg_l = 80.0;
  const std::string page = page_of(scenario);
  EXPECT_TRUE(says(page, "30 free*"));
  EXPECT_TRUE(says(
      page, "*Held down by 'at most', total 80 mg/L: on 10 Feb 2021 the level asked would take a dose of 37.5 mg/L"))
      << page;
  EXPECT_TRUE(json_of(scenario).at("refreshes").at(0).at("doses").at(0).at("held_down"));  // (30 - 5) x 3/2 = 37.5
}

TEST(DoseReport, SaysNearNoneOnlyWhereEvenTheHighEndIsBelowOneMilligram) {
  // Just after: 5 + 30/3 to 5 + 30 x 4/5 free, 65 bound by the planned third, 90 in all. A year later 54 of them are
  // left in 97 % of the litres, 55.7 mg/L; the high end keeps its share of the total, 29 x 0.6 / 0.97 = 17.9, the
  // others a tenth of that, which leaves 53.9 bound. Molecular at 15 °C, pK 2.074 - 0.055, pH 3.6: a part of 0.02557.
  const Scenario scenario = yearly(cask_of(1000.0, Dose::Kind::plain, 30.0));
  EXPECT_TRUE(says(page_of(scenario), "2021-02-10 cask 15-29 65 90 0.38-0.74 2-18 54 56 0.05-0.46"))
      << page_of(scenario);
  EXPECT_EQ(so2_text({0.2, 0.5, 0.99}, Figure::milligrams_per_litre), "near none");
  EXPECT_EQ(so2_text({0.2, 0.5, 1.01}, Figure::milligrams_per_litre), "0-1");
  EXPECT_EQ(so2_text({14.6, 20.0, 24.4}, Figure::milligrams_per_litre), "15-24");
  EXPECT_EQ(so2_text({kUnknown, kUnknown, kUnknown}, Figure::milligrams_per_litre), "-");
}

TEST(DoseReport, SaysPerhapsWhereOnlyTheLowEndIsNotReachable) {
  // 20 free from 5 of 60 take 15 x 5/4 = 18.75 to 15 x 3 = 45: 78.75 to 105 in all. The limits begin at 170.
  Scenario scenario = cask_of(1000.0, Dose::Kind::to_free, 20.0);
  EXPECT_FALSE(says(page_of(yearly(scenario)), "not reachable"));
  // 60 free take 55 x 5/4 = 68.75 to 165: 128.75 to 225 in all, so perhaps over 170 and 200.
  scenario = yearly(cask_of(1000.0, Dose::Kind::to_free, 60.0));
  const std::string page = page_of(scenario);
  EXPECT_TRUE(says(page, "Perhaps not reachable under the limits named here: 60 free mg/L in cask")) << page;
  EXPECT_FALSE(says(page, "NOT REACHABLE")) << page;
}

TEST(DoseReport, SaysWhatTheLowEndWouldTakeAndToMeasureFirst) {
  const std::string page = page_of(yearly(cask_of(1000.0, Dose::Kind::to_free, 20.0)));
  EXPECT_TRUE(says(page, "measure the free after a week before you add it")) << page;
  const json dose = json_of(cask_of(1000.0, Dose::Kind::to_free, 20.0)).at("refreshes").at(0).at("doses").at(0);
  EXPECT_NEAR(dose.at("dose_mg_L").get<double>(), 22.5, 1e-10);          // 15 x 3/2
  EXPECT_NEAR(dose.at("dose_low_end_mg_L").get<double>(), 45.0, 1e-10);  // 15 x 3
  EXPECT_NEAR(dose.at("just_after").at("so2_free_low_mg_L").get<double>(), 5.0 + 22.5 / 3.0, 1e-10);
  EXPECT_NEAR(dose.at("just_after").at("so2_free_high_mg_L").get<double>(), 5.0 + 22.5 * 0.8, 1e-10);
}

TEST(DoseReport, SaysOnWhichScaleATargetIs) {
  // 18 %vol, 15 °C, pH 3.6: 0.6 x (1 + 10^(3.6 - 2.019)) = 23.5 free by oiv, 0.6 x (1 + 10^1.79) = 37.6 by 1.81.
  const std::string page = page_of(cask_of(1000.0, Dose::Kind::to_molecular, 0.6));
  EXPECT_TRUE(
      says(page, "0.6 molecular is 23.5 mg/L free by strength and temperature (oiv) and 37.6 by the pK of 1.81"))
      << page;
}

TEST(DoseReport, ShowsBothScalesWhereTheyDifferByMoreThanTheRange) {
  // As read: 5 mg/L free on the day. 5 x 0.02557 = 0.13 by oiv; 5 / (1 + 10^1.79) = 0.08 by 1.81.
  const Scenario scenario = cask_of(1000.0, Dose::Kind::plain, 30.0);
  const Stock stock = run_scenario(with_log(scenario, 1), {}).run.looks.back();
  EXPECT_EQ(molecular_text(scenario, sulfur_of(stock, 0)), "0.13 (0.08)");
}

TEST(DoseReport, SaysTheRangeOfTheYieldAsSomebodyWouldWriteIt) {
  EXPECT_EQ(allowed_text(*keys::scenario().find("metabisulfite_yield")), "30 % to 57.6287 %");
}

TEST(DoseReport, SaysBothYieldsOfTheSalt) {  // 30 g of SO2: 52.1 g of salt in theory, 60.0 at the customary half
  const std::string page = page_of(cask_of(1000.0, Dose::Kind::plain, 30.0));
  EXPECT_TRUE(
      says(page, "the next dose is 52.1 g at 57.6 %, the theory and fresh salt, and 60.0 g at the customary 50 %"))
      << page;
}

TEST(DoseReport, SaysHowToStateADoseWhereThereIsNone) {
  Scenario scenario = cask_of(1000.0, Dose::Kind::plain, 30.0);
  scenario.log.pop_back();
  const std::string page = page_of(scenario);
  EXPECT_TRUE(says(page, "no dose of SO2 stands in the log or in the habit"));
  EXPECT_TRUE(says(page, "`dose: {so2: 25 mg/L}`"));
  EXPECT_TRUE(json_of(scenario).at("refreshes").empty());
  EXPECT_FALSE(json_of(scenario).contains("long_run"));
}

TEST(DoseReport, ShowsTheBooksLastDosesWhereNothingIsPlanned) {
  const std::string page = page_of(cask_of(1000.0, Dose::Kind::plain, 30.0));
  EXPECT_TRUE(says(page, "the last dose in the book, on 10 Feb 2021"));
  EXPECT_TRUE(says(page, "The long run: not known, because the file states no habit"));
}

TEST(DoseReport, SaysWhyAHabitDoesNotSettle) {
  SulfurLongRun long_run;
  EXPECT_EQ(why_unsettled_text(long_run), "");
  long_run.unsettled = Unsettled::meets_too_late;
  long_run.period_years = 29950.0;
  EXPECT_EQ(why_unsettled_text(long_run), "its routines meet again only after 29950 years, too long to be followed");
  long_run.unsettled = Unsettled::does_not_repeat;
  EXPECT_NE(why_unsettled_text(long_run).find("do not repeat"), std::string::npos);
}

TEST(DoseReport, LeavesRowsOutWhereThereAreManyAndSaysWhich) {
  Scenario scenario = yearly(cask_of(1000.0, Dose::Kind::plain, 2.0));
  for (int day = 1; day <= 25; ++day) {
    Entry more = scenario.log.back();
    more.date = {2021, 3, day};
    scenario.log.push_back(more);
  }
  // 26 doses in the book, the line behind them, and of 9 planned the last two as the one before: 35 lines, of which the
  // first and the last 15 are kept.
  const std::string page = text_of(dose_report(run_scenario(scenario, {}), Units::metric), Units::metric);
  EXPECT_TRUE(says(page, "---- 5 rows from 2021-03-15 to 2021-03-19: --all ----")) << page;
  EXPECT_TRUE(says(page, "---- the book ends on 25 Mar 2021"));
  EXPECT_TRUE(says(page, "2029-02-10 to 2030-02-10 as 2028-02-10"));
  EXPECT_TRUE(says(page_of(scenario), "2030-02-10 cask add 2"));
  EXPECT_EQ(json_of(scenario).at("refreshes").size(), 26u + 9u);
}

TEST(DoseReport, LeavesUnknownsUnknown) {
  Scenario scenario = yearly(cask_of(1000.0, Dose::Kind::plain, 30.0));
  scenario.lots[0].wine.so2_total_mg_l = scenario.lots[0].wine.so2_free_mg_l = kUnknown;
  const json dose = json_of(scenario).at("refreshes").at(0).at("doses").at(0);
  EXPECT_EQ(dose.at("just_after").at("so2_total_mg_L"), nullptr);
  EXPECT_NEAR(dose.at("so2_g").get<double>(), 30.0, 1e-9);
  EXPECT_TRUE(says(page_of(scenario), "not known"));
  EXPECT_EQ(page_of(scenario).find("nan"), std::string::npos);
}

TEST(DoseReport, WarnsOfWhatCanHurt) {
  const std::string page = page_of(cask_of(1000.0, Dose::Kind::plain, 30.0));
  for (const char* words :
       {"asthma", "gloves, goggles, moving air", "acid and metabisulfite", "Never burn sulfur in a cask",
        "nobody leans or climbs in", "stir it in", "the next day", "before and after", "an estimate", "iodine",
        "licensed practice", "LIMITS CHANGE", "A ROUGH ESTIMATE"})
    EXPECT_TRUE(says(page, words)) << words;
}

TEST(DoseReport, FitsThePageForEveryScenarioOfTheProject) {
  for (const char* file : {"scenarios/amber.yaml", "scenarios/three_tiers.yaml", "docs/examples/dose.yaml"}) {
    const LoadedScenario loaded = load_scenario(std::string(TIERCE_SOURCE_DIR) + "/" + file);
    ASSERT_TRUE(loaded.problems.empty()) << file;
    for (const Units units : {Units::metric, Units::us}) {
      std::istringstream lines(page_of(loaded.scenario, units));
      for (std::string line; std::getline(lines, line);) {
        const auto characters = std::count_if(line.begin(), line.end(),
                                              [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80u; });
        EXPECT_LE(characters, 100) << file << ": " << line;
      }
    }
  }
}

}  // namespace
}  // namespace tierce
