// `losses`, and what several files come to together, as their user runs them.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/cli/command/program.h"

namespace tierce {
namespace {

using nlohmann::json;
using test::run_program;

const char* const kBoth = " scenarios/working_year.yaml scenarios/petrel.yaml --json";

// The book of amber.yaml ends on 10 Feb 2026, its forecast in 2045: what is still to come is no loss.
TEST(LossesCommand, EndsWithTheBook) {
  const auto said = run_program("losses --json scenarios/amber.yaml");
  ASSERT_EQ(said.status, 0) << said.err;
  EXPECT_EQ(json::parse(said.out).at("years").back().at("year"), 2026);
}

TEST(Premises, AddUpWhatTheReservesHoldByThemselves) {
  const json answers = json::parse(run_program(std::string("stock") + kBoth).out);
  ASSERT_EQ(answers.size(), 3u);
  double held_l = 0.0, listed_l = 0.0;
  for (int i = 0; i < 2; ++i)
    for (const json& row : answers[i].at("stock")) held_l += row.at("volume_L").get<double>();
  for (const json& line : answers[2].at("premises"))
    if (line.at("kind") != "bottled") listed_l += line.at("volume_L").get<double>();
  EXPECT_NEAR(listed_l, held_l, 1e-9 * held_l);
}

TEST(Premises, HoldTheirCommonLossAgainstOneAllowance) {
  const json answers = json::parse(run_program(std::string("losses --allowance '4 %/yr'") + kBoth).out);
  ASSERT_EQ(answers.size(), 3u);
  const auto loss_in_2024 = [](const json& years) {
    for (const json& year : years)
      if (year.at("year") == 2024) return std::pair(year.at("all_L").get<double>(), year.at("allowed_L").get<double>());
    return std::pair(-1.0, -1.0);
  };
  const auto tern = loss_in_2024(answers[0].at("years")), petrel = loss_in_2024(answers[1].at("years"));
  const auto both = loss_in_2024(answers[2].at("premises"));
  EXPECT_NEAR(both.first, tern.first + petrel.first, 1e-9);
  EXPECT_NEAR(both.second, tern.second + petrel.second, 1e-9);
}

}  // namespace
}  // namespace tierce
