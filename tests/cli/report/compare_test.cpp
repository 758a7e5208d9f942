// `tierce compare`: run as its user runs it. Expected figures by closed forms; a variant against the file that states
// the same values; two variants that are the same.
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>

#include "tests/cli/command/program.h"

namespace tierce {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using test::run_program;

// One tier of 1000 L, full at 1 EUR/L; a fifth is drawn each year and the tier filled again with wine of age 0.
const std::string kReserve =
    "reserve: Skerry Vale\n"
    "clock: entry\n"
    "interest: 8 %/yr\n"
    "cellar: {temperature: 15 °C, humidity: 70 %}\n"
    "tiers:\n"
    "  - {name: floor, vessels: [{name: F, capacity: 1000 L}], evaporation: 4 %/yr}\n"
    "lots:\n"
    "  - {name: GG20, vintage: 2020, harvested: 2020-01-01, alcohol: 18 %vol, sugar: 100 g/L, cost: 1 EUR/L}\n"
    "log:\n"
    "  - {date: 2021-02-10, do: add, lot: GG20, to: floor, volume: 1000 L}\n"
    "habit:\n"
    "  day: 10 Feb\n"
    "  draw: 20 %\n"
    "  refill: {lot: GG20}\n"
    "until: 2121\n";

class Compare : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / ("tierce-compare-" + std::to_string(::getpid()));
    fs::remove_all(folder_);
    fs::create_directories(folder_);
    write("reserve.yaml", kReserve);
  }
  void TearDown() override { fs::remove_all(folder_); }

  std::string path(const std::string& name) const { return (folder_ / name).string(); }
  void write(const std::string& name, const std::string& text) const { std::ofstream(folder_ / name) << text; }
  test::Said run(const std::string& rest, const std::string& file = "reserve.yaml") const {
    return run_program("compare " + path(file) + ' ' + rest);
  }
  json columns(const std::string& rest, int status = 0, const std::string& file = "reserve.yaml") const {
    const auto said = run("--json " + rest, file);
    EXPECT_EQ(said.status, status) << said.err;
    return json::parse(said.out).at("variants");
  }
  fs::path folder_;
};

std::string replaced(std::string text, const std::string& what, const std::string& with) {
  EXPECT_NE(text.find(what), std::string::npos) << what;
  return text.replace(text.find(what), what.size(), with);
}

json without_name(json column) {
  column.erase("name");
  column.erase("changes");
  return column;
}

TEST_F(Compare, GivesIdenticalVariantsIdenticalColumns) {
  const std::string same = ": habit.draw=15 %, cellar.humidity=60 %\" ";
  const json all = columns("--vary \"one" + same + "--vary \"two" + same);
  ASSERT_EQ(all.size(), 3u);
  EXPECT_EQ(without_name(all[1]).dump(), without_name(all[2]).dump());
  EXPECT_NE(without_name(all[0]).dump(), without_name(all[1]).dump());
  const json as_it_is = columns("--vary \"as it is: habit.draw=20 %\"");
  EXPECT_EQ(without_name(as_it_is[0]).dump(), without_name(as_it_is[1]).dump());
}

TEST_F(Compare, NamesTheVariantsThatChangeNothing) {
  const auto said = run("--vary \"as it is: habit.draw=20 %\" --vary \"less: habit.draw=15 %\"").out;
  EXPECT_NE(said.find("as it is: changes no figure that is shown here"), std::string::npos) << said;
  EXPECT_EQ(said.find("less: changes no figure"), std::string::npos) << said;
}

// What a variant says, and the line of the file that would say the same.
struct Change {
  const char* vary;
  const char* line;
  const char* instead;
};

