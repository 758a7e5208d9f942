// `tierce new`: what it writes is read and run by the program itself; what it refuses, it refuses in exact words.
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/read/load.h"
#include "cli/record/new_questions.h"
#include "cli/record/starter.h"
#include "engine/run/outlook.h"
#include "tests/cli/command/program.h"

namespace tierce {
namespace {

namespace fs = std::filesystem;
using test::run_program;
using Answers = std::map<std::string, std::string>;

/// A folder of its own for files that the program writes.
class New : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / ("tierce-new-" + std::to_string(::getpid()));
    fs::remove_all(folder_);
    fs::create_directories(folder_);
  }
  void TearDown() override { fs::remove_all(folder_); }
  std::string file(const std::string& name = "amber.yaml") const { return (folder_ / name).string(); }
  test::Said run(const std::string& rest, const std::string& input = "/dev/null") const {
    return run_program("new " + file() + ' ' + rest + " <" + input);
  }
  /// Runs it with these lines typed.
  test::Said answered(const std::string& lines) const {
    std::ofstream(file("answers")) << lines;
    return run("", file("answers"));
  }
  fs::path folder_;
};

LoadedScenario loaded(const std::string& text) {
  std::vector<Problem> problems;
  Source source = source_from("starter.yaml", text, problems);
  EXPECT_TRUE(problems.empty());
  return check_source(std::move(source));
}

const Date kToday{2026, 11, 25};

TEST(Starter, IsSoundAndRunsToItsLastYearWhateverIsAnswered) {
  int tried = 0;
  for (const std::string age : {"new", "unknown", "12 years", "8 months"})
    for (const std::string tiers : {"1", "3", "20"})
      for (const std::string vessels : {"1", "7"})
        for (const std::string draw : {"20 %", "none", "5 x 375 mL", "3 L"})
          for (const std::string evaporation : {"3 %/yr", "0 %/yr", "2 L/yr per vessel"}) {
            const Answers answers = {{"reserve", "A"},
                                     {"units", "metric"},
                                     {"age", age},
                                     {"tiers", tiers},
                                     {"vessels", vessels},
                                     {"draw", draw},
                                     {"evaporation", evaporation},
                                     {"volume", std::to_string(200 * std::stoi(tiers) * std::stoi(vessels)) + " L"}};
            const LoadedScenario read = loaded(starter_from(answers, kToday).text);
            ASSERT_TRUE(read.problems.empty())
                << age << tiers << vessels << draw << evaporation << read.problems[0].what;
            const Outlook outlook = run_scenario(read.scenario, {});
            EXPECT_FALSE(outlook.run.stopped) << outlook.run.stopped->problem.what;
            EXPECT_EQ(outlook.run.flows.years.back().year, 2046);
            ++tried;
          }
  EXPECT_EQ(tried, 288);
}

TEST(Starter, HoldsWhatWasAnswered) {
  const Scenario scenario = loaded(starter_from({{"reserve", "Old \"Ruby\": #2"},
                                                 {"units", "us"},
                                                 {"tiers", "2"},
                                                 {"vessels", "3"},
                                                 {"capacity", "60 gal"},
                                                 {"volume", "300 gal"},
                                                 {"filled", "2019-03-01"},
                                                 {"age", "6 years"},
                                                 {"alcohol", "38 proof"},
                                                 {"evaporation", "5 %/yr"},
                                                 {"draw", "100 L"},
                                                 {"day", "29 Feb"}},
                                                kToday)
                                       .text)
                                .scenario;
  EXPECT_EQ(scenario.reserve, "Old \"Ruby\": #2");
  EXPECT_EQ(scenario.units, Units::us);
  ASSERT_EQ(scenario.tiers.size(), 2u);
  EXPECT_EQ(scenario.tiers[1].vessels.size(), 3u);
  EXPECT_NEAR(scenario.tiers[0].vessels[0].capacity_l, 227.1247, 1e-4);  // 60 x 3.785411784 L
  EXPECT_NEAR(scenario.opening.at(1).volume_l, 567.8117, 1e-3);          // half of 300 x 3.785411784 L
  EXPECT_EQ(iso_text(scenario.opening.at(0).date), "2019-03-01");
  EXPECT_EQ(scenario.opening.at(0).parts.at(0).age_years, 6.0);
  // 38 proof: 19 %vol at 60 °F, 0.063 more at 20 °C (own evaluation of OIML R 22: 0.056 at 16, 0.067 at 21 %vol).
  EXPECT_NEAR(scenario.opening.at(0).wine.alcohol_pct, 19.063, 0.002);
  EXPECT_EQ(scenario.lots.at(0).vintage, 2018);  // March comes before the harvest of 2019
  EXPECT_EQ(scenario.tiers[0].evaporation.per_year, 0.05);
  EXPECT_EQ(scenario.habit.at(0).usual.draw->value, 100.0);
  EXPECT_EQ(scenario.habit.at(0).day->month, 2);
  EXPECT_EQ(scenario.until, 2039);
}

