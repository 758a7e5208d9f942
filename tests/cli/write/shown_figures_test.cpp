// Figures as they are shown: which way they are rounded, in which unit, and that no report shows one that is none.
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <regex>

#include "tests/cli/command/program.h"

namespace tierce {
namespace {

namespace fs = std::filesystem;
using test::run_program;

bool says(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

/// A scenario file that is gone after the test.
class File {
 public:
  explicit File(const std::string& text)
      : path_((fs::temp_directory_path() / ("tierce-shown-" + std::to_string(::getpid()) + ".yaml")).string()) {
    std::ofstream(path_) << text;
  }
  ~File() {
    fs::remove(path_);
    fs::remove(path_ + ".lock");
  }
  File(const File&) = delete;
  File& operator=(const File&) = delete;
  const std::string& path() const { return path_; }

 private:
  std::string path_;
};

// Harvested on 1 January 2013, drawn on 23 May 2020: 7 + 142/365 = 7.389 years. The mean is rounded down to 7.3; "up to
// 7.3" would be untrue, so that an upper bound is rounded up.
TEST(ShownAges, AreRoundedUpWhereUpToIsSaid) {
  const File file(
      "reserve: R\ntiers: [{name: t, vessels: [{name: V, capacity: 225 L}], evaporation: 0 %/yr}]\n"
      "lots: [{name: A, harvested: 2013-01-01, alcohol: 18 %vol}]\n"
      "log:\n  - {date: 2014-01-01, do: add, lot: A, to: t, volume: 200 L}\n"
      "  - {date: 2020-05-23, do: draw, from: t, volume: 50 L, for: B}\n");
  const std::string text = run_program("age " + file.path()).out;
  EXPECT_TRUE(says(text, "mean age     7.3 years")) << text;
  EXPECT_TRUE(says(text, "a tenth of the wine is up to 7.4, half up to")) << text;
  EXPECT_FALSE(says(text, "up to 7.3")) << text;
}

// The legend of "5.1+" stands only where a "+" stands.
TEST(ShownAges, ExplainAPlusOnlyWhereThereIsOne) {
  EXPECT_FALSE(says(run_program("forecast scenarios/amber.yaml").out, "5.1+"));
  const File file(
      "reserve: R\ntiers: [{name: t, vessels: [{name: V, capacity: 225 L}], evaporation: 0 %/yr}]\n"
      "lots: [{name: A, vintage: 2019, alcohol: 18 %vol}]\n"
      "opening: [{date: 2020-01-01, tier: t, volume: 200 L, lots: {unknown: 100 %}, alcohol: 18 %vol}]\n"
      "habit: {day: 10 Feb, draw: 20 %, refill: {like: A}}\nuntil: 2024\n");
  EXPECT_TRUE(says(run_program("forecast " + file.path()).out, "5.1+: at"));
}

// No figure that is none, in the text or the CSV of any report of the demos, nor of reserves without a lasting state:
// one that is never refilled, one whose vapour (25 %vol) is stronger than its wine (18 %vol), one where both are 18.
bool shows_no_number(const std::string& text) {
  static const std::regex kNone("(^|[^A-Za-z])[-+]?(inf|nan)([^A-Za-z]|$)", std::regex::icase);
  return std::regex_search(text, kNone);
}

void expect_numbers(const std::string& file, const std::string& more = "") {
  for (const char* command : {"stock", "age", "forecast", "refresh", "dose", "label", "target", "losses"})
    for (const char* form : {"", " --csv"}) {
      const std::string line = std::string(command) + ' ' + file + form + (command[0] == 't' ? more : "");
      EXPECT_FALSE(shows_no_number(run_program(line).out)) << line;
    }
}

TEST(ShownFigures, AreNumbersInEveryReportOfTheDemos) {
  EXPECT_TRUE(shows_no_number("full stock: inf") && shows_no_number("below nan years") && shows_no_number("1,-nan,2"));
  EXPECT_FALSE(shows_no_number("information of Nanette"));
  for (const auto& entry : fs::directory_iterator(fs::path(TIERCE_SOURCE_DIR) / "scenarios"))
    if (entry.path().extension() == ".yaml") expect_numbers("scenarios/" + entry.path().filename().string());
}

TEST(ShownFigures, AreNumbersWhereAReserveHasNoLastingState) {
  const std::string never_refilled =
      "reserve: N\ntiers: [{name: barrels, vessels: [{name: B, count: 2, capacity: 225 L}], evaporation: 4 %/yr, "
      "vapour: 10 %vol}]\nlots: [{name: A, vintage: 2024, alcohol: 18 %vol}]\n"
      "log: [{date: 2024-11-05, do: add, lot: A, to: barrels, volume: 440 L}]\n"
      "habit: {day: 10 Feb, draw: 20 %}\nuntil: 2035\n";
  {
    const File file(never_refilled);
    expect_numbers(file.path(), " --mean '5 years'");
    const std::string text = run_program("target " + file.path() + " --mean '5 years'").out;
    EXPECT_TRUE(says(text, "the habit brings no new wine, so that the")) << text;
  }
  for (const char* vapour : {"25", "18"}) {
    const File file(
        "reserve: N\ntiers:\n"
        "  - {name: t1, vessels: [{name: V, count: 4, capacity: 225 L}], evaporation: 5 L/yr per vessel}\n"
        "  - {name: t2, vessels: [{name: W, count: 4, capacity: 225 L}], evaporation: 7 %/yr, vapour: " +
        std::string(vapour) +
        " %vol}\nlots: [{name: A, vintage: 2019, alcohol: 18 %vol}]\n"
        "log:\n  - {date: 2020-01-01, do: add, lot: A, to: t1, volume: 880 L}\n"
        "  - {date: 2020-01-01, do: add, lot: A, to: t2, volume: 880 L}\n"
        "habit: {day: 10 Feb, draw: 15 %, refill: {like: A}}\nuntil: 2040\n");
    expect_numbers(file.path(), " --mean '30 years'");
    EXPECT_TRUE(says(run_program("target " + file.path() + " --mean '30 years' --all").out, "has no lasting state"))
        << vapour;
  }
}

// Gallons. A lot at 4 USD a litre, of which nothing is lost, is 4 x 3.785411784 = 15.14 USD a gallon.
TEST(ShownUnits, AreGallonsAndFahrenheitThroughout) {
  const File file(
      "reserve: R\nunits: us\ntiers: [{name: t, vessels: [{name: V, capacity: 225 L}], evaporation: 0 %/yr}]\n"
      "lots: [{name: A, vintage: 2019, alcohol: 18 %vol, cost: 4 USD/L}]\n"
      "log: [{date: 2020-01-01, do: add, lot: A, to: t, volume: 200 L}]\n"
      "habit: {day: 10 Feb, draw: 20 %, refill: {like: A}}\nuntil: 2024\n");
  for (const char* command : {"stock ", "forecast "}) {
    const std::string text = run_program(command + file.path() + " --all").out;
    EXPECT_TRUE(says(text, "a gallon") && says(text, "USD/gal") && says(text, "15.14")) << text;
    EXPECT_FALSE(says(text, "a litre")) << text;
  }
  const std::string compared = run_program("compare " + file.path() + " --vary 'less: habit.draw=10 %'").out;
  EXPECT_TRUE(std::regex_search(compared, std::regex("cost of a gallon, USD +15\\.14"))) << compared;
  const std::string sheet = run_program("refresh " + file.path() + " --sheet").out;
  EXPECT_TRUE(says(sheet, "all gallons at 68 °F") && says(sheet, "at °F")) << sheet;
  EXPECT_FALSE(says(sheet, "litres at")) << sheet;
}

// Two tiers of 428 and 352 L, gauged to 1 %: at most 433 and 356 L. A tank of 400 L takes in the second only, one of
// 1,000 L each of them but never both together, a jug of 20 L neither.
TEST(Sheet, PullsToATankOnlyWhatItHoldsAndOneTierAtATime) {
  const std::string text =
      "reserve: R\ntiers:\n"
      "  - {name: nursery, vessels: [{name: N, capacity: 450 L}], target: 428 L, evaporation: 0 %/yr}\n"
      "  - {name: floor, vessels: [{name: F, capacity: 400 L}], target: 352 L, evaporation: 0 %/yr}\n"
      "tanks: [{name: T1, capacity: 400 L}, {name: T2, capacity: 1000 L}, {name: jug, capacity: 20 L}]\n"
      "lots: [{name: A, vintage: 2019, alcohol: 18 %vol}]\n"
      "log:\n  - {date: 2020-01-01, do: add, lot: A, to: nursery, volume: 428 L}\n"
      "  - {date: 2020-01-01, do: add, lot: A, to: floor, volume: 352 L}\n"
      "habit: {day: 10 Feb, draw: 20 %, refill: {like: A}}\nuntil: 2024\n";
  const File file(text);
  const std::string sheet = run_program("refresh " + file.path() + " --sheet").out;
  EXPECT_TRUE(says(sheet, "vessel by vessel, or floor pulled to tank T1")) << sheet;
  EXPECT_TRUE(says(sheet, "vessel by vessel, or one tier at a time pulled to tank T2")) << sheet;
  EXPECT_FALSE(says(sheet, "jug") || says(sheet, "or all pulled")) << sheet;
}

// Three casks of 225 L with a target of 660 L, one taken out: the two hold 450 L, and the refill would run over.
TEST(TakenOut, ATargetAboveTheCasksThatAreLeftIsToldWithItsRemedy) {
  const File file(
      "reserve: R\ntiers: [{name: t, vessels: [{name: V, count: 3, capacity: 225 L}], target: 660 L, evaporation: 0 "
      "%/yr}]\n"
      "lots: [{name: A, vintage: 2019, alcohol: 18 %vol}]\n"
      "log:\n  - {date: 2020-01-01, do: add, lot: A, to: t, volume: 600 L}\n"
      "habit: {day: 10 Feb, draw: 20 %, refill: {like: A}}\nuntil: 2024\n");
  const auto recorded =
      run_program("record " + file.path() + " take-out --date 2020-01-15 --vessel V1 --because leaks");
  EXPECT_EQ(recorded.status, 0) << recorded.err;
  EXPECT_TRUE(says(recorded.out, "keeps its target of 660.0 L") && says(recorded.out, "--target \"450.0 L\""))
      << recorded.out;
  const auto refused = run_program("refresh " + file.path());
  EXPECT_EQ(refused.status, 1);
  EXPECT_TRUE(says(refused.err, "a target of at most 450")) << refused.err;
  EXPECT_TRUE(says(refused.err, "do: set, tier: t, target: 450")) << refused.err;
  EXPECT_EQ(run_program("record " + file.path() + " set --date 2020-01-16 --tier t --target '450.0 L'").status, 0);
  EXPECT_EQ(run_program("refresh " + file.path()).status, 0);
}

}  // namespace
}  // namespace tierce
