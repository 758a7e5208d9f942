// `tierce forecast --vintages`: the same parts as the shares of every draw in the JSON, summed by harvest.
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/cli/command/program.h"

namespace tierce {
namespace {

using nlohmann::json;
using test::run_program;
using Parts = std::map<std::string, std::map<std::string, double>>;  // by bottling and day, by harvest

void add(Parts& parts, const json& wine) {
  for (const json& share : wine.at("shares")) {
    const json& vintage = share.at("vintage");
    const std::string harvest =
        vintage.is_null() ? share.at("lot").get<std::string>() : std::to_string(vintage.get<int>());
    parts[wine.at("name").get<std::string>() + wine.at("date").get<std::string>()][harvest] +=
        share.at("fraction").get<double>();
  }
}

Parts by_json(const std::string& file) {
  const json forecast = json::parse(run_program("forecast " + file + " --json").out);
  Parts parts;
  for (const json& draw : forecast.at("draws"))
    if (draw.at("use") == "bottling" && draw.at("to").is_null()) add(parts, draw);
  for (const json& bottling : forecast.at("bottlings")) add(parts, bottling);
  return parts;
}

Parts by_table(const std::string& file) {
  Parts parts;
  std::istringstream lines(run_program("forecast " + file + " --vintages --csv").out);
  std::string line;
  std::getline(lines, line);
  EXPECT_EQ(line, "draw,date,past,vintage,fraction\r");
  while (std::getline(lines, line)) {
    std::istringstream cells(line);
    std::string draw, date, past, vintage, fraction;
    for (std::string* cell : {&draw, &date, &past, &vintage, &fraction}) std::getline(cells, *cell, ',');
    parts[draw + date][vintage] += std::stod(fraction);
  }
  return parts;
}

TEST(Harvests, AreTheSharesOfTheDrawsByVintage) {
  for (const std::string file : {"scenarios/amber.yaml", "scenarios/working_year.yaml", "scenarios/three_tiers.yaml"}) {
    const Parts expected = by_json(file), found = by_table(file);
    ASSERT_FALSE(expected.empty()) << file;
    ASSERT_EQ(found.size(), expected.size()) << file;
    for (const auto& [wine, harvests] : expected) {
      double sum = 0.0;
      ASSERT_EQ(found.at(wine).size(), harvests.size()) << wine;
      for (const auto& [harvest, fraction] : harvests) {
        EXPECT_NEAR(found.at(wine).at(harvest), fraction, 1e-12) << wine << ' ' << harvest;
        sum += fraction;
      }
      EXPECT_NEAR(sum, 1.0, 1e-9) << wine;
    }
  }
}

TEST(Harvests, StandWithTheLastBottlingsOfTheBook) {
  const auto said = run_program("forecast scenarios/amber.yaml --vintages");
  EXPECT_EQ(said.status, 0);
  EXPECT_TRUE(said.out.starts_with("Amber: Bottling 2026 holds ")) << said.out;
  EXPECT_EQ(said.out.find("2027"), std::string::npos) << said.out;  // to come: --all
  EXPECT_NE(run_program("forecast scenarios/amber.yaml --vintages --all").out.find("2027"), std::string::npos);
  EXPECT_EQ(run_program("forecast scenarios/amber.yaml --vintages --json").status, 2);
  EXPECT_EQ(run_program("forecast scenarios/amber.yaml --vintages --chart").status, 2);
}

}  // namespace
}  // namespace tierce