TEST(Starter, MarksEveryPlaceholderAndNothingElse) {
  const Starter all = starter_from({{"reserve", "A"}, {"units", "metric"}}, kToday);
  EXPECT_EQ(all.placeholders.size(), new_questions().size() - 2);  // not the name and the units
  const Starter none = starter_from({{"reserve", "A"},
                                     {"units", "metric"},
                                     {"tiers", "1"},
                                     {"vessels", "4"},
                                     {"capacity", "225 L"},
                                     {"volume", "full"},
                                     {"filled", "2026-11-02"},
                                     {"age", "new"},
                                     {"alcohol", "18 %vol"},
                                     {"evaporation", "3 %/yr"},
                                     {"draw", "20 %"},
                                     {"day", "10 Feb"}},
                                    kToday);
  EXPECT_TRUE(none.placeholders.empty());
  EXPECT_EQ(none.text.find("PLACEHOLDER:"), std::string::npos);
  std::size_t marks = 0;
  for (auto at = all.text.find("PLACEHOLDER:"); at != std::string::npos; at = all.text.find("PLACEHOLDER:", at + 1))
    ++marks;
  EXPECT_EQ(marks, 8u);  // tiers, vessels, evaporation, vintage, alcohol, what was added, day, draw
}

/// The samples behind '#' are no decoration: without it they are read.
TEST(Starter, SuggestsLinesThatCanBeUsed) {
  std::istringstream in(starter_from({{"reserve", "A"}, {"units", "metric"}}, kToday).text);
  std::string text;
  int used = 0;
  for (std::string line; std::getline(in, line);) {
    const auto mark = line.find("# ");
    const bool sample = mark != std::string::npos && line.find_first_not_of(' ') == mark &&
                        (line.compare(mark + 2, 3, "- {") == 0 ||
                         (line.find(": ", mark) != std::string::npos && line.find(": ") < line.find(' ', mark + 2)));
    if (sample) line.erase(mark, 2);
    used += sample ? 1 : 0;
    text += line + '\n';
  }
  EXPECT_EQ(used, 9);
  const LoadedScenario read = loaded(text);
  EXPECT_TRUE(read.problems.empty()) << text << (read.problems.empty() ? "" : read.problems[0].what);
  EXPECT_EQ(read.scenario.log.size(), 4u);
}

TEST_F(New, WritesFromOptionsAndNeverOverAFile) {
  const auto first = run("--vessels 5 --capacity '228 L' --filled 2026-11-02");
  EXPECT_EQ(first.status, 0) << first.err;
  EXPECT_EQ(first.out,
            file() +
                " was written.\nInvented, and marked PLACEHOLDER in it: age, alcohol, day, draw, evaporation, "
                "tiers, volume.\nNext: tierce forecast " +
                file() + "\n");
  EXPECT_EQ(run_program("check " + file()).status, 0);
  const std::string text = test::read_file(file());
  const auto second = run("--vessels 6");
  EXPECT_EQ(second.status, 2);
  EXPECT_EQ(second.err, "tierce: error: " + file() + " exists, and 'tierce new' never writes over a file\n");
  EXPECT_EQ(test::read_file(file()), text);
}

