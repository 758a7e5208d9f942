// What grows with the years, the entries, the claims or the files is limited or stays in proportion: held by counts of
// points, rows, bytes and faults, never by the clock (tests/benchmark has the times).
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "cli/command/page.h"
#include "cli/io/display_width.h"
#include "cli/read/load.h"
#include "cli/report/page/charts.h"
#include "cli/report/page/thinned.h"
#include "cli/write/document.h"
#include "cli/write/json.h"
#include "cli/write/write.h"
#include "engine/measure/age.h"
#include "tests/cli/command/program.h"

namespace tierce {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;

std::string tiers_of(int count) {
  std::string text = "reserve: Skerry Vale\ntiers:\n";
  for (int i = 0; i < count; ++i) {
    const std::string k = std::to_string(i);
    text += "  - {name: t" + k + ", vessels: [{name: V" + k + "x, count: 10, capacity: 225 L}], evaporation: 3 %/yr, " +
            "vapour: 10 %vol}\n";
  }
  return text;
}

/// A book of one fill, and a habit of so many years.
std::string long_habit(int tiers, int years) {
  std::string text = tiers_of(tiers) +
                     "lots: [{name: A, vintage: 2000, alcohol: 18 %vol, sugar: 90 g/L, pH: 3.5, so2: {free: 10 mg/L, "
                     "total: 40 mg/L}}]\nlog:\n";
  for (int i = 0; i < tiers; ++i)
    text += "  - {date: 2001-01-01, do: add, lot: A, to: t" + std::to_string(i) + ", volume: 2200 L}\n";
  return text + "habit: {day: 10 Feb, draw: 10 %, refill: {like: A}, dose: {so2: 10 mg/L}}\nuntil: " +
         std::to_string(2001 + years) + "\n";
}

LoadedScenario loaded(const std::string& text) {
  std::vector<Problem> problems;
  return check_source(source_from("size.yaml", text, problems));
}

std::string first_fault(const std::string& text) {
  const auto problems = loaded(text).problems;
  return problems.empty() ? "" : problems.front().what;
}

std::string page_of_text(const std::string& text) {
  const LoadedScenario scenario = loaded(text);
  EXPECT_TRUE(scenario.problems.empty());
  return page_text({page_of(run_for_page(scenario, {}, Units::metric, room_for(1)))});
}

// 8 MB is what a browser opens without a thought. 240 years have some 29,000 shares in each of three tiers.
TEST(Size, OfAPageStaysBoundedHoweverLongTheHabitIs) {
  const std::string short_one = page_of_text(long_habit(3, 60)), long_one = page_of_text(long_habit(3, 240));
  EXPECT_LT(long_one.size(), 8'000'000u);
  EXPECT_LT(long_one.size(), 2 * short_one.size());  // four times the years; not thinned it is nine times the page
  EXPECT_NE(long_one.find("of 241 draws are shown"), std::string::npos);
}

TEST(Size, OfAPageStaysBoundedHoweverManyDrawsTheBookHas) {
  std::string text = tiers_of(1) +
                     "lots: [{name: A, vintage: 2000, alcohol: 18 %vol}]\n"
                     "log:\n  - {date: 2001-01-01, do: add, lot: A, to: t0, volume: 2200 L}\n";
  for (int i = 0; i < 3000; ++i) text += "  - {date: 2001-02-01, do: draw, from: t0, volume: 0.1 L}\n";
  EXPECT_LT(page_of_text(text).size(), 2'000'000u);
}

TEST(Size, OfTheListOfDrawsIsThatOfThePageAndKeepsTheLastOfTheBook) {
  const LoadedScenario scenario = loaded(long_habit(1, 300));
  const ReserveRuns runs = run_for_page(scenario, {}, Units::metric, room_for(1));
  const Choice choice = draw_choice(runs.outlook, Units::metric, runs.room);
  EXPECT_EQ(choice.options.size(), runs.room.draws);
  for (const Choice::Option& option : choice.options) EXPECT_LE(option.behind.rows.size(), runs.room.parts);
  EXPECT_LE(runs.outlook.run.looks.size(), runs.room.dates + 1);
  for (const Chart& chart : vintage_charts(runs.outlook, runs.room)) {
    EXPECT_LE(json::parse(json_text(chart.drawing)).at("series").size(), runs.room.vintages);
    for (const auto& row : chart.behind.rows) {
      double sum = 0.0;
      for (std::size_t i = 1; i < row.size(); ++i) sum += std::get<double>(row[i]);
      EXPECT_NEAR(sum, 1.0, 1e-9);  // joined vintages are all there
    }
  }
}

TEST(Thinned, TakesTheEndsAndSpreadsTheRest) {
  EXPECT_EQ(evenly(5, 9), (std::vector<std::size_t>{0, 1, 2, 3, 4}));
  EXPECT_EQ(evenly(9, 5), (std::vector<std::size_t>{0, 2, 4, 6, 8}));
  EXPECT_EQ(evenly(0, 5).size(), 0u);
  EXPECT_EQ(evenly(1, 5), std::vector<std::size_t>{0});
}

// A saw with one tooth that is higher and one that is lower than all others: a line drawn of a tenth of it has both.
TEST(Thinned, LosesNoPeakOfALine) {
  std::vector<double> saw;
  for (int i = 0; i < 1000; ++i) saw.push_back(i % 2);
  saw[333] = 9.0;
  saw[666] = -9.0;
  const auto shown = outline(saw, 100);
  EXPECT_LE(shown.size(), 100u);
  for (const std::size_t wanted : {0, 333, 666, 999})
    EXPECT_NE(std::find(shown.begin(), shown.end(), wanted), shown.end()) << wanted;
  EXPECT_TRUE(std::is_sorted(shown.begin(), shown.end()));
}

TEST(Size, OfClaimsHasALimit) {
  const std::string habit = long_habit(1, 20) + "claims:\n";
  std::string many = habit, on_many_draws = long_habit(1, 900) + "claims:\n", names = habit;
  for (int i = 0; i < 201; ++i) many += "  - {say: mean age, at least: 2 years}\n";
  for (int i = 0; i < 100; ++i) on_many_draws += "  - {say: mean age, at least: 2 years}\n";
  names += "  - {say: variety, of: {";
  for (int i = 0; i < 101; ++i) names += "V" + std::to_string(i) + ": 0.5 %, ";
  EXPECT_EQ(first_fault(many), "the file has 201 claims");
  EXPECT_EQ(first_fault(on_many_draws), "100 claims on up to 901 draws are too many verdicts");
  EXPECT_EQ(first_fault(names + "}}\n"), "this claim names 101 things");
}

/// Small files, each of which brings a draw of the next.
struct Chain {
  fs::path folder = fs::temp_directory_path() / ("tierce-chain-" + std::to_string(::getpid()));
  explicit Chain(int files) {
    fs::create_directories(folder);
    for (int i = 0; i < files; ++i) {
      const std::string next = std::to_string(i + 1);
      const bool last = i + 1 == files;
      std::ofstream(folder / ("c" + std::to_string(i) + ".yaml"))
          << "reserve: c\ntiers: [{name: t, vessels: [{name: V, count: 2, capacity: 225 L}], evaporation: 3 %/yr, "
             "vapour: 10 %vol}]\nlots:\n  - {name: A, vintage: 2020, alcohol: 18 %vol}\n"
          << (last ? "" : "  - {name: X, from: c" + next + ".yaml, draw: D}\n")
          << "log:\n  - {date: 2021-01-01, do: add, lot: A, to: t, volume: 300 L}\n"
             "  - {date: 2022-01-01, do: draw, from: t, volume: 50 L, for: D}\n"
          << (last ? "" : "  - {date: 2023-01-01, do: add, lot: X, to: t, volume: 5 L}\n");
    }
  }
  ~Chain() { fs::remove_all(folder); }
  Chain(const Chain&) = delete;
  Chain& operator=(const Chain&) = delete;
  std::vector<Problem> problems() const { return load_scenario((folder / "c0.yaml").string()).problems; }
};

TEST(Size, OfAChainOfFilesHasALimit) {
  EXPECT_TRUE(Chain(30).problems().empty());
  const auto problems = Chain(3000).problems();  // that many once overran the stack
  ASSERT_FALSE(problems.empty());
  EXPECT_NE(problems.front().what.find("is faulty in line"), std::string::npos) << problems.front().what;
}

// Each of 3,000 corrections names its entry by a reference of its own; the last names one of 3,000 entries alike.
TEST(Size, OfABookWithManyCorrectionsIsRead) {
  std::string text = tiers_of(1) +
                     "lots: [{name: A, vintage: 2000, alcohol: 18 %vol}]\n"
                     "log:\n  - {date: 2001-01-01, do: add, lot: A, to: t0, volume: 2200 L}\n";
  for (int i = 0; i < 3000; ++i)
    text += "  - {date: 2001-02-01, do: lose, from: t0, volume: 0.01 L, ref: R" + std::to_string(i) + "}\n";
  for (int i = 0; i < 3000; ++i)
    text += "  - {date: 2001-03-01, do: correct, entry: {ref: R" + std::to_string(i) +
            "}, because: misread, with: {volume: 0.02 L}}\n";
  const LoadedScenario sound = loaded(text);
  EXPECT_TRUE(sound.problems.empty());
  EXPECT_EQ(sound.scenario.corrections.size(), 3000u);
  for (const Entry& entry : sound.scenario.log)
    if (const auto* lose = std::get_if<Lose>(&entry.action)) { EXPECT_EQ(lose->amount.value, 0.02); }
  EXPECT_EQ(first_fault(text + "  - {date: 2001-03-01, do: correct, entry: {do: lose}, because: x, with: none}\n"),
            "3000 entries of the log have 'do: lose'");
}

// Made of parts that are worked out when they are written, JSON has the bytes that the library writes of the whole.
TEST(Size, JsonMadePieceByPieceHasTheBytesOfTheWhole) {
  const json value = {
      {"name", "L\"1\n\xC3\xA9"}, {"list", {1, -2.5, 1e-300, nullptr, true, json::array()}}, {"at", 3.0}};
  const json plain = {{"items", {value, value}}, {"none", json::object()}};
  const auto same = [] {
    return Value{{"name", "L\"1\n\xC3\xA9"},
                 {"list", Value::List{1, -2.5, 1e-300, Value(), true, Value(Value::List{})}},
                 {"at", 3.0}};
  };
  const Value later = {{"items", Value::List{same(), Value::Later(same)}}, {"none", Value(Value::Object{})}};
  EXPECT_EQ(json_text(later), plain.dump(1) + '\n');
}

// Widths by Unicode Standard Annex 11: ideographs and full-width letters are wide, a combining acute takes no column.
TEST(DisplayWidth, CountsColumnsAndNotLetters) {
  EXPECT_EQ(display_width("Skerry"), 6u);
  EXPECT_EQ(display_width("\xC3\xA9t\xC3\xA9"), 3u);         // two letters with an accent of their own
  EXPECT_EQ(display_width("e\xCC\x81"), 1u);                 // e and a combining acute
  EXPECT_EQ(display_width("\xE9\x85\x92\xE8\x94\xB5"), 4u);  // two ideographs
  EXPECT_EQ(display_width("\xEF\xBC\xA1"), 2u);              // full-width A
  EXPECT_EQ(cut_to_width("Grenache gris of 2021, cask 14", 15), "Grenac...ask 14");
  EXPECT_EQ(display_width(cut_to_width("\xE9\x85\x92\xE8\x94\xB5\xE9\x85\x92\xE8\x94\xB5\xE9\x85\x92", 8)), 7u);
}

TEST(DisplayWidth, KeepsTheColumnsOfATableApart) {
  Document report;
  report.add(Table{{{"lot"}, {"volume", Figure::litres}},
                   {{std::string("\xE9\x85\x92\xE8\x94\xB5"), 5.0}, {std::string("GG24"), 5.0}}});
  const std::string text = text_of(report, Units::metric);
  EXPECT_NE(text.find("\xE9\x85\x92\xE8\x94\xB5       5\nGG24       5\n"), std::string::npos) << text;
}

TEST(Size, OfANameHasALimit) {
  const std::string name(61, 'n');
  EXPECT_EQ(first_fault("reserve: Small\ntiers: [{name: t, vessels: [{name: V, capacity: 225 L}]}]\n"
                        "lots: [{name: " +
                        name + ", vintage: 2000, alcohol: 18 %vol}]\n"),
            "'name' is 61 letters long");
}

}  // namespace
}  // namespace tierce
