// Stories worked out by an independent bookkeeping of every lot through every event, by the decisions that
// docs/model.md states (not by this program): tests/data/contract/*.yaml and the figures that `forecast --json` must
// give of them.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <regex>

#include "cli/read/load.h"
#include "tests/cli/report/as_json.h"
#include "tests/project/csv.h"

namespace tierce {
namespace {

using nlohmann::json;

/// The value that a path such as draws[name=Bottling 2020].age.mean_y names.
json at_path(const json& root, const std::string& path) {
  static const std::regex kStep(R"((\w+)(?:\[(\w+)=([^\]]*)\])?\.?)");
  json here = root;
  for (std::sregex_iterator step(path.begin(), path.end(), kStep), end; step != end; ++step) {
    here = here.at((*step)[1].str());
    if (!(*step)[2].matched) continue;
    const std::string key = (*step)[2], wanted = (*step)[3];
    const auto found = std::find_if(here.begin(), here.end(), [&](const json& item) {
      return item.at(key).is_string() ? item.at(key) == wanted : item.at(key).dump() == wanted;
    });
    if (found == here.end()) throw std::runtime_error("no " + key + "=" + wanted);
    const json item = *found;
    here = item;
  }
  return here;
}

class Contract : public testing::TestWithParam<const char*> {};

TEST_P(Contract, EveryFigureAgreesWithIndependentBookkeeping) {
  const std::string name = GetParam();
  const LoadedScenario loaded = load_scenario(std::string(TIERCE_TEST_DATA) + "/contract/" + name + ".yaml");
  ASSERT_TRUE(loaded.problems.empty());
  const json forecast = test::forecast_as_json(loaded.scenario);
  for (const auto& row : test::read_csv("contract/" + name + ".csv")) {
    const double expected = test::number(row, "expected");
    const double tolerance = test::number(row, "tolerance") * std::max(1.0, std::abs(expected));
    EXPECT_NEAR(at_path(forecast, row.at("json_path")).get<double>(), expected, tolerance) << row.at("json_path");
  }
}

INSTANTIATE_TEST_SUITE_P(Stories, Contract, testing::Values("one_vat", "three_tiers", "passed_down", "leap", "sulfur"),
                         [](const auto& story) { return std::string(story.param); });

}  // namespace
}  // namespace tierce