TEST_F(New, NeverWritesThroughALink) {
  fs::create_symlink(file("elsewhere.yaml"), file());
  EXPECT_EQ(run("--vessels 6").status, 2);
  EXPECT_FALSE(fs::exists(file("elsewhere.yaml")));
}

TEST_F(New, AsksAndAsksAgainWhereItCannotReadTheAnswer) {
  const auto said = answered("Amber\n1\n5\n228\n228 L\n\n2026-11-02\nnew\n17.8 %vol\n\n20 %\n10 Feb\nmetric\n");
  EXPECT_EQ(said.status, 0) << said.err;
  EXPECT_NE(said.out.find("  '228' has no unit (a number with a unit: L, hL, mL, gal); did you mean '228 L'?\n"),
            std::string::npos)
      << said.out;
  EXPECT_NE(said.out.find("Invented, and marked PLACEHOLDER in it: evaporation, volume.\n"), std::string::npos)
      << said.out;
}

TEST_F(New, WritesNothingWhereTheAnswersEnd) {
  const auto said = run("");
  EXPECT_EQ(said.status, 2);
  EXPECT_EQ(said.err, "tierce: error: the answers end before 'What is the reserve called?'; nothing was written\n");
  EXPECT_FALSE(fs::exists(file()));
}

TEST_F(New, SaysExactlyWhatIsWrong) {
  const std::pair<const char*, const char*> cases[] = {
      {"--vesels 5", "there is no option '--vesels' of new; did you mean '--vessels'?"},
      {"--vessels 0", "--vessels: '0' is out of range (a whole number from 1 to 500)"},
      {"--tiers two", "--tiers: 'two' does not begin with a number (a whole number from 1 to 20)"},
      {"--capacity '0 L'", "--capacity: '0 L' is out of range (above 0 L)"},
      {"--alcohol 18", "--alcohol: '18' has no unit (a number with a unit: %vol, proof); did you mean '18 %vol'?"},
      {"--filled 2026-02-30", "--filled: there is no day 2026-02-30 (a day of the calendar); Feb 2026 has 28 days"},
      {"--filled 9990-01-01", "--filled: '9990-01-01' is out of range (a day of the years 2 to 9979)"},
      {"--age old", "--age: 'old' does not begin with a number (new, unknown, or a time, as in 12 years)"},
      {"--age '-1 years'", "--age: '-1 years' is out of range (new, unknown, or 0 to 1000 years)"},
      {"--evaporation '100 %/yr'", "--evaporation: '100 %/yr' is out of range (0 %/yr or more, below 100 %/yr)"},
      {"--units imperial", "--units: unknown 'imperial' (metric, us)"},
      {"second.yaml", "one FILE at a time; 'second.yaml' is a second (text with spaces stands in quotes)"},
      {"--volume '2000 L'", "these figures do not go together: "},
  };
  for (const auto& [arguments, wanted] : cases) {
    const auto said = run(arguments);
    EXPECT_EQ(said.status, 2) << arguments;
    EXPECT_EQ(said.err.find(std::string("tierce: error: ") + wanted), 0u) << arguments << ": " << said.err;
    EXPECT_FALSE(fs::exists(file())) << arguments;
  }
  EXPECT_EQ(run_program("new </dev/null").err, "tierce: error: which file? tierce new FILE\n");
}

TEST_F(New, SaysWhyItCouldNotWrite) {
  const auto said = run_program("new " + file("no/such/folder.yaml") + " --vessels 5 </dev/null");
  EXPECT_EQ(said.status, 2);
  EXPECT_EQ(said.err,
            "tierce: error: " + file("no/such/folder.yaml") + " was not written: No such file or directory\n");
}

TEST_F(New, TellsProgramsWhatItInvented) {
  const auto said = run("--vessels 5 --json --filled 2026-11-02");
  const auto json = nlohmann::json::parse(said.out);
  EXPECT_EQ(json.at("file"), file());
  EXPECT_EQ(json.at("placeholders").at(0), "age");
}

}  // namespace
}  // namespace tierce