TEST_F(Compare, TakesAVariantAsTheFileThatStatesItsValues) {
  for (const Change& change : {
           Change{"habit.draw=15 %", "  draw: 20 %", "  draw: 15 %"},
           {"habit.draw=150 x 750 mL", "  draw: 20 %", "  draw: 150 x 750 mL"},
           {"cellar.humidity=55 %", "humidity: 70 %", "humidity: 55 %"},
           {"interest=0 %/yr", "interest: 8 %/yr\n", ""},
           {"tiers.floor.evaporation=2 %/yr", "evaporation: 4 %/yr", "evaporation: 2 %/yr"},
           {"tiers.floor.target=800 L", "4 %/yr}", "4 %/yr, target: 800 L}"},
           {"tiers.floor.vessels.F.capacity=1200 L", "capacity: 1000 L", "capacity: 1200 L"},
           {"tiers.1.vessels.1.capacity=1200 L", "capacity: 1000 L", "capacity: 1200 L"},
           {"lots.GG20.cost=2 EUR/L", "cost: 1 EUR/L", "cost: 2 EUR/L"},
           {"habit.refill={lot: GG20, volume: 190 L}", "{lot: GG20}", "{lot: GG20, volume: 190 L}"},
           {"habit.refill.volume=190 L", "{lot: GG20}", "{lot: GG20, volume: 190 L}"},
           {"habit.except.2031.refill=none", "until:", "  except: {2031: {refill: none}}\nuntil:"},
           {"until=2031, habit.day=10 Nov", "10 Feb\n  draw: 20 %\n  refill: {lot: GG20}\nuntil: 2121",
            "10 Nov\n  draw: 20 %\n  refill: {lot: GG20}\nuntil: 2031"},
       }) {
    SCOPED_TRACE(change.vary);
    const std::string vary = std::string("--vary \"v: ") + change.vary + "\"";
    write("written.yaml", replaced(kReserve, change.line, change.instead));
    EXPECT_EQ(without_name(columns(vary)[1]).dump(), without_name(columns(vary, 0, "written.yaml")[0]).dump());
    write("variants.yaml",
          "v: {" + std::string(change.vary).replace(std::string(change.vary).find('='), 1, ": ") + "}\n");
    if (std::string(change.vary).find(',') == std::string::npos) {
      EXPECT_EQ(columns("--vary-file " + path("variants.yaml"))[1].dump(), columns(vary)[1].dump());
    }
  }
}

// The closed forms of docs/model.md: draw first from one tier that loses nothing, wine of age 0: mean age 1/f at the
// draw. Cost of a litre at the draw, with money m a litre of the full tier after a refresh: m = r / (1 - q), q = (1 -
// f) (1 + i), r = 1 - (1 - f)(1 - e), and m (1 + i) / (1 - e): 1.92 at a loss of 4 %, 1.59 without.
TEST_F(Compare, SettlesAtTheClosedForms) {
  const json all = columns(
      "--vary \"dry: tiers.floor.evaporation=0 %/yr\" --vary \"a quarter: tiers.floor.evaporation=0 %/yr, "
      "habit.draw=25 %\" "
      "--vary \"half: tiers.floor.evaporation=0 %/yr, habit.draw=50 %\"");
  const auto draw = [&](std::size_t i, const char* what) { return all[i].at("last_draw").at(what).get<double>(); };
  EXPECT_NEAR(draw(0, "cost_per_L"), 0.232 / 0.136 * 1.08 / 0.96, 1e-5);
  EXPECT_NEAR(draw(0, "cost_per_L"), 1.92, 0.005);
  EXPECT_NEAR(draw(1, "cost_per_L"), 0.2 / 0.136 * 1.08, 1e-5);
  EXPECT_NEAR(draw(1, "cost_per_L"), 1.59, 0.005);
  EXPECT_NEAR(draw(1, "cost_per_bottle"), 0.75 * draw(1, "cost_per_L"), 1e-12);
  for (const auto& [column, share] : {std::pair{1u, 0.2}, {2u, 0.25}, {3u, 0.5}}) {
    EXPECT_NEAR(draw(column, "mean_age_y"), 1.0 / share, 1e-6);
    EXPECT_NEAR(all[column].at("long_run").at("mean_y").get<double>(), 1.0 / share, 1e-9);
    const json last = all[column].at("years").back();
    EXPECT_NEAR(last.at("drawn_L").get<double>(), 1000.0 * share, 1e-9);
    EXPECT_NEAR(last.at("new_wine_L").get<double>(), 1000.0 * share, 1e-9);
    EXPECT_NEAR(all[column].at("new_wine_L").get<double>(), 100.0 * 1000.0 * share, 1e-7);  // in a hundred years
    EXPECT_NEAR(all[column].at("bottles").get<double>(), 100.0 * 1000.0 * share / 0.75, 1e-7);
  }
}

