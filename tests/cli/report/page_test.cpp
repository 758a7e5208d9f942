// tierce report and forecast --chart, run as their user runs them. The page in a browser: tests/page.
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/cli/command/program.h"

namespace tierce {
namespace {

using nlohmann::json;
using test::read_file;
using test::run_program;

std::string fresh_path(const std::string& name) {
  return (std::filesystem::temp_directory_path() / ("tierce-page-test-" + name)).string();
}

TEST(Report, WritesOnePageAndSaysNothing) {
  const std::string path = fresh_path("one.html");
  const auto said = run_program("report scenarios/amber.yaml -o " + path);
  EXPECT_EQ(said.status, 0) << said.err;
  EXPECT_EQ(said.out + said.err, "");
  EXPECT_TRUE(read_file(path).starts_with("<!DOCTYPE html>"));
  std::filesystem::remove(path);
}

TEST(Report, WritesNoPageWhereOneOfSeveralFilesIsFaulty) {
  const std::string faulty = fresh_path("faulty.yaml"), path = fresh_path("none.html");
  std::ofstream(faulty) << "reserve: Faulty\n";
  const auto said = run_program("report scenarios/amber.yaml " + faulty + " -o " + path);
  EXPECT_EQ(said.status, 2);
  EXPECT_FALSE(std::filesystem::exists(path));
  std::filesystem::remove(faulty);
}

TEST(Report, WritesThePageOfAPlanThatCannotBeKeptAndSaysSo) {
  const auto said = run_program("report docs/examples/too_much.yaml");
  EXPECT_EQ(said.status, 1);
  EXPECT_NE(said.out.find("The forecast stops on"), std::string::npos);
}

TEST(Report, KnowsNoPageOfAnEmptyBook) {
  const std::string file = fresh_path("empty.yaml");
  std::ofstream(file) << "reserve: New\ntiers: [{name: barrels, vessels: [{name: B, capacity: 225 L}]}]\n"
                         "lots: [{name: GG24, vintage: 2024, alcohol: 18 %vol}]\n";
  const auto said = run_program("report " + file);
  EXPECT_EQ(said.status, 0) << said.err;
  EXPECT_NE(said.out.find("Nothing has happened yet"), std::string::npos);
  std::filesystem::remove(file);
}

// A vat of V litres without losses, a share s drawn each year and refilled with wine of age a: the mean age just before
// the draw, m, solves m = (1 - s) m + s a + 1, so m = a + 1 / s. By hand; docs/model.md "Ages in the long run".
TEST(Report, SharesOfTheYearlyDrawSettleWhereTheClosedFormSays) {
  const std::string file = fresh_path("vat.yaml");
  std::ofstream(file)
      << "reserve: Vat\ntiers: [{name: vat, vessels: [{name: V, capacity: 1000 L}], evaporation: 0 %/yr}]\n"
         "lots: [{name: L20, vintage: 2020, harvested: 2020-02-10, alcohol: 18 %vol}]\n"
         "log: [{date: 2020-02-10, do: add, lot: L20, to: vat, volume: 1000 L}]\n"
         "habit: {day: 10 Feb, draw: 20 %, refill: {like: L20}}\nuntil: 2320\n";
  const auto said = run_program("report --json " + file);
  ASSERT_EQ(said.status, 0) << said.err;
  const json shares = json::parse(said.out).at("yearly_draw").at("shares");
  ASSERT_EQ(shares.size(), 46u);
  for (std::size_t i = 0; i < shares.size(); ++i) {
    const double share = 0.05 + 0.01 * static_cast<double>(i);
    const double settled_y = 1.0 / share;  // the wine goes in on the day of its harvest
    EXPECT_NEAR(shares[i].at("draw_fraction").get<double>(), share, 1e-12);
    EXPECT_NEAR(shares[i].at("mean_y").get<double>(), settled_y, 1e-5);  // 300 years of 5 %: 0.95^300 is 2e-7
    EXPECT_NEAR(shares[i].at("long_run").at("mean_y").get<double>(), settled_y, 1e-9);
    EXPECT_NEAR(shares[i].at("drawn_L").get<double>(), 1000.0 * share, 1e-9);
    EXPECT_NEAR(shares[i].at("new_wine_L").get<double>(), 1000.0 * share, 1e-9);
    EXPECT_NEAR(shares[i].at("bottles").get<double>(), 1000.0 * share / 0.75, 1e-9);
  }
  std::filesystem::remove(file);
}

TEST(ForecastChart, FitsThePageAndSharesAddUp) {
  for (const std::string file : {"scenarios/amber.yaml", "scenarios/three_tiers.yaml"}) {
    const auto drawn = run_program("forecast --chart " + file);
    ASSERT_EQ(drawn.status, 0) << drawn.err;
    std::istringstream lines(drawn.out);
    for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 100u) << line;
    std::istringstream rows(run_program("forecast --chart --csv " + file).out);
    std::map<std::string, double> sums;  // by date and tier
    std::string row;
    std::getline(rows, row);
    EXPECT_EQ(row, "date,tier,vintage,fraction\r");
    while (std::getline(rows, row)) {
      const auto end_of_tier = row.find(',', row.find(',') + 1);
      sums[row.substr(0, end_of_tier)] += std::stod(row.substr(row.rfind(',') + 1));
    }
    EXPECT_GT(sums.size(), 20u);
    for (const auto& [when, sum] : sums) EXPECT_NEAR(sum, 1.0, 1e-11) << when;
  }
}

// One vat, half drawn and refilled each year from the second on: at the end of its third year the first vintage is 1/4,
// the second 1/4, the third 1/2 of it, which is 15, 15 and 30 of 60 letters.
TEST(ForecastChart, DrawsEachVintageAsLongAsItsShare) {
  const std::string file = fresh_path("half.yaml");
  std::ofstream(file)
      << "reserve: Half\ntiers: [{name: vat, vessels: [{name: V, capacity: 100 L}], evaporation: 0 %/yr}]\n"
         "lots: [{name: L20, vintage: 2020, alcohol: 18 %vol}]\n"
         "log: [{date: 2020-11-01, do: add, lot: L20, to: vat, volume: 100 L}]\n"
         "habit: {day: 1 Nov, draw: 50 %, refill: {like: L20}}\nuntil: 2022\n";
  const auto said = run_program("forecast --chart " + file);
  const std::string bar = std::string(15, 'a') + std::string(15, 'b') + std::string(30, 'c');
  EXPECT_NE(said.out.find("2022    " + bar), std::string::npos) << said.out;
  const auto refused = run_program("forecast --chart --json " + file);
  EXPECT_EQ(refused.status, 2);
  std::filesystem::remove(file);
}

}  // namespace
}  // namespace tierce
