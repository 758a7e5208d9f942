// Every scenario of the project, run as its user would run it.
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>

#include "tests/cli/command/program.h"

namespace tierce {
namespace {

using nlohmann::json;
using test::run_program;

std::vector<std::string> scenario_files() {
  std::vector<std::string> files;
  for (const auto& entry : std::filesystem::directory_iterator(std::string(TIERCE_SOURCE_DIR) + "/scenarios"))
    if (entry.path().extension() == ".yaml") files.push_back("scenarios/" + entry.path().filename().string());
  std::sort(files.begin(), files.end());
  return files;
}

class ScenarioFile : public testing::TestWithParam<std::string> {};

std::size_t characters(const std::string& line) {
  return static_cast<std::size_t>(
      std::count_if(line.begin(), line.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80u; }));
}

TEST_P(ScenarioFile, IsSoundAndSaysNothingElse) {
  const auto said = run_program("check " + GetParam());
  EXPECT_EQ(said.status, 0) << said.err;
  EXPECT_NE(said.out.find("sound"), std::string::npos);
  EXPECT_EQ(said.err, "");
}

TEST_P(ScenarioFile, ReportsFitThePageInBothSystemsOfUnits) {
  for (const std::string command : {"stock ", "age ", "forecast "})
    for (const std::string units : {"metric", "us"}) {
      const auto said = run_program(command + GetParam() + " --units " + units);
      EXPECT_EQ(said.status, 0) << said.err;
      EXPECT_TRUE(std::regex_search(said.out, std::regex(R"(out;\s+closes\.)")));  // a line may break inside it
      EXPECT_EQ(said.out.find("nan"), std::string::npos);
      std::istringstream lines(said.out);
      for (std::string line; std::getline(lines, line);) EXPECT_LE(characters(line), 100u) << line;
    }
}

// Whether a claim of the file fails is not this test's matter (status 1); that every verdict can be reached is.
TEST_P(ScenarioFile, IsJudgedForItsLabel) {
  for (const std::string units : {"metric", "us"}) {
    const auto said = run_program("label --evidence " + GetParam() + " --units " + units);
    EXPECT_LE(said.status, 1) << said.err;
    EXPECT_TRUE(std::regex_search(said.out, std::regex(R"(out;\s+closes\.)")));
    EXPECT_EQ(said.out.find("nan"), std::string::npos);
    EXPECT_EQ(said.err, "");
    std::istringstream lines(said.out);
    for (std::string line; std::getline(lines, line);) EXPECT_LE(characters(line), 100u) << line;
  }
  const json label = json::parse(run_program("label --json " + GetParam()).out);
  EXPECT_FALSE(label.at("wording").empty());
  for (const json& claim : label.at("claims")) EXPECT_TRUE(claim.contains("verdict"));
}

TEST_P(ScenarioFile, EveryYearAndEveryBalanceCloses) {
  const auto said = run_program("forecast --json " + GetParam());
  ASSERT_EQ(said.status, 0) << said.err;
  const json forecast = json::parse(said.out);
  double throughput_l = 0.0;
  for (const json& year : forecast.at("years")) {
    throughput_l += year.at("in_L").get<double>();
    EXPECT_NEAR(year.at("gap_L").get<double>(), 0.0,
                1e-9 * std::max(1.0, throughput_l + year.at("opening_L").get<double>()))
        << year.at("year");
  }
  for (const char* what : {"volume_L", "alcohol_L", "sugar_g"}) {
    const json& balance = forecast.at("balance").at(what);
    const double throughput = balance.at("in").get<double>() + balance.at("opening").get<double>();
    EXPECT_NEAR(balance.at("gap").get<double>(), 0.0, 1e-9 * std::max(1.0, throughput)) << what;
  }
  double held_l = 0.0;
  for (const json& row : forecast.at("stock")) held_l += row.at("volume_L").get<double>();
  EXPECT_NEAR(held_l, forecast.at("years").back().at("closing_L").get<double>(), 1e-9 * held_l);
}

TEST_P(ScenarioFile, SaysTheSameBytesTwice) {
  for (const std::string command : {"stock --json ", "age --csv ", "forecast --json "})
    EXPECT_EQ(run_program(command + GetParam()).out, run_program(command + GetParam()).out);
}

INSTANTIATE_TEST_SUITE_P(All, ScenarioFile, testing::ValuesIn(scenario_files()),
                         [](const auto& file) { return std::filesystem::path(file.param).stem().string(); });

}  // namespace
}  // namespace tierce
