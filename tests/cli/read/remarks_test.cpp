// What is remarked on: entries that lie ahead, wine that no wine is like, a vapour without its loss, slips of the pen.
#include "cli/report/remarks.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <regex>

#include "cli/read/load.h"
#include "cli/read/quantity_text.h"
#include "cli/report/assumptions.h"
#include "tests/cli/command/program.h"

namespace tierce {
namespace {

using test::run_program;

LoadedScenario read(const std::string& text) {
  std::vector<Problem> problems;
  LoadedScenario loaded = check_source(source_from("inline.yaml", text, problems));
  for (const Problem& problem : loaded.problems) ADD_FAILURE() << problem.what;
  return loaded;
}

/// All remarks on a text and its run, one a line.
std::string remarks_on_text(const std::string& text, const Span& span = {}) {
  std::string lines;
  for (const Remark& remark : remarks_on(run_scenario(read(text).scenario, span))) lines += remark.what + '\n';
  return lines;
}

bool has(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

/// A file for the program, gone with the object.
class File {
 public:
  explicit File(const std::string& text) { std::ofstream(path()) << text; }
  ~File() { std::filesystem::remove(path()); }
  static std::string path() {
    return (std::filesystem::temp_directory_path() / ("tierce-remarks-" + std::to_string(::getpid()) + ".yaml"))
        .string();
  }
};

/// A text report as one line.
std::string unbroken(const std::string& text) { return std::regex_replace(text, std::regex("\\s+"), " "); }

const std::string kCellar =
    "reserve: Ahead\n"
    "tiers: [{name: t, vessels: [{name: v, count: 2, capacity: 225 L}], evaporation: 4 %/yr, vapour: 10 %vol}]\n"
    "lots: [{name: L, vintage: 2024, harvested: 2024-09-20, alcohol: 18 %vol, sugar: 100 g/L, pH: 3.6, so2: {free: 10 "
    "mg/L, total: 60 mg/L}}]\n"
    "log:\n"
    "  - {date: 2024-11-05, do: add, lot: L, to: t, volume: 440 L}\n"
    "  - {date: 2025-02-10, do: draw, from: t, volume: 20 L, for: First}\n";
const std::string kHabit =
    "habit: {day: 10 Feb, draw: 20 %, for: \"Bottling {year}\", refill: {like: L}}\nuntil: 2030\n";
const std::string kAhead = "  - {date: 2028-01-15, do: bring in, tier: t, vessel: w, capacity: 225 L}\n";
const std::string kRemark =
    "the entry of 15 Jan 2028 (line 7) lies after today, 30 Nov 2026: the habit does not run before it";

// The book with a barrel planned in its log: no habit runs in 2026 and 2027.
TEST(DaysAhead, AreRemarkedOnByEveryCommandThatReadsTheFile) {
  const File file(kCellar + kAhead + kHabit);
  for (const char* command : {"check", "stock", "age", "forecast", "losses", "dose", "label", "target", "refresh",
                              "trace --lot L", "age --certificate", "forecast --chart", "refresh --sheet", "report"}) {
    const std::string words = command;
    const std::string verb = words.substr(0, words.find(' ')), options = words.substr(verb.size());
    const auto said = run_program(verb + " " + File::path() + options + " --today 2026-11-30");
    EXPECT_LE(said.status, 1) << command << said.err;
    EXPECT_TRUE(has(unbroken(said.out), kRemark)) << command << ":\n" << said.out.substr(0, 3000);
  }
  const auto compared = run_program("compare " + File::path() + " --vary 'less: habit.draw=10 %' --today 2026-11-30");
  EXPECT_TRUE(has(unbroken(compared.out), kRemark)) << compared.out;
  const auto recorded = run_program("record " + File::path() +
                                    " lose --show --from t --volume '1 L' --cause leak --date 2026-11-30 --today "
                                    "2026-11-30");
  EXPECT_TRUE(has(unbroken(recorded.out), "(line 8) lies after today")) << recorded.out << recorded.err;
}

TEST(DaysAhead, AreNoneOnceTheDayHasCome) {
  const File file(kCellar + kAhead + kHabit);
  const auto said = run_program("check " + File::path() + " --today=2028-01-15");
  EXPECT_EQ(said.status, 0);
  EXPECT_FALSE(has(said.out, "after today")) << said.out;
}

TEST(DaysAhead, KeepExitStatusAndJsonTellsTheLine) {
  const File file(kCellar + kAhead + kHabit);
  const auto said = run_program("check " + File::path() + " --json --today 2026-11-30");
  EXPECT_EQ(said.status, 0);
  const auto json = nlohmann::json::parse(said.out);
  ASSERT_EQ(json.at("remarks").size(), 1u);
  EXPECT_EQ(json.at("remarks")[0].at("line"), 7);
  EXPECT_EQ(with_plain_spaces(json.at("remarks")[0].at("what").get<std::string>()), kRemark);
}

TEST(DaysAhead, OfSeveralEntriesNameTheFirstAndTheLast) {
  Scenario scenario = read(kCellar + kAhead + "  - {date: 2029-03-01, do: draw, from: t, volume: 5 L}\n" +
                           "  - {date: 2031-03-01, do: draw, from: t, volume: 5 L}\n")
                          .scenario;
  remark_on_days_ahead(scenario, {2026, 11, 30});
  ASSERT_EQ(scenario.remarks.size(), 1u);
  EXPECT_EQ(
      with_plain_spaces(scenario.remarks[0].what),
      "the entry of 15 Jan 2028 (line 7) and 2 more, the last entry of 1 Mar 2031 (line 9) lie after today, 30 Nov "
      "2026: a log holds what was done");
}

TEST(Today, IsADateOfEveryCommand) {
  for (const char* command : {"check", "stock", "age", "trace", "losses", "forecast", "dose", "label", "compare",
                              "report", "refresh", "target", "record", "record dose", "fortify", "new"})
    EXPECT_TRUE(has(run_program(std::string(command) + " --help").out, "--today DATE")) << command;
  EXPECT_TRUE(has(run_program("check scenarios/amber.yaml --today tomorrow").err, "--today"));
  EXPECT_EQ(run_program("check scenarios/amber.yaml --today tomorrow").status, 2);
  EXPECT_EQ(run_program("check scenarios/amber.yaml --today").status, 2);
  EXPECT_EQ(run_program("check scenarios/amber.yaml --today 2026-01-01 --today 2026-01-02").status, 2);
}

// `--on today` and the day of an entry follow it.
TEST(Today, StandsForTheClock) {
  const auto said = run_program("stock scenarios/amber.yaml --on today --today 2027-01-01");
  EXPECT_TRUE(has(said.out, "1 Jan 2027")) << said.out;
}

// 440 L of 18 %vol, 4 %/yr, vapour 10 %vol: strength is 10 + 3520/V. It is 24 %vol at V = 251.43 L, after
// ln(251.43/440) / ln 0.96 = 13.71 years: in the middle of 2038.
TEST(WineBeyondWine, IsRemarkedOnWithTheYear) {
  const std::string alone = kCellar.substr(0, kCellar.rfind("  - "));
  EXPECT_TRUE(has(remarks_on_text(alone, {.until_year = 2060}), "strength passes 24 %vol in t in 2038"));
  EXPECT_FALSE(has(remarks_on_text(alone, {.until_year = 2037}), "24 %vol"));
}

TEST(WineBeyondWine, IsNoneOfSpirits) {
  std::string alone = kCellar.substr(0, kCellar.rfind("  - "));
  EXPECT_FALSE(has(remarks_on_text(alone + "label: {product: spirits}\n", {.until_year = 2060}), "24 %vol"));
  alone.replace(alone.find("18 %vol"), 7, "58 %vol");
  EXPECT_FALSE(has(remarks_on_text(alone, {.until_year = 2030}), "24 %vol"));
}

// 300 g/L at 10 %/yr reach 800 g/L when 0.9^t = 0.375: after 9.31 years, from 1 Dec 2020 in March 2030.
TEST(WineBeyondWine, HasNoMoreSugarThanAFileMayState) {
  const std::string text =
      "reserve: Battery\n"
      "tiers: [{name: oak, vessels: [{name: o, capacity: 60 L}], evaporation: 10 %/yr, vapour: 0 %vol}]\n"
      "lots: [{name: M, vintage: 2020, alcohol: 0 %vol, sugar: 300 g/L}]\n"
      "log: [{date: 2020-12-01, do: add, lot: M, to: oak, volume: 60 L}]\n";
  EXPECT_TRUE(has(remarks_on_text(text, {.until_year = 2040}), "sugar passes 800 g/L in oak in 2030"));
  EXPECT_FALSE(has(remarks_on_text(text, {.until_year = 2029}), "800 g/L"));
}

// A slower way: a year of evaporation at a time. 2,725 L of 18 %vol lose 9 % of water alone; a hundredth is drawn and
// new wine makes up the level each 1 Feb, when the wine is strongest.
TEST(WineBeyondWine, OfAnAttendedLoftStopsInTheYearThatAPlainSumFinds) {
  double volume_l = 2725.0, alcohol_l = 0.18 * volume_l;
  int passes_24 = 0, passes_100 = 0;
  for (int year = 2021; passes_100 == 0; ++year) {
    volume_l *= 0.91;
    if (passes_24 == 0 && alcohol_l > 0.24 * volume_l) passes_24 = year;
    if (alcohol_l > volume_l) passes_100 = year;
    alcohol_l = 0.99 * alcohol_l + 0.18 * (2725.0 - 0.99 * volume_l);
    volume_l = 2725.0;
  }
  const auto loaded = read(
      "reserve: Loft\n"
      "tiers: [{name: loft, vessels: [{name: L, count: 5, capacity: 545 L}], evaporation: 9 %/yr, vapour: 0 %vol}]\n"
      "lots: [{name: TO20, vintage: 2020, harvested: 2020-02-01, alcohol: 18 %vol}]\n"
      "log: [{date: 2020-02-01, do: add, lot: TO20, to: loft, volume: 2725 L}]\n"
      "habit: {day: 1 Feb, draw: 1 %, refill: {like: TO20}}\nuntil: 2140\n");
  const Outlook outlook = run_scenario(loaded.scenario, {});
  ASSERT_TRUE(outlook.run.stopped.has_value());
  EXPECT_NEAR(outlook.run.stopped->date.year, passes_100, 1);  // 31 December comes before the sum's 1 February
  ASSERT_FALSE(outlook.run.beyond.empty());
  EXPECT_NEAR(outlook.run.beyond[0].date.year, passes_24, 1);
}

// Derived vapour beside a loss that does not feel the air (docs/model.md, Vapour from the cellar).
TEST(DerivedVapour, OutsideItsAirAsksForTheVapour) {
  const auto in_air = [](const std::string& humidity) {
    return remarks_on_text("reserve: Damp\ncellar: {temperature: 13 °C, humidity: " + humidity +
                           "}\ntiers: [{name: t, vessels: [{name: v, capacity: 225 L}], evaporation: 3 %/yr}]\n"
                           "lots: [{name: L, vintage: 2019, alcohol: 19 %vol}]\n"
                           "log: [{date: 2020-02-10, do: add, lot: L, to: t, volume: 200 L}]\n");
  };
  for (const char* beyond : {"45 %", "64 %", "76 %", "85 %"}) EXPECT_TRUE(has(in_air(beyond), "'vapour'")) << beyond;
  for (const char* within : {"65 %", "70 %", "75 %"}) EXPECT_EQ(in_air(within), "") << within;
}

TEST(DerivedVapour, SaysThatOnlyItsSignIsToBeReliedOn) {
  const auto loaded = read(
      "reserve: Damp\ntiers: [{name: t, vessels: [{name: v, capacity: 225 L}], evaporation: 3 %/yr}]\n"
      "lots: [{name: L, vintage: 2019, alcohol: 19 %vol}]\n"
      "log: [{date: 2020-02-10, do: add, lot: L, to: t, volume: 200 L}]\n");
  std::string all;
  for (const std::string& line : assumptions(run_scenario(loaded.scenario, {}))) all += line;
  EXPECT_TRUE(has(all, "only the sign")) << all;
}

// Neither loss nor vapour stated: both follow from the air, which needs no remark; the default is named.
TEST(DerivedVapour, GoesWithALossFromTheSameAir) {
  const std::string text =
      "reserve: Damp\ncellar: {temperature: 13 °C, humidity: 85 %}\n"
      "tiers: [{name: t, vessels: [{name: v, capacity: 225 L}]}]\nlots: [{name: L, vintage: 2019, alcohol: 19 %vol}]\n"
      "log: [{date: 2020-02-10, do: add, lot: L, to: t, volume: 200 L}]\n";
  EXPECT_EQ(remarks_on_text(text), "");
  std::string all;
  for (const std::string& line : assumptions(run_scenario(read(text).scenario, {}))) all += line;
  EXPECT_TRUE(has(with_plain_spaces(all),
                  "follows from the cellar's air (13 °C, 85 % humidity; strengths stay at 70 %), with 3 %/yr"))
      << all;
}

// Slips of the pen, each with its lines.

TEST(Slips, AnEntryWrittenTwice) {
  const std::string draw = "  - {date: 2025-02-12, do: draw, volume: 5 L, from: t}\n";
  const std::string again = "  - {date: 2025-02-12, do: draw, from: t, volume: 5 L, note: again}\n";
  EXPECT_TRUE(has(remarks_on_text(kCellar + draw + again), "line 7 and line 8 are the same entry"));
  EXPECT_EQ(remarks_on_text(kCellar + draw), "");
}

TEST(Slips, ARefOnTwoDays) {
  const std::string one = "  - {date: 2025-02-12, do: draw, from: t, volume: 5 L, ref: D-1}\n";
  const std::string same_day = "  - {date: 2025-02-12, do: gauge, tier: t, volume: 400 L, ref: D-1}\n";
  const std::string later = "  - {date: 2025-03-12, do: draw, from: t, volume: 6 L, ref: D-1}\n";
  EXPECT_EQ(remarks_on_text(kCellar + one + same_day), "");
  EXPECT_TRUE(has(remarks_on_text(kCellar + one + later), "ref 'D-1' stands in line 7 and in line 8"));
}

TEST(Slips, ANameOfTwoBottlings) {
  const std::string again = "  - {date: 2025-03-12, do: draw, from: t, volume: 6 L, for: First}\n";
  EXPECT_TRUE(has(remarks_on_text(kCellar + again), "'First' is the name of the draws in line 6 and in line 7"));
  const std::string habit = "habit: {day: 10 Feb, draw: 20 %, for: Bottling 2024, refill: {like: L}}\nuntil: 2026\n";
  EXPECT_TRUE(has(remarks_on_text(kCellar + habit), "{year}"));
  EXPECT_EQ(remarks_on_text(kCellar + kHabit), "");
}

TEST(Slips, TwoGaugesOfOneDayWithNoWorkBetween) {
  const std::string first = "  - {date: 2025-03-12, do: gauge, tier: t, volume: 410 L}\n";
  const std::string second = "  - {date: 2025-03-12, do: gauge, tier: t, volume: 400 L}\n";
  const std::string draw = "  - {date: 2025-03-12, do: draw, from: t, volume: 6 L}\n";
  EXPECT_TRUE(has(remarks_on_text(kCellar + first + second), "the gauges in line 7 and in line 8"));
  EXPECT_EQ(remarks_on_text(kCellar + first + draw + second), "");
}

TEST(Slips, LossesSugarAndStrengthsThatAreHardlyMeant) {
  const auto with = [](const std::string& evaporation, const std::string& wine, const std::string& more = "") {
    return remarks_on_text(
        "reserve: Slip\n"
        "tiers: [{name: t, vessels: [{name: v, capacity: 225 L}], evaporation: " +
        evaporation + ", vapour: 1 %vol}]\nlots: [{name: L, vintage: 2019, " + wine + "}]\n" +
        "log: [{date: 2020-02-10, do: add, lot: L, to: t, volume: 200 L}]\n" + more);
  };
  EXPECT_EQ(with("4 %/yr", "alcohol: 18 %vol, sugar: 95 g/L"), "");
  EXPECT_TRUE(has(with("40 %/yr", "alcohol: 18 %vol"), "(line 2) loses 40 % a year"));
  EXPECT_TRUE(has(with("90 L/yr per vessel", "alcohol: 18 %vol"), "(line 2) loses 40 % a year"));
  EXPECT_TRUE(has(with("4 %/yr", "alcohol: 18 %vol, sugar: 95 mg/L"), "'sugar: 95 mg/L' (line 3)"));
  EXPECT_TRUE(has(with("4 %/yr", "alcohol: 1.8 %vol"), "lot 'L' (line 3) has 1.8 %vol: is this meant?"));
  EXPECT_EQ(with("4 %/yr", "alcohol: 1.8 %vol", "label: {product: vinegar}\n"), "");
}

}  // namespace
}  // namespace tierce
