// The report on sulfur dioxide: its arithmetic against published dosing examples, its limits against their table, and
// what it tells the reader.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <sstream>

#include "cli/load.h"
#include "cli/report_dose.h"
#include "cli/rule_book.h"
#include "cli/scenario_keys.h"
#include "cli/so2_text.h"
#include "cli/write.h"
#include "tests/csv.h"

namespace tierce {
namespace {

using nlohmann::json;
using test::CsvRow;
using test::number;
using test::read_csv;

// The tables print 12 digits: half a unit of the last one, and a little for our own rounding.
double twelve_digits(double value) {
  return 0.5 * std::pow(10.0, std::floor(std::log10(std::abs(value))) - 11.0) + 1e-14 * std::abs(value);
}

/// One cask of so many litres, filled and dosed on one day.
Scenario cask_of(double volume_l, Dose::Kind kind, double value) {
  Scenario scenario;
  scenario.reserve = "Skerry Vale";
  Tier tier;
  tier.name = "cask";
  tier.vessels = {{{}, "C1", volume_l}};
  tier.target_l = volume_l;
  tier.evaporation = {Evaporation::Kind::share, 0.03, true};
  tier.vapour_pct = 10.0;
  tier.vapour_stated = true;
  scenario.tiers = {tier};
  Lot lot;
  lot.name = "V20";
  lot.vintage = 2020;
  lot.harvested = {2020, 10, 1};
  lot.wine = {.alcohol_pct = 18.0, .sugar_g_l = 95.0, .ph = 3.6};
  lot.wine.so2_free_mg_l = 5.0;
  lot.wine.so2_total_mg_l = 60.0;
  scenario.lots = {lot};
  Entry add;
  add.date = {2021, 2, 10};
  add.action = Add{0, {}, {{}, 0, -1}, {{}, Amount::Kind::litres, volume_l, 0.0}};
  Entry dose = add;
  Dose asked;
  asked.kind = kind;
  asked.value = value;
  dose.action = asked;
  scenario.log = {add, dose};
  return scenario;
}

/// The same, drawn by a fifth, refilled and dosed alike every year.
Scenario yearly(Scenario scenario) {
  Routine routine;
  routine.day = DayOfYear{2, 10};
  routine.from = Date{2022, 2, 10};
  routine.usual.draw = Amount{{}, Amount::Kind::share, 0.2, 0.0};
  routine.usual.name = "Bottling {year}";
  routine.usual.refill.kind = HabitRefill::Kind::lot;
  routine.usual.refill.lot = 0;
  routine.usual.doses = {std::get<Dose>(scenario.log.back().action)};
  scenario.habit = {routine};
  scenario.until = 2030;
  return scenario;
}

json json_of(const Scenario& scenario) { return dose_json(run_scenario(scenario, {})); }

std::string page_of(const Scenario& scenario, Units units = Units::metric) {
  return text_of(dose_report(run_scenario(scenario, {}), units), units);
}

/// The same with only the first entries of its log.
Scenario with_log(Scenario scenario, std::size_t entries) {
  scenario.log.resize(entries);
  return scenario;
}

/// The page as one line, so that a sentence is found wherever it breaks.
std::string flowing(const std::string& page) {
  std::istringstream words(page);
  std::string text;
  for (std::string word; words >> word;) text += (text.empty() ? "" : " ") + word;
  return text;
}

bool says(const std::string& page, const std::string& words) { return flowing(page).find(words) != std::string::npos; }

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
  const Report report = dose_report(run_scenario(scenario, {}), Units::us);
  EXPECT_TRUE(says(text_of(report, Units::us), "0.48 13.5"));
  const auto column = std::find_if(report.csv.columns.begin(), report.csv.columns.end(),
                                   [](const Column& c) { return c.name == "metabisulfite_oz"; });
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

std::set<std::string> ids_for(double sugar_g_l, double alcohol_pct,
                              const std::map<std::string, std::string>& label = {}) {
  Scenario scenario;
  scenario.label = label;
  std::set<std::string> ids;
  for (const SulfurLimit& limit : sulfur_limits_for(scenario, sugar_g_l, alcohol_pct)) ids.insert(limit.rule->id);
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
  no_long_run.why_not = "none";
  for (const SulfurVerdict& verdict :
       sulfur_verdicts(cask_of(1000.0, Dose::Kind::plain, 30.0), {first, later}, no_long_run))
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
  EXPECT_TRUE(says(page, "The last dose in the book, 10 Feb 2021"));
  EXPECT_TRUE(says(page, "The long run: not known, because the file states no habit"));
}

TEST(DoseReport, LeavesRowsOutWhereThereAreManyAndSaysWhich) {
  Scenario scenario = yearly(cask_of(1000.0, Dose::Kind::plain, 2.0));
  for (int day = 1; day <= 25; ++day) {
    Entry more = scenario.log.back();
    more.date = {2021, 3, day};
    scenario.log.push_back(more);
  }
  const std::string page = page_of(scenario);  // 26 doses in the book, 9 planned; 15 rows fit
  EXPECT_TRUE(says(page, "---- 20 rows from 2021-03-14 to 2029-02-10 are left out here")) << page;
  EXPECT_TRUE(says(page, "---- the book ends on 25 Mar 2021"));
  EXPECT_TRUE(says(page, "2030-02-10 cask add 2"));
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