// By hand, without loss: 200 L of 1000 are drawn and not replaced, then 160 L of 800; 360 L fill the tier again.
TEST_F(Compare, MakesUpForAMissedHarvestInTheNextYear) {
  const json column =
      columns("--vary \"no harvest: tiers.floor.evaporation=0 %/yr, habit.except.2031.refill=none\"")[1];
  std::map<int, double> new_wine_l;
  for (const json& year : column.at("years"))
    new_wine_l[year.at("year").get<int>()] = year.at("new_wine_L").get<double>();
  EXPECT_EQ(new_wine_l[2031], 0.0);
  EXPECT_NEAR(new_wine_l[2030], 200.0, 1e-9);
  EXPECT_NEAR(new_wine_l[2032], 360.0, 1e-9);
}

// 1000 L without loss and refill give 300 L three times; the fourth draw, in 2025, is 200 L short.
TEST_F(Compare, SaysInItsColumnWhereAPlanStops) {
  const std::string vary = "--vary \"dry: tiers.floor.evaporation=0 %/yr, habit.refill=none, habit.draw=300 L\"";
  const json column = columns(vary, 1)[1];
  EXPECT_EQ(column.at("stopped").at("date"), "2025-02-10");
  EXPECT_NEAR(column.at("stopped").at("short_L").get<double>(), 200.0, 1e-9);
  const auto said = run(vary);
  EXPECT_EQ(said.status, 1);
  EXPECT_NE(said.out.find("dry STOPS on 10 Feb 2025: the draw asks for 300 L, but tier 'floor' holds 100 L"),
            std::string::npos)
      << said.out;
  EXPECT_TRUE(std::regex_search(said.out, std::regex("\n  in +- +2025\n  on +- +10 Feb\n"))) << said.out;
  EXPECT_NE(said.err.find("dry stops on 2025-02-10"), std::string::npos) << said.err;
}

TEST_F(Compare, HasTheFileAsTheForecastHasIt) {
  const json base = columns("--vary \"v: habit.draw=15 %\"")[0];
  const json forecast = json::parse(run_program("forecast --json " + path("reserve.yaml")).out);
  const json& last = forecast.at("draws").back();
  EXPECT_EQ(base.at("last_draw").at("mean_age_y"), last.at("age").at("mean_y"));
  EXPECT_EQ(base.at("last_draw").at("cost_per_L"), last.at("cost_per_L"));
  EXPECT_EQ(base.at("long_run"), forecast.at("long_run"));
  EXPECT_EQ(base.at("years").size(), forecast.at("years").size());
  EXPECT_EQ(base.at("years").back().at("closing_L"), forecast.at("years").back().at("closing_L"));
}

TEST_F(Compare, FitsThePageWithSixVariantsOfLongNames) {
  std::string vary;
  for (int i = 0; i < 6; ++i)
    vary += "--vary \"a variant whose incomprehensibilities are called number " + std::to_string(i) +
            ": habit.draw=" + std::to_string(10 + i) + " %\" ";
  for (const std::string units : {"metric", "us"}) {
    const auto said = run(vary + "--units " + units);
    EXPECT_EQ(said.status, 0) << said.err;
    EXPECT_EQ(said.out.find("nan"), std::string::npos);
    std::istringstream lines(said.out);
    for (std::string line; std::getline(lines, line);)
      EXPECT_LE(std::count_if(line.begin(), line.end(), [](char c) { return (c & 0xC0) != 0x80; }), 100) << line;
  }
}

TEST_F(Compare, WritesARowForEachVariantAsCsv) {
  const auto said = run("--csv --vary \"less, or so: habit.draw=15 %\"");
  ASSERT_EQ(said.status, 0) << said.err;
  EXPECT_EQ(std::count(said.out.begin(), said.out.end(), '\n'), 3);
  EXPECT_NE(said.out.find(",cost_per_L_EUR,"), std::string::npos) << said.out;
  EXPECT_NE(said.out.find("\r\n\"less, or so\",,2121-02-10,"), std::string::npos) << said.out;
}

