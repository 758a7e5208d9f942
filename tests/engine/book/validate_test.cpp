// What a scenario may not say: each fault points at its line and names what is missing.
#include "engine/book/validate.h"

#include <gtest/gtest.h>

#include "cli/read/load.h"

namespace tierce {
namespace {

std::vector<Problem> problems_of(const std::string& text) {
  std::vector<Problem> problems;
  const LoadedScenario loaded = check_source(source_from("inline.yaml", text, problems));
  EXPECT_TRUE(problems.empty());
  return loaded.problems;
}

// Lines 1 to 6; the log's first own entry stands in line 7.
const std::string kCellar =
    "reserve: Test\n"
    "tiers: [{name: upper, vessels: [{name: u, capacity: 500 L}], evaporation: 0 %/yr}, {name: lower, vessels: [{name: "
    "l, capacity: 500 L}], evaporation: 0 %/yr}]\n"
    "lots: [{name: L, vintage: 2019, harvested: 2019-09-18, alcohol: 18 %vol}, {name: M, vintage: 2021, alcohol: 18 "
    "%vol}]\n"
    "log:\n"
    "  - {date: 2020-02-10, do: add, lot: L, to: upper, volume: 100 L}\n"
    "  - {date: 2020-02-10, do: add, lot: L, to: lower, volume: 500 L}\n";

/// The one problem of the cellar with this entry, which must point at its line.
Problem problem_of(const std::string& entry) {
  const auto problems = problems_of(kCellar + "  - {" + entry + "}\n");
  EXPECT_EQ(problems.size(), 1u) << entry;
  if (problems.empty()) return {};
  EXPECT_EQ(problems[0].at.line, 7) << problems[0].what;
  return problems[0];
}

bool says(const Problem& problem, const std::string& words) {
  return (problem.what + ' ' + problem.allowed + ' ' + problem.hint).find(words) != std::string::npos;
}

TEST(Log, MayNotAskForMoreThanThereIs) {
  const Problem problem = problem_of("date: 2021-02-10, do: draw, from: lower, volume: 501 L");
  EXPECT_TRUE(says(problem, "501 L"));
  EXPECT_TRUE(says(problem, "500 L"));
  EXPECT_TRUE(says(problem, "1 L short"));
}

TEST(Log, MayTakeAllAndThenExactlyNothingIsLeft) {
  EXPECT_TRUE(problems_of(kCellar + "  - {date: 2021-02-10, do: draw, from: lower, volume: 500 L}\n").empty());
  EXPECT_TRUE(says(problems_of(kCellar + "  - {date: 2021-02-10, do: draw, from: lower, volume: 500 L}\n  - {date: "
                                         "2021-02-10, do: draw, from: lower, share: 10 %}\n")
                       .at(0),
                   "empty"));
}

// 150 L are missing below, and the tier above holds 100: 50 L short.
TEST(Refill, ThatATierCannotSupplyNamesBothTiersAndTheLitresMissing) {
  const auto problems = problems_of(
      kCellar +
      "  - {date: 2021-02-10, do: draw, from: lower, volume: 150 L}\n  - {date: 2021-02-10, do: refill, lot: L}\n");
  ASSERT_EQ(problems.size(), 1u);
  EXPECT_EQ(problems[0].at.line, 8);
  for (const char* words : {"'upper'", "'lower'", "50 L"}) EXPECT_TRUE(says(problems[0], words)) << problems[0].what;
}

TEST(Capacity, IsLookedAtWhenTheDayEnds) {
  const std::string add = "  - {date: 2021-02-10, do: add, lot: L, to: lower, volume: 20 L}\n";
  EXPECT_TRUE(problems_of(kCellar + add + "  - {date: 2021-02-10, do: draw, from: lower, volume: 20 L}\n").empty());
  const auto problems = problems_of(kCellar + add);
  ASSERT_FALSE(problems.empty());
  EXPECT_EQ(problems[0].at.line, 7);
  EXPECT_TRUE(says(problems[0], "520 L"));
}

TEST(Dose, ThatNeedsAnUnknownValueNamesTheKey) {
  EXPECT_TRUE(says(problem_of("date: 2020-02-10, do: dose, tier: lower, to: {free: 15 mg/L}"), "so2: free"));
  const Problem molecular = problem_of("date: 2020-02-10, do: dose, tier: lower, to: {molecular: 0.5 mg/L}");
  EXPECT_TRUE(says(molecular, "pH"));
}

TEST(Lots, CannotEnterBeforeTheirHarvest) {
  EXPECT_TRUE(
      says(problem_of("date: 2021-09-30, do: add, lot: M, to: upper, volume: 10 L"), "2021-10-01"));  // the default day
}

TEST(Log, StandsInOrderOfDates) {
  EXPECT_TRUE(says(problem_of("date: 2020-02-09, do: lose, from: lower, volume: 1 L, cause: sample"), "out of order"));
}

TEST(Targets, CannotBeMoreThanTheVesselsHold) {
  std::string text = kCellar;
  text.replace(text.find("[{name: u, capacity: 500 L}]"), 28, "[{name: u, capacity: 500 L}], target: 501 L");
  const auto problems = problems_of(text);
  ASSERT_EQ(problems.size(), 1u);
  EXPECT_EQ(problems[0].at.line, 2);
  EXPECT_TRUE(says(problems[0], "'upper'"));
}

TEST(Names, AreGivenOnce) {
  std::string text = kCellar;
  text.replace(text.find("name: l,"), 8, "name: u,");
  ASSERT_EQ(problems_of(text).size(), 1u);
  EXPECT_TRUE(says(problems_of(text)[0], "'u' is given twice"));
}

TEST(Faults, AreAllFoundAtOnceAndSortedByLine) {
  const auto problems = problems_of(kCellar +
                                    "  - {date: 2021-02-10, do: draw, from: lower, volume: 501 L}\n"
                                    "  - {date: 2021-02-10, do: lose, from: upper, volume: 101 L, cause: leak}\n");
  ASSERT_EQ(problems.size(), 2u);
  EXPECT_EQ(problems[0].at.line, 7);
  EXPECT_EQ(problems[1].at.line, 8);
}

TEST(Opening, SharesAddUpToTheWhole) {
  const auto problems =
      problems_of(kCellar + "opening: [{date: 2019-11-01, tier: lower, volume: 10 L, lots: {L: 60 %, old: 30 %}}]\n");
  ASSERT_FALSE(problems.empty());
  EXPECT_TRUE(says(problems[0], "100 %"));
}

TEST(Habit, NeedsADayToStartFrom) {
  const auto problems = problems_of(
      "reserve: Test\ntiers: [{name: vat, vessels: [{name: v, capacity: 500 L}], evaporation: 0 %/yr}]\n"
      "lots: [{name: L, vintage: 2019, alcohol: 18 %vol}]\nhabit: {day: 10 Feb, refill: {like: L}}\n");
  ASSERT_FALSE(problems.empty());
  EXPECT_EQ(problems[0].at.line, 4);
}

}  // namespace
}  // namespace tierce
