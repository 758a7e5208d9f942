// The report on sulfur dioxide: its arithmetic against published dosing examples, its limits against their table, and
// what it tells the reader.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
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
#include "tests/project/csv.h"

namespace tierce {
namespace {

using namespace scenes;
using nlohmann::json;
using test::CsvRow;
using test::number;
using test::read_csv;

// The tables print 12 digits: half a unit of the last one, and a little for our own rounding.
double twelve_digits(double value) {
  return 0.5 * std::pow(10.0, std::floor(std::log10(std::abs(value))) - 11.0) + 1e-14 * std::abs(value);
}

// The arithmetic.

// so2_dosing_examples.csv: 12 digits, calculated apart. Which field of a dose answers a row; empty: none of ours.
std::string field_of(const std::string& product) {
  if (product == "SO2") return "so2_g";
  if (product.starts_with("K2S2O5 5")) return "metabisulfite_g";
  if (product == "SO2 solution 50 g/L") return "so2_solution_5_pct_mL";
  if (product == "SO2 solution 60 g/L") return "so2_solution_6_pct_mL";
  return product == "K2S2O5 solution 100 g/L" ? "metabisulfite_solution_10_pct_mL" : "";
}

TEST(DoseReport, WeighsAndMeasuresAsTheWorkedExamplesDo) {
  int tested = 0;
  for (const CsvRow& row : read_csv("so2_dosing_examples.csv")) {
    const std::string field = field_of(row.at("product"));
    if (field.empty() || row.at("total_addition_mg_per_L").empty()) continue;
    ++tested;
    Scenario scenario = cask_of(number(row, "volume_L"), Dose::Kind::plain, number(row, "total_addition_mg_per_L"));
    if (row.at("product") == "K2S2O5 50 %") scenario.metabisulfite_yield = 0.5;
    const json dose = json_of(scenario).at("refreshes").at(0).at("doses").at(0);
    const double exact = number(row, "exact_amount");
    EXPECT_NEAR(dose.at(field).get<double>(), exact, twelve_digits(exact)) << row.at("case_id");
    EXPECT_NEAR(dose.at("vessels").at(0).at(field).get<double>(), exact, twelve_digits(exact)) << row.at("case_id");
  }
  EXPECT_EQ(tested, 25);
}

TEST(DoseReport, TurnsWeighedSaltIntoMilligramsALitre) {  // D26: 1 g into a US gallon; D25: a tablet of 5 g into 225 L
  const json salt =
      json_of(cask_of(3.785411784, Dose::Kind::metabisulfite, 1.0)).at("refreshes").at(0).at("doses").at(0);
  EXPECT_NEAR(salt.at("dose_mg_L").get<double>(), 152.238770008, 5e-10);
  EXPECT_NEAR(salt.at("metabisulfite_g").get<double>(), 1.0, 1e-12);
  const json tablet = json_of(cask_of(225.0, Dose::Kind::plain, 22.2222222222))
                          .at("refreshes")
                          .at(0)
                          .at("doses")
                          .at(0)
                          .at("vessels")
                          .at(0);
  EXPECT_EQ(tablet.at("tablets_5_g").at("count"), 1);
  EXPECT_NEAR(tablet.at("tablets_5_g").at("over_g").get<double>(), 0.0, 1e-9);
  EXPECT_EQ(tablet.at("tablets_2_g").at("count"), 3);  // 6 g for 5
  EXPECT_NEAR(tablet.at("tablets_2_g").at("over_g").get<double>(), 1.0, 1e-9);
}

TEST(DoseReport, GivesOuncesInUsUnits) {
  // 30 mg/L in 225 L at 50 %: 13.5 g of salt (D03), and an ounce is 28.349523125 g by definition: 0.476 oz.
  Scenario scenario = cask_of(225.0, Dose::Kind::plain, 30.0);
  scenario.metabisulfite_yield = 0.5;
  const Document report = dose_report(run_scenario(scenario, {}), Units::us);
  EXPECT_TRUE(says(text_of(report, Units::us), "0.48 13.5"));
  const auto column = std::find_if(report.csv.columns.begin(), report.csv.columns.end(),
                                   [](const Column& c) { return c.key == "metabisulfite_oz"; });
  const auto index = static_cast<std::size_t>(column - report.csv.columns.begin());
  EXPECT_NEAR(std::get<double>(report.csv.rows.at(0).at(index)), 13.5 / 28.349523125, 1e-12);
}

TEST(DoseReport, NamesTheDoseAsTheContractDoes) {
  const json report = json_of(yearly(cask_of(1000.0, Dose::Kind::plain, 30.0)));
  EXPECT_EQ(report.at("refreshes").size(), 10u);  // the book's, then 2022 to 2030
  for (const json& refresh : report.at("refreshes")) {
    EXPECT_TRUE(refresh.contains("date") && refresh.contains("new_wine_L") && refresh.contains("lot") &&
                refresh.contains("moves"));
    const json& dose = refresh.at("doses").at(0);
    EXPECT_EQ(dose.at("tier"), "cask");
    EXPECT_NEAR(dose.at("dose_mg_L").get<double>(), 30.0, 1e-12);
    EXPECT_NEAR(dose.at("so2_g").get<double>(), 30.0, 1e-9);
    EXPECT_NEAR(dose.at("metabisulfite_g").get<double>(), 30.0 / 0.576286433969, 1e-9);
  }
  for (const char* part : {"limits", "long_run", "cautions"}) EXPECT_TRUE(report.contains(part)) << part;
  EXPECT_TRUE(report.at("refreshes").at(0).at("past"));
  EXPECT_FALSE(report.at("refreshes").at(1).at("past"));
}

TEST(DoseReport, BottlesADrawOnItsDay) {
  const json report = json_of(yearly(cask_of(1000.0, Dose::Kind::plain, 30.0)));
  const json dose = report.at("refreshes").at(0).at("doses").at(0);
  // 90 mg/L of which, by default, 60 % are left in 97 % of the volume a year later.
  EXPECT_NEAR(dose.at("next_draw").at("so2_total_mg_L").get<double>(), 54.0 / 0.97, 1e-9);
  EXPECT_EQ(dose.at("bottling"), dose.at("next_draw"));
  EXPECT_EQ(dose.at("bottling").at("name"), "Bottling 2022");
}

// Limits.

TEST(SulfurLimits, AreThoseOfTheTable) {
  for (const CsvRow& row : read_csv("so2_legal_limits.csv")) {
    const std::string id = row.at("id");
    if (row.at("rule").empty()) continue;  // no limit of a wine
    const Rule* rule = built_in_rules().find(row.at("rule"));
    ASSERT_NE(rule, nullptr) << id;
    const bool of_free = row.at("total_limit_mg_per_L").empty();
    EXPECT_EQ(rule->quantity, of_free ? "free SO2" : "total SO2") << id;
    if (id == "EU_LIQUEUR_ORGANIC") {  // "120 to 170"
      EXPECT_EQ(built_in_rules().find("EU-SO2-ORG-LIQ-DRY")->limit, std::stod(row.at("total_limit_mg_per_L")));
      EXPECT_EQ(rule->limit, std::stod(row.at("total_limit_mg_per_L").substr(7)));
      continue;
    }
    EXPECT_EQ(rule->limit, std::stod(row.at(of_free ? "free_limit_mg_per_L" : "total_limit_mg_per_L"))) << id;
  }
}

SulfurRules rules_for(const Scenario& scenario) {
  return {rules_of(scenario), sets_of(scenario, set_names(rules_of(scenario)))};
}

std::set<std::string> ids_for(double sugar_g_l, double alcohol_pct,
                              const std::map<std::string, std::string>& label = {}) {
  Scenario scenario;
  scenario.label = label;
  std::set<std::string> ids;
  for (const SulfurLimit& limit : sulfur_limits(rules_for(scenario), scenario))
    if (limit.applies(sugar_g_l, alcohol_pct)) ids.insert(limit.rule->id);
  return ids;
}

TEST(SulfurLimits, ChangeAtTheSugarThatTheTableNames) {
  const std::map<std::string, std::string> organic = {{"organic", "yes"}};
  const auto just_below = ids_for(4.999, 18.0, organic), at_five = ids_for(5.0, 18.0, organic);
  EXPECT_TRUE(just_below.contains("EU-SO2-LIQ-DRY") && !just_below.contains("EU-SO2-LIQ-SWEET"));
  EXPECT_TRUE(at_five.contains("EU-SO2-LIQ-SWEET") && !at_five.contains("EU-SO2-LIQ-DRY"));
  EXPECT_TRUE(at_five.contains("EU-SO2-ORG-LIQ-SWEET") && !at_five.contains("EU-SO2-ORG-LIQ-DRY"));
  EXPECT_FALSE(ids_for(5.0, 18.0).contains("EU-SO2-ORG-LIQ-SWEET"));  // nobody says that it is organic
  EXPECT_TRUE(ids_for(4.0, 18.0).contains("OIV-SO2-WHITE"));          // "up to 4 g/L" and "above 4 g/L"
  EXPECT_TRUE(ids_for(4.001, 18.0).contains("OIV-SO2-SWEET"));
  EXPECT_TRUE(ids_for(34.9, 18.0).contains("AU-SO2-LOW"));
  EXPECT_TRUE(ids_for(35.1, 18.0).contains("AU-SO2-HIGH"));
  const auto at_35 = ids_for(35.0, 18.0);  // which of the two, the text does not say
  EXPECT_TRUE(at_35.contains("AU-SO2-LOW") && at_35.contains("AU-SO2-HIGH"));
}

TEST(SulfurLimits, OfLiqueurWineBeginAtFifteenPercent) {  // Regulation (EU) 1308/2013, annex VII part II (3)
  EXPECT_TRUE(ids_for(95.0, 15.0).contains("EU-SO2-LIQ-SWEET"));
  EXPECT_TRUE(ids_for(95.0, 14.999).contains("EU-SO2-WINE-WHITE5"));
  EXPECT_TRUE(ids_for(95.0, 14.6, {{"product", "liqueur wine"}}).contains("EU-SO2-LIQ-SWEET"));
}

TEST(SulfurLimits, AreAllThatMaySpeakWhereSugarIsNotKnown) {
  const auto ids = ids_for(kUnknown, 18.0);
  for (const char* id : {"EU-SO2-LIQ-DRY", "EU-SO2-LIQ-SWEET", "OIV-SO2-RED", "OIV-SO2-SWEET", "AU-SO2-LOW"})
    EXPECT_TRUE(ids.contains(id)) << id;
}

json limit_in(const json& report, const std::string& id) {
  for (const json& limit : report.at("limits"))
    if (limit.at("id") == id) return limit;
  return nullptr;
}

// One cask, 3 % evaporated, a fifth drawn, 60 % of the total left a year: T' = 0.48 T + q 60 + D with q = 1 - 0.97 x
// 0.8.
constexpr double kNewShare = 1.0 - 0.97 * 0.8;

TEST(SulfurLimits, LeaveRoomAtBothMoments) {
  const json limit = limit_in(json_of(yearly(cask_of(1000.0, Dose::Kind::plain, 30.0))), "EU-SO2-LIQ-SWEET");
  const double steady = (kNewShare * 60.0 + 30.0) / (1.0 - 0.48);
  EXPECT_NEAR(limit.at("headroom_just_after_mg_L").get<double>(), 200.0 - 90.0, 1e-9);  // highest on the first day
  EXPECT_NEAR(limit.at("headroom_at_draw_mg_L").get<double>(), 200.0 - 54.0 / 0.97, 1e-9);
  EXPECT_FALSE(limit.contains("passed"));
  const json long_run = json_of(yearly(cask_of(1000.0, Dose::Kind::plain, 30.0))).at("long_run");
  EXPECT_NEAR(long_run.at("steady").at(0).at("so2_total_mg_L").get<double>(), steady, 1e-6);
  EXPECT_NEAR(long_run.at("closed_form_total_mg_L").get<double>(), steady, 1e-9);
}

// A settled reserve holds the same total after every dose; a last bit more in a later year is no higher.
TEST(SulfurLimits, TakeTheFirstDayAmongEqualLevels) {
  TestedMoment first{.date = {2022, 2, 10}, .total_mg_l = 120.0, .sugar_g_l = 95.0, .alcohol_pct = 18.0};
  TestedMoment later = first;
  later.date.year = 2029;
  later.total_mg_l = 120.0 * (1.0 + 1e-12);
  SulfurLongRun no_long_run;
  no_long_run.unsettled = Unsettled::no_habit;
  const Scenario scenario = cask_of(1000.0, Dose::Kind::plain, 30.0);
  const auto limits = sulfur_limits(rules_for(scenario), scenario);
  ASSERT_FALSE(limits.empty());
  for (const SulfurVerdict& verdict : sulfur_verdicts(limits, {first, later}, no_long_run))
    EXPECT_EQ(verdict.highest_after->date.year, 2022) << verdict.limit.rule->id;
}

TEST(SulfurLimits, NameTheYearInWhichTheyArePassed) {
  // With 95 mg/L a year from 60: 155 on the first day, then 0.48 T + 108.44: 182.84, 196.20, 202.62 in 2024.
  const json report = json_of(yearly(cask_of(1000.0, Dose::Kind::plain, 95.0)));
  const json limit = limit_in(report, "EU-SO2-LIQ-SWEET");
  EXPECT_EQ(limit.at("passed").at("date"), "2024-02-10");
  EXPECT_EQ(limit.at("passed").at("moment"), "just after the dose");
  EXPECT_FALSE(limit.at("passed_later"));
  // The totals rise to the steady one, which 200 (1 - 0.48) - q 60 a year holds at 200.
  EXPECT_NEAR(limit.at("largest_dose_mg_L").get<double>(), 200.0 * 0.52 - kNewShare * 60.0, 1e-6);
}

TEST(SulfurLimits, ArePassedLaterWhereTheForecastEndsTooSoon) {
  Scenario scenario = yearly(cask_of(1000.0, Dose::Kind::plain, 95.0));
  scenario.until = 2023;
  const json limit = limit_in(json_of(scenario), "EU-SO2-LIQ-SWEET");
  EXPECT_EQ(limit.at("passed").at("date"), "2024-02-10");
  EXPECT_TRUE(limit.at("passed_later"));
  EXPECT_TRUE(says(page_of(scenario), "2024, later"));
}

TEST(SulfurLimits, OfSulfateIsPassedByWhatIsOxidised) {
  Scenario scenario = yearly(cask_of(1000.0, Dose::Kind::plain, 30.0));
  scenario.lots[0].wine.sulfate_g_l = 1.3;
  // The first year oxidises 36 of 90 mg/L: 97.9 mg/L of K2SO4; with what evaporates 1.3979 / 0.97 = 1.4412 g/L at the
  // draw, 1.4128 after new wine came in; the second year's 31.1 mg/L make it 1.4975 / 0.97 = 1.5438 in 2023.
  const json long_run = json_of(scenario).at("long_run");
  EXPECT_EQ(long_run.at("sulfate_limit_g_L"), 1.5);
  EXPECT_EQ(long_run.at("sulfate_passed").at("date"), "2023-02-10");
  EXPECT_TRUE(says(page_of(scenario), "PASSED in 2023 at the earliest. An upper estimate"));
  scenario.lots[0].wine.sulfate_g_l = kUnknown;
  EXPECT_TRUE(says(page_of(scenario), "Sulfate is not known"));
}

}  // namespace
}  // namespace tierce
