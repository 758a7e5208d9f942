// A corrected book is the book that would have been written had the slip not been made; as known on an earlier day it
// is the book without the lines that came later. Both are written out here and compared line by line of what they hold.
#include <gtest/gtest.h>

#include "cli/read/load.h"
#include "engine/run/simulate.h"

namespace tierce {
namespace {

const std::string kHead =
    "reserve: Amber\n"
    "tiers: [{name: floor, vessels: [{name: F, count: 4, capacity: 225 L}], evaporation: 4 %/yr, vapour: 10 %vol}]\n"
    "tanks: [{name: T1, capacity: 900 L}]\n"
    "lots: [{name: GG21, vintage: 2021, alcohol: 18 %vol, sugar: 95 g/L}, {name: GG22, vintage: 2022, alcohol: 19 "
    "%vol}]\n"
    "log:\n"
    "  - {date: 2022-11-01, do: add, lot: GG21, to: floor, volume: 800 L, ref: A1}\n";

LoadedScenario book(const std::string& entries, std::optional<Date> known_on = {}) {
  std::vector<Problem> problems;
  return check_source(source_from("book.yaml", kHead + entries, problems), kUsualLimits, {}, known_on);
}

/// What the book holds at the end of 2024: litres and alcohol by row and lot, and sugar.
std::vector<double> held(const std::string& entries, std::optional<Date> known_on = {}) {
  const LoadedScenario loaded = book(entries, known_on);
  for (const Problem& problem : loaded.problems) ADD_FAILURE() << problem.at.line << ": " << problem.what;
  const Timeline line = timeline(loaded.scenario, {.habit = false, .end_on = Date{2024, 12, 31}});
  const Stock stock = simulate(loaded.scenario, line).looks.back();
  std::vector<double> values;
  for (const char* lot : {"GG21", "GG22"})
    for (int row = 0; row < 2; ++row) {
      double litres = 0.0, alcohol = 0.0;
      for (std::size_t i = 0; i < line.parcels.size(); ++i)
        if (line.parcels[i].lot == lot) {
          litres += stock.litres(row, static_cast<Eigen::Index>(i));
          alcohol += stock.alcohol(row, static_cast<Eigen::Index>(i));
        }
      values.insert(values.end(), {litres, alcohol});
    }
  return values;
}

const std::string kDraw = "  - {date: 2023-02-10, do: draw, from: floor, volume: 100 L, ref: D1}\n";
const std::string kAdd = "  - {date: 2023-03-01, do: add, lot: GG22, to: T1, volume: 60 L}\n";

std::string correct(const std::string& entry, const std::string& with, const std::string& date = "2023-06-01") {
  return "  - {date: " + date + ", do: correct, entry: " + entry + ", because: misread, with: " + with + "}\n";
}

TEST(Corrections, CountAsIfTheEntryHadSaidSoFromTheBeginning) {
  const std::string right = "  - {date: 2023-02-10, do: draw, from: floor, volume: 110 L}\n";
  EXPECT_EQ(held(kDraw + kAdd + correct("{ref: D1}", "{volume: 110 L}")), held(right + kAdd));
  EXPECT_NE(held(kDraw + kAdd), held(right + kAdd));
}

TEST(Corrections, MeanAnEntryByAnyValuesThatItAloneHas) {
  const auto right = held("  - {date: 2023-02-10, do: draw, from: floor, volume: 110 L}\n" + kAdd);
  for (const char* entry : {"{date: 2023-02-10, do: draw}", "{do: draw}", "{volume: 100 L}", "{ref: D1, from: floor}"})
    EXPECT_EQ(held(kDraw + kAdd + correct(entry, "{volume: 110 L}")), right) << entry;
  EXPECT_EQ(held(kDraw + kDraw + kAdd + correct("{ref: D1, which: 2}", "{volume: 10 L}")),
            held(kDraw + "  - {date: 2023-02-10, do: draw, from: floor, volume: 10 L}\n" + kAdd));
}

TEST(Corrections, ReplaceAKeyByAnotherOne) {
  EXPECT_EQ(held(kDraw + correct("{ref: D1}", "{volume: none, share: 50 %}")),
            held("  - {date: 2023-02-10, do: draw, from: floor, share: 50 %}\n"));
}

TEST(Corrections, TakeAnEntryBack) { EXPECT_EQ(held(kDraw + kAdd + correct("{ref: D1}", "none")), held(kAdd)); }

TEST(Corrections, MoveAnEntryToAnotherDayBehindThoseOfThatDay) {
  EXPECT_EQ(held(kDraw + kAdd + correct("{ref: D1}", "{date: 2023-03-01, from: T1, volume: 20 L}")),
            held(kAdd + "  - {date: 2023-03-01, do: draw, from: T1, volume: 20 L}\n"));
}

TEST(Corrections, OfOneEntryFollowEachOther) {
  const std::string twice =
      correct("{ref: D1}", "{volume: 110 L}") + correct("{ref: D1}", "{share: 10 %, volume: none}");
  EXPECT_EQ(held(kDraw + kAdd + twice), held("  - {date: 2023-02-10, do: draw, from: floor, share: 10 %}\n" + kAdd));
  const std::string back = correct("{ref: D1}", "none") + correct("{ref: D1}", "{volume: 90 L}");
  EXPECT_EQ(held(kDraw + kAdd + back), held("  - {date: 2023-02-10, do: draw, from: floor, volume: 90 L}\n" + kAdd));
}

// As known on a day: the same lines, less those that came later.
TEST(AsKnownOn, LeavesOutWhatCameLater) {
  const std::string late =
      "  - {date: 2023-02-20, entered: 2023-05-05, do: lose, from: floor, volume: 9 L, cause: leak}\n";
  const std::string all = kDraw + late + kAdd + correct("{ref: D1}", "{volume: 110 L}");
  EXPECT_EQ(held(all, Date{2023, 2, 9}), held(""));
  EXPECT_EQ(held(all, Date{2023, 2, 10}), held(kDraw));
  EXPECT_EQ(held(all, Date{2023, 5, 4}), held(kDraw + kAdd));
  EXPECT_EQ(held(all, Date{2023, 5, 5}), held(kDraw + late + kAdd));
  EXPECT_EQ(held(all, Date{2023, 6, 1}), held(all));
}

TEST(AsKnownOn, ACorrectionCountsFromItsOwnEntryIntoTheBook) {
  const std::string late =
      "  - {date: 2023-06-01, entered: 2023-07-01, do: correct, entry: {ref: D1}, because: x, with: {volume: 110 L}}\n";
  EXPECT_EQ(held(kDraw + late, Date{2023, 6, 30}), held(kDraw));
  EXPECT_EQ(held(kDraw + late, Date{2023, 7, 1}), held(kDraw + late));
}

TEST(AsKnownOn, CountsWhatIsLeftOut) {
  const auto known = book(kDraw + kAdd + correct("{ref: D1}", "{volume: 110 L}"), Date{2023, 2, 20}).scenario.as_known;
  ASSERT_TRUE(known.has_value());
  EXPECT_EQ(known->entries_left_out, 1);
  EXPECT_EQ(known->corrections_left_out, 1);
}

// A fault of a corrected value is a fault of the line that corrects.
TEST(Corrections, FaultsStandWhereTheValueStands) {
  const LoadedScenario loaded = book(kDraw + kAdd + correct("{ref: D1}", "{volume: 1100 L}"));
  ASSERT_EQ(loaded.problems.size(), 1u);
  EXPECT_EQ(loaded.problems[0].at.line, 9);
  EXPECT_NE(loaded.problems[0].what.find("the draw asks for 1100 L"), std::string::npos) << loaded.problems[0].what;
}

TEST(Corrections, AreNotCorrectedThemselves) {
  std::string first = correct("{ref: D1}", "{volume: 90 L}");
  first.insert(first.rfind('}'), ", ref: K1");
  const LoadedScenario loaded = book(kDraw + kAdd + first + correct("{ref: K1}", "{volume: 80 L}", "2023-07-01"));
  ASSERT_EQ(loaded.problems.size(), 1u);
  EXPECT_EQ(loaded.problems[0].what, "'ref: K1' is a correction, and a correction is not corrected");
  EXPECT_EQ(loaded.problems[0].hint, "it stands in line 9, and says 'entry: {ref: D1}'");
}

}  // namespace
}  // namespace tierce
