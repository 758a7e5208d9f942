// What a run leaves behind when an entry or a forecast fails: all of the act, or nothing of it.
#include <gtest/gtest.h>

#include "cli/read/load.h"
#include "engine/measure/age.h"
#include "engine/measure/balance.h"
#include "engine/run/outlook.h"

namespace tierce {
namespace {

LoadedScenario read(const std::string& text) {
  std::vector<Problem> problems;
  return check_source(source_from("inline.yaml", text, problems));
}

// Tier b holds 20 L and loses 30 L a year, so it dries up before the year closes; the last moment that both tiers reach
// is the draw of 1 June, 151 of 365 days after 1 January.
TEST(StoppedForecast, StandsWhereAllTiersHaveAgedAlike) {
  const auto loaded = read(R"(reserve: Half
clock: wood
tiers:
  - {name: a, vessels: [{name: a, capacity: 100 L}], evaporation: 0 %/yr}
  - {name: b, vessels: [{name: b, capacity: 50 L}], evaporation: 30 L/yr per vessel, vapour: 10 %vol}
lots: [{name: L, vintage: 2000, alcohol: 18 %vol}]
log:
  - {date: 2001-01-01, do: add, lot: L, to: a, volume: 100 L}
  - {date: 2001-01-01, do: add, lot: L, to: b, volume: 20 L}
habit: {day: 1 Jun, draw: 1 L}
until: 2003
)");
  ASSERT_TRUE(loaded.problems.empty());
  const Outlook outlook = run_scenario(loaded.scenario, {});
  ASSERT_TRUE(outlook.run.stopped.has_value());
  const Stock& last = outlook.run.looks.back();
  EXPECT_EQ(last.date, (Date{2001, 6, 1}));
  EXPECT_NEAR(age_of(outlook.line, Clock::wood, part_of(last, 0, 1.0), last.day).mean_y, 151.0 / 365.0, 1e-12);
  const Balance volume = balance_of_volume(outlook.run);
  EXPECT_NEAR(volume.gap(), 0.0, 1e-9 * volume.throughput());
}

TEST(GaugeOfSeveralVessels, IsTakenOverWholeOrNotAtAll) {
  const std::string text = R"(reserve: Dip
tiers: [{name: t, vessels: [{name: v, count: 2, capacity: 150 L}], target: 100 L, evaporation: 0 %/yr}]
lots: [{name: L, vintage: 2000, alcohol: 18 %vol}]
log:
  - {date: 2001-01-01, do: add, lot: L, to: t, volume: 100 L}
  - {date: 2001-02-01, do: gauge, gauge: {v1: 0 L, v2: 0 L}}
)";
  const auto loaded = read(text);
  EXPECT_EQ(loaded.problems.size(), 1u);
  const Outlook outlook = run_scenario(loaded.scenario, {});
  EXPECT_EQ(outlook.run.looks.back().volume[0], 100.0);
  EXPECT_EQ(balance_of_volume(outlook.run).flow[kGauged], 0.0);
  EXPECT_TRUE(outlook.run.readings.empty());
}

// With an unknown total, a loss of the total leaves the free unknown; a loss of the free leaves (1 - 0.9)^t of it.
TEST(FreeSulfurWithoutItsTotal, FallsByItsOwnLawOrIsUnknown) {
  const auto free_after_two_years = [](const std::string& law) {
    const auto loaded = read("reserve: Free\nso2_loss: " + law + R"(
tiers: [{name: t, vessels: [{name: v, capacity: 100 L}], evaporation: 0 %/yr}]
lots: [{name: L, vintage: 2000, alcohol: 18 %vol, so2: {free: 20 mg/L}}]
log:
  - {date: 2001-01-01, do: add, lot: L, to: t, volume: 100 L}
  - {date: 2003-01-01, do: draw, from: t, volume: 10 L}
)");
    return run_scenario(loaded.scenario, {}).run.draws[0].wine.solutes[kSo2Free] / 10.0;
  };
  EXPECT_FALSE(is_known(free_after_two_years("40 %/yr of total")));
  EXPECT_NEAR(free_after_two_years("90 %/yr of free"), 20.0 * 0.1 * 0.1, 1e-12);
}

}  // namespace
}  // namespace tierce
