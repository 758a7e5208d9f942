// What cannot be is a fault, or stops a forecast: doses, harvests, vintages, gauges, strengths.
#include <gtest/gtest.h>

#include <cmath>

#include "cli/read/load.h"
#include "engine/measure/balance.h"
#include "engine/run/outlook.h"
#include "tests/cli/command/program.h"

namespace tierce {
namespace {

LoadedScenario read(const std::string& text) {
  std::vector<Problem> problems;
  return check_source(source_from("inline.yaml", text, problems));
}

std::string said(const Problem& problem) { return problem.what + "; " + problem.allowed + "; " + problem.hint; }

/// The one fault of a text, which must point at this line; what it says.
std::string fault_of(const std::string& text, int line) {
  const auto problems = read(text).problems;
  EXPECT_EQ(problems.size(), 1u) << text;
  if (problems.empty()) return "";
  EXPECT_EQ(problems[0].at.line, line) << problems[0].what;
  return said(problems[0]);
}

bool has(const std::string& text, const std::string& words) { return text.find(words) != std::string::npos; }

// Doses. Source of the limit: docs/sources.md, Bounds.

// One vessel of 500 L with 100 L of wine; its log goes on in line 6.
const std::string kDosed =
    "reserve: Dosed\n"
    "tiers: [{name: t, vessels: [{name: v, capacity: 500 L}], evaporation: 0 %/yr}]\n"
    "lots: [{name: L, vintage: 2019, alcohol: 18 %vol, pH: 4, so2: {free: 0 mg/L, total: 0 mg/L}}]\n"
    "log:\n"
    "  - {date: 2020-02-10, do: add, lot: L, to: t, volume: 100 L}\n";

// 400 g x 0.576287 = 230.5 g of SO2 in 100 L: 2305 mg/L. A full vessel would get 461, so only the run can tell.
TEST(Bounds, MetabisulfiteOfMoreThanTwoGramsALitreIsAFault) {
  const std::string fault = fault_of(kDosed + "  - {date: 2020-03-01, do: dose, tier: t, metabisulfite: 400 g}\n", 6);
  EXPECT_TRUE(has(fault, "2305 mg/L")) << fault;
  EXPECT_TRUE(has(fault, "2,000 mg/L")) << fault;
  EXPECT_TRUE(read(kDosed + "  - {date: 2020-03-01, do: dose, tier: t, metabisulfite: 340 g}\n").problems.empty());
}

// 2 kg are 2305 mg/L in 500 L too: the file itself shows it, of a habit that no run of the log reaches.
TEST(Bounds, MetabisulfiteOfAHabitIsHeldAgainstFullVessels) {
  const std::string habit = "habit: {day: 1 Mar, draw: 10 %, dose: {metabisulfite: 2 kg}}\n";
  const std::string fault = fault_of(kDosed + habit, 6);
  EXPECT_TRUE(has(fault, "2305 mg/L")) << fault;
  EXPECT_TRUE(has(fault, "1735 g")) << fault;  // 2000 x 500 / 1000 / 0.576287 = 1735.2
  EXPECT_TRUE(read(kDosed + "habit: {day: 1 Mar, draw: 10 %, dose: {metabisulfite: 200 g}}\n").problems.empty());
}

// 300 g are 346 mg/L in a full vessel; drawn down to a tenth of its wine, 10 L, they are 17,289.
TEST(Bounds, AHabitThatComesToSuchADoseStopsThere) {
  const auto loaded = read(kDosed + "habit: {day: 1 Mar, draw: 90 %, dose: {metabisulfite: 300 g}}\nuntil: 2022\n");
  ASSERT_TRUE(loaded.problems.empty()) << said(loaded.problems[0]);
  const Outlook outlook = run_scenario(loaded.scenario, {});
  ASSERT_TRUE(outlook.run.stopped.has_value());
  EXPECT_EQ(outlook.run.stopped->date, (Date{2020, 3, 1}));
  EXPECT_TRUE(has(outlook.run.stopped->problem.what, "17289 mg/L")) << outlook.run.stopped->problem.what;
}

// Harvests and vintages.

std::string with_lot(const std::string& lot, const std::string& more = "") {
  return "reserve: Year\n" + (more.empty() ? "units: metric\n" : more) +
         "tiers: [{name: t, vessels: [{name: v, capacity: 500 L}], evaporation: 0 %/yr}]\n"
         "lots: [{name: L, alcohol: 18 %vol, " +
         lot + "}]\nlog: [{date: 2024-02-10, do: add, lot: L, to: t, volume: 100 L}]\n";
}

// The year of the vintage, and January and February after it: sweet wine hangs till then.
TEST(Bounds, AHarvestLiesInItsVintage) {
  for (const char* sound : {"2021-01-01", "2021-09-20", "2022-01-15", "2022-02-28"})
    EXPECT_TRUE(read(with_lot(std::string("vintage: 2021, harvested: ") + sound)).problems.empty()) << sound;
  for (const char* wrong : {"2020-12-31", "2022-03-01", "2022-09-20"}) {
    const std::string fault = fault_of(with_lot(std::string("vintage: 2021, harvested: ") + wrong), 4);
    EXPECT_TRUE(has(fault, "vintage 2021")) << fault;
    EXPECT_TRUE(has(fault, "from 2021-01-01 to 2022-02-28")) << fault;
  }
  for (const Problem& problem : read(with_lot("vintage: 2023, harvested: 2024-02-29")).problems)
    EXPECT_FALSE(has(problem.what, "of the vintage 2023 is harvested")) << problem.what;
}

// Wine Australia, "The blending rules": the year of the harvest; September to December count for the year after.
TEST(Bounds, AHarvestOfTheSouthLiesInItsVintageOrInTheSpringBefore) {
  const std::string south = "cellar: {hemisphere: south}\n";
  for (const char* sound : {"2020-09-01", "2021-01-20", "2021-04-10", "2021-12-31"})
    EXPECT_TRUE(read(with_lot(std::string("vintage: 2021, harvested: ") + sound, south)).problems.empty()) << sound;
  for (const char* wrong : {"2020-08-31", "2022-01-01"}) {
    const std::string fault = fault_of(with_lot(std::string("vintage: 2021, harvested: ") + wrong, south), 4);
    EXPECT_TRUE(has(fault, "from 2020-09-01 to 2021-12-31")) << fault;
  }
}

TEST(Bounds, AVintageLiesNotMoreThanACenturyBeforeTheBook) {
  const std::string fault = fault_of(with_lot("vintage: 22"), 4);
  EXPECT_TRUE(has(fault, "vintage 22")) << fault;
  EXPECT_TRUE(has(fault, "from 1924")) << fault;
  EXPECT_TRUE(has(fault, "did you mean 2022?")) << fault;
  EXPECT_TRUE(has(fault_of(with_lot("vintage: 99"), 4), "did you mean 1999?"));
  EXPECT_TRUE(has(fault_of(with_lot("vintage: 1923"), 4), "'ages'"));
  EXPECT_TRUE(read(with_lot("vintage: 1924")).problems.empty());
}

// Gauges.

// 500 L hold 505 L by a gauge right to 1 % (5.05 L), and not 506.
TEST(Bounds, AGaugeLiesAboveTheCapacityByItsErrorAtMost) {
  const std::string text =
      "reserve: Full\n"
      "tiers: [{name: t, vessels: [{name: v, capacity: 500 L}], evaporation: 0 %/yr}]\n"
      "lots: [{name: L, vintage: 2019, alcohol: 18 %vol}]\n"
      "log:\n"
      "  - {date: 2020-02-10, do: add, lot: L, to: t, volume: 500 L}\n"
      "  - {date: 2020-03-01, do: gauge, tier: t, ";
  const std::string drawn = "  - {date: 2020-03-01, do: draw, from: t, volume: 50 L}\n";
  EXPECT_TRUE(read(text + "volume: 505 L}\n").problems.empty());
  const std::string fault = fault_of(text + "volume: 506 L}\n", 6);
  EXPECT_TRUE(has(fault, "506 L")) << fault;
  EXPECT_TRUE(has(fault, "1.2 %")) << fault;
  EXPECT_TRUE(has(fault, "500 L")) << fault;
  EXPECT_TRUE(has(fault, "5.06 L, 1 %")) << fault;
  fault_of(text + "volume: 506 L}\n" + drawn, 6);  // at once, though wine leaves the same day
  EXPECT_TRUE(read(text + "volume: 509 L, error: 2 %}\n").problems.empty());
  EXPECT_TRUE(has(fault_of(text + "volume: 503 L, error: 2 L}\n", 6), "503 L"));
}

// A gauge within its error leaves the level as it was read, and other wine still fills no more than the capacity.
TEST(Bounds, AtADaysEndAVesselMayHoldWhatItsGaugeSaid) {
  const std::string text =
      "reserve: Full\n"
      "tiers: [{name: t, vessels: [{name: v, count: 2, capacity: 100 L}], evaporation: 0 %/yr}]\n"
      "lots: [{name: L, vintage: 2019, alcohol: 18 %vol}]\n"
      "log:\n"
      "  - {date: 2020-02-10, do: add, lot: L, to: t, volume: 150 L}\n"
      "  - {date: 2020-03-01, do: gauge, gauge: {v1: 100.9 L, v2: 60 L}}\n"
      "  - {date: 2020-03-01, do: add, lot: L, to: t, volume: ";
  const auto loaded = read(text + "40 L}\n");
  ASSERT_TRUE(loaded.problems.empty()) << said(loaded.problems[0]);
  const Outlook outlook = run_scenario(loaded.scenario, {});
  EXPECT_NEAR(outlook.run.looks.back().levels.of(0, 0), 100.9, 1e-9);
  EXPECT_NEAR(outlook.run.looks.back().levels.of(0, 1), 100.0, 1e-9);
  EXPECT_TRUE(has(fault_of(text + "45 L}\n", 7), "more than its capacity"));
}

// Strengths.

// 440 L of 18 %vol lose 4 %/yr with vapour of 10 %vol: alcohol 79.2 - 0.1 (440 - V), so that strength is 10 % + 35.2/V;
// it is 100 % at V = 39.11 L, after ln(39.11/440) / ln 0.96 = 59.29 years: early in 2084.
const std::string kLeftAlone =
    "reserve: Left alone\n"
    "tiers: [{name: barrels, vessels: [{name: B, count: 2, capacity: 225 L}], evaporation: 4 %/yr, vapour: 10 %vol}]\n"
    "lots: [{name: GR24, vintage: 2024, harvested: 2024-09-20, alcohol: 18 %vol, sugar: 100 g/L}]\n"
    "log:\n"
    "  - {date: 2024-11-05, do: add, lot: GR24, to: barrels, volume: 440 L}\n";

TEST(Bounds, AForecastStopsBeforeItPassesAHundredPercent) {
  const auto loaded = read(kLeftAlone);
  ASSERT_TRUE(loaded.problems.empty());
  const Outlook outlook = run_scenario(loaded.scenario, {.until_year = 2124});
  ASSERT_TRUE(outlook.run.stopped.has_value());
  EXPECT_EQ(outlook.run.stopped->date, (Date{2084, 12, 31}));
  EXPECT_TRUE(has(outlook.run.stopped->problem.what, "100 %vol"));
  EXPECT_EQ(outlook.run.stopped->problem.at.line, 2);
  const Stock& last = outlook.run.looks.back();
  EXPECT_EQ(last.date, (Date{2083, 12, 31}));
  EXPECT_LT(last.alcohol_pct(0), 100.0);
  EXPECT_NEAR(last.alcohol_pct(0), 10.0 + 3520.0 / last.volume[0], 1e-9);
  const Balance volume = balance_of_volume(outlook.run);
  EXPECT_NEAR(volume.gap(), 0.0, 1e-9 * volume.throughput());
  EXPECT_FALSE(run_scenario(loaded.scenario, {.until_year = 2083}).run.stopped.has_value());
}

TEST(Bounds, ALogThatPassesAHundredPercentIsFaulty) {
  const std::string fault = fault_of(kLeftAlone + "  - {date: 2090-01-01, do: draw, from: barrels, volume: 1 L}\n", 2);
  EXPECT_TRUE(has(fault, "100 %vol")) << fault;
}

// Rows that lose alike go four at a time, in code of their own.
TEST(Bounds, TheSameOfManyTiersAtOnce) {
  std::string text = "reserve: Many\ntiers:\n", log = "log:\n";
  for (const char tier : std::string("abcdefgh")) {
    text += std::string("  - {name: ") + tier + ", vessels: [{name: v" + tier +
            ", capacity: 500 L}], evaporation: 4 %/yr, vapour: 10 %vol}\n";
    log += std::string("  - {date: 2024-11-05, do: add, lot: L, to: ") + tier + ", volume: 440 L}\n";
  }
  const auto loaded = read(text + "lots: [{name: L, vintage: 2024, harvested: 2024-09-20, alcohol: 18 %vol}]\n" + log);
  ASSERT_TRUE(loaded.problems.empty());
  const Outlook outlook = run_scenario(loaded.scenario, {.until_year = 2124});
  ASSERT_TRUE(outlook.run.stopped.has_value());
  EXPECT_EQ(outlook.run.stopped->date, (Date{2084, 12, 31}));
}

// 100 L of 90 %vol gauged at 85 L: at a vapour of 10 %vol 1.5 L of alcohol would go, and 88.5 L be left in 85.
TEST(Bounds, AGaugeLeavesNoMoreAlcoholThanWine) {
  const std::string fault = fault_of(
      "reserve: Strong\n"
      "tiers: [{name: t, vessels: [{name: v, capacity: 100 L}], evaporation: 1 %/yr, vapour: 10 %vol}]\n"
      "lots: [{name: L, vintage: 2019, alcohol: 90 %vol}]\n"
      "log:\n"
      "  - {date: 2020-02-10, do: add, lot: L, to: t, volume: 100 L}\n"
      "  - {date: 2020-02-10, do: gauge, tier: t, volume: 85 L}\n",
      6);
  EXPECT_TRUE(has(fault, "more alcohol than wine")) << fault;
}

// The opening's wine of 2021 is in the book: the refresh of March 2022 brings new wine like A20.
TEST(HabitLots, ALotOfTheOpeningIsUsed) {
  const auto loaded = read(
      "reserve: Again\n"
      "tiers: [{name: t, vessels: [{name: V, count: 4, capacity: 225 L}], evaporation: 3 %/yr, vapour: 10 %vol}]\n"
      "lots:\n"
      "  - {name: A21, vintage: 2021, alcohol: 19.5 %vol}\n"
      "  - {name: A20, vintage: 2020, alcohol: 18 %vol}\n"
      "opening: [{date: 2022-01-01, tier: t, volume: 880 L, alcohol: 18 %vol, lots: {A21: 10 %, A20: 90 %}}]\n"
      "habit: {day: 1 Mar, draw: 20 %, refill: {like: A20}}\nuntil: 2025\n");
  ASSERT_TRUE(loaded.problems.empty());
  const Outlook outlook = run_scenario(loaded.scenario, {});
  ASSERT_FALSE(outlook.run.refreshes.empty());
  EXPECT_EQ(outlook.run.refreshes[0].date, (Date{2022, 3, 1}));
  EXPECT_EQ(outlook.run.refreshes[0].lots.at(0).first, "A20/2021");
}

}  // namespace
}  // namespace tierce
