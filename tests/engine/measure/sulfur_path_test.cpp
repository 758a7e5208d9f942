// The long run of doses goes the way of the engine itself, and is bounded however its routines meet.
#include "engine/measure/sulfur_path.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

#include "engine/run/simulate.h"
#include "tests/twin/yearly_reserve.h"

namespace tierce {
namespace {

using namespace scenes;

// A path gone through again.

/// Three tiers, so that pours, draws, doses and both laws meet; acetaldehyde known or not.
Scenario three_tiers(bool acetaldehyde, const Dose& dose) {
  Scenario scenario = scenario_of({.draw = 0.2, .evaporation = 0.03, .new_wine_total_mg_l = 50.0, .steps = 2});
  scenario.lots[0].wine.so2_free_mg_l = 10.0;
  scenario.lots[0].wine.sulfate_g_l = 0.8;
  scenario.lots[0].wine.acetaldehyde_mg_l = acetaldehyde ? 25.0 : kUnknown;
  scenario.opening[0].wine = scenario.lots[0].wine;
  scenario.acetaldehyde_gain_mg_l_year = acetaldehyde ? 3.0 : 0.0;
  for (const char* name : {"second", "third"}) {
    Tier tier = scenario.tiers[0];
    tier.name = name;
    if (tier.name == "third")
      tier.so2_loss = acetaldehyde ? SulfurLoss{Law::of_free, 0.8} : SulfurLoss{Law::fixed, 20.0};
    scenario.tiers.push_back(tier);
    Opening opening = scenario.opening[0];
    opening.row = static_cast<int>(scenario.tiers.size()) - 1;
    scenario.opening.push_back(opening);
  }
  scenario.habit[0].usual.doses = {dose};
  return scenario;
}

// The engine's own run, apart from the walk: every total, free SO2, sulfate and dose of 60 years.
TEST(SulfurWalk, GoesTheWayOfTheEngineItself) {
  Dose plain, to_free, held;
  plain.value = 15.0;
  to_free.kind = Dose::Kind::to_free;
  to_free.value = 20.0;
  held.kind = Dose::Kind::to_molecular;
  held.value = 0.6;
  held.at_most_total_mg_l = 70.0;
  for (const bool acetaldehyde : {false, true})
    for (const Dose& dose : {plain, to_free, held}) {
      const Scenario scenario = three_tiers(acetaldehyde, dose);
      const SulfurLongRun long_run = sulfur_long_run(scenario);
      ASSERT_TRUE(long_run.settles());
      const Trajectory run = run_scenario(long_run.endless, {.until_year = kStart.year + 60}).run;
      auto moments = tested_moments(run);
      std::stable_sort(moments.begin(), moments.end(), [](const auto& a, const auto& b) { return a.date < b.date; });
      for (const TestedMoment& expected : moments) {
        const auto found = std::find_if(long_run.moments.begin(), long_run.moments.end(), [&](const auto& moment) {
          return moment.date == expected.date && moment.row == expected.row && moment.at_draw == expected.at_draw;
        });
        if (expected.date > long_run.moments.back().date) break;  // they repeat since
        ASSERT_NE(found, long_run.moments.end());
        EXPECT_NEAR(found->total_mg_l, expected.total_mg_l, 1e-9 * expected.total_mg_l);
        EXPECT_NEAR(found->free_mg_l, expected.free_mg_l, 1e-8 * expected.total_mg_l);
        EXPECT_NEAR(found->sulfate_g_l, expected.sulfate_g_l, 1e-9 * expected.sulfate_g_l);
        EXPECT_NEAR(found->dose_mg_l, expected.dose_mg_l, 1e-8 * expected.total_mg_l);
      }
    }
}

/// Routines that only dose, so many months apart.
Scenario with_routines(const std::vector<int>& months) {
  Scenario scenario = scenario_of({.draw = 0.2, .evaporation = 0.02, .new_wine_total_mg_l = 35.0, .dose_mg_l = 15.0});
  for (const int every : months) {
    Routine routine;
    routine.every_months = every;
    routine.from = Date{kStart.year + 1, 3, 1};
    Dose dose;
    dose.value = 2.0;
    routine.usual.doses = {dose};
    scenario.habit.push_back(routine);
  }
  return scenario;
}

// Two runs of the habit at most three times as long as its period, and walks of a bounded number of acts: lcm(7, 11,
// 13, 12) months are 1001 years; lcm(599, 600) are 29,950 years, which is refused.
TEST(SulfurLongRun, IsBoundedHoweverTheRoutinesMeet) {
  for (const auto& months : {std::vector{7, 11}, std::vector{599}, std::vector{7, 11, 13}}) {
    const SulfurLongRun long_run = sulfur_long_run(with_routines(months));
    EXPECT_TRUE(long_run.settles());
    EXPECT_LE(long_run.plain_path.acts.size(), 20000u * 12u);  // days x rows of the longest run, a dozen acts each
    SulfurWalk walk(long_run.plain, long_run.plain_path, 10.0);
    EXPECT_TRUE(walk.go());
    EXPECT_LE(walk.gone(), SulfurWalk::kMostActs + long_run.plain_path.acts.size());
  }
  const SulfurLongRun refused = sulfur_long_run(with_routines({599, 600}));
  EXPECT_EQ(refused.unsettled, Unsettled::meets_too_late);
  EXPECT_EQ(refused.period_years, 29950.0);
  EXPECT_FALSE(is_known(largest_plain_dose_mg_l(refused, flat(200.0))));
}

}  // namespace
}  // namespace tierce