// Faults: where they stand, what is allowed, what was probably meant.

struct Refused {
  const char* arguments;
  std::vector<const char*> says;
};

TEST_F(Compare, RefusesWithTheOptionsColumnAndASuggestion) {
  for (const Refused& refused : {
           Refused{"", {"no variants; one to 6 stand beside the file"}},
           {"--vary \"\"", {"this states no variant", "NAME: path=value"}},
           {"--vary \"habit.draw=15 %\"", {"--vary:1:1: the variant has no name"}},
           {"--vary \"less:\"", {"the variant 'less' changes nothing"}},
           {"--vary \"less: habit.draw\"", {"--vary:1:7: this states no path and value"}},
           {"--vary \"less: habit.draw=\"", {"--vary:1:17: no value stands behind the '='"}},
           {"--vary \"less: habit..draw=1 %\"", {"--vary:1:13: a step of the path 'habit..draw' is empty"}},
           {"--vary \"less: habit.drwa=15 %\"", {"--vary:1:13: variant 'less'", "did you mean 'draw'"}},
           {"--vary \"less: cellar.humidity=60\"", {"--vary:1:23: variant 'less'", "%"}},
           {"--vary \"less: tiers.flor.target=800 L\"",
            {"--vary:1:13: variant 'less': 'tiers' has no item 'flor'", "floor", "did you mean 'floor'?"}},
           {"--vary \"less: habit.draw.share=5 %\"", {"--vary:1:18:", "'habit.draw' is '20 %' in the file"}},
           {"--vary \"less: lots.GG20.cost=1 USD/L, habit.refill={like: GG20, cost: 2 EUR/L}\"",
            {"--vary:1:", "a cost in EUR"}},
           {"--vary \"small: tiers.floor.vessels.F.capacity=500 L\"",
            {"reserve.yaml:10:", "variant 'small':", "more than its capacity of 500 L"}},
           {"--vary \"a: habit.draw=1 %\" --vary \"a: habit.draw=2 %\"", {"'a' stands for another column"}},
           {"--vary \"the file: habit.draw=1 %\"", {"'the file' stands for another column"}},
           {"--vary \"a: interest=1 %/yr\" --vary \"b: interest=1 %/yr\" --vary \"c: interest=1 %/yr\" --vary \"d: "
            "interest=1 %/yr\" --vary \"e: interest=1 %/yr\" --vary \"f: interest=1 %/yr\" --vary \"g: interest=1 "
            "%/yr\"",
            {"7 variants; one to 6"}},
       }) {
    SCOPED_TRACE(refused.arguments);
    const auto said = run(refused.arguments);
    EXPECT_EQ(said.status, 2);
    EXPECT_EQ(said.out, "");
    for (const char* text : refused.says) EXPECT_NE(said.err.find(text), std::string::npos) << text << "\n" << said.err;
  }
}

TEST_F(Compare, RefusesWithTheLineOfTheFileOfVariants) {
  const std::pair<std::string, std::vector<const char*>> faults[] = {
      {"", {"the file is empty", "variants, as in"}},
      {"# nothing yet\n", {"nothing but comments", "variants, as in"}},
      {"- habit.draw\n", {":1:1: the file holds no variants"}},
      {"less: 15 %\n", {":1:7: the variant 'less' holds no values"}},
      {"less:\n  habit.draw: 15 %\nless:\n  habit.draw: 10 %\n", {":3:1: the name 'less' stands for another column"}},
      {"less:\n  habit.draw: 15 %\n  celar.humidity: 60 %\n", {":3:3: variant 'less'", "did you mean 'cellar'"}},
      {"less:\n  habit.draw: 150 %\n", {":2:15: variant 'less'"}},
  };
  for (const auto& [text, says] : faults) {
    SCOPED_TRACE(text);
    write("variants.yaml", text);
    const auto said = run("--vary-file " + path("variants.yaml"));
    EXPECT_EQ(said.status, 2);
    EXPECT_EQ(said.out, "");
    for (const char* one : says) EXPECT_NE(said.err.find(one), std::string::npos) << one << "\n" << said.err;
  }
}

}  // namespace
}  // namespace tierce
