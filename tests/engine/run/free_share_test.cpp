// How much of the SO2 is free by default, beside what thousands of wines held.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "tests/cli/command/program.h"
#include "tests/project/csv.h"

namespace tierce {
namespace {

// so2_free_share_vinho_verde.csv: nine tenths of 6,497 wines, not fortified, by colour and sugar. A band of sanity and
// no more: what the demo reserve is reckoned to hold by default at each draw has to overlap it.
TEST(FreeShare, OfTheDefaultOverlapsThatOfThousandsOfWines) {
  double least = 1.0, most = 0.0;
  for (const auto& row : test::read_csv("so2_free_share_vinho_verde.csv")) {
    least = std::min(least, test::number(row, "free_over_total_p5"));
    most = std::max(most, test::number(row, "p95"));
  }
  EXPECT_LT(least, most);
  const auto report = nlohmann::json::parse(test::run_program("forecast scenarios/amber.yaml --json").out);
  std::size_t seen = 0;
  for (const auto& draw : report.at("draws")) {
    const double total = draw.at("so2_total_mg_L").get<double>();
    EXPECT_LE(draw.at("so2_free_low_mg_L").get<double>() / total, most) << draw.at("name");
    EXPECT_GE(draw.at("so2_free_high_mg_L").get<double>() / total, least) << draw.at("name");
    ++seen;
  }
  EXPECT_GT(seen, 20u);
}

}  // namespace
}  // namespace tierce
