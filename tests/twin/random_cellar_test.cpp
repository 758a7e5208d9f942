// The random cellars do everything that the twin follows.
#include "tests/twin/random_cellar.h"

#include <gtest/gtest.h>

#include <array>
#include <variant>

#include "tests/twin/slow_twin.h"

namespace tierce {
namespace {

using test::random_cellar;

/// How often each kind of thing turns up in the thousand cellars.
struct Turnout {
  std::array<int, std::variant_size_v<Action>> verbs{};
  int leap_days = 0, habits = 0, openings = 0, tanks = 0, log_faults = 0, stopped = 0;
};

Turnout turnout() {
  Turnout found;
  for (unsigned seed = 1; seed <= 1000; ++seed) {
    const Scenario scenario = random_cellar(seed);
    for (const Entry& entry : scenario.log) {
      ++found.verbs[entry.action.index()];
      found.leap_days += entry.date.month == 2 && entry.date.day == 29;
    }
    found.habits += !scenario.habit.empty();
    found.openings += !scenario.opening.empty();
    found.tanks += !scenario.tanks.empty();
    const twin::Outcome outcome = twin::run(scenario);
    found.log_faults += !outcome.left_out.empty();
    found.stopped += outcome.stopped.has_value();
  }
  return found;
}

// What is never tried is never found wrong: the cellars must not drift into idleness.
TEST(RandomCellars, DoEverythingThatTheTwinFollowsAndMostlySucceed) {
  const Turnout found = turnout();
  for (std::size_t verb = 0; verb < 8; ++verb) EXPECT_GT(found.verbs[verb], 1000) << "verb " << verb;
  const std::size_t bottle = Action(Bottle{}).index();
  EXPECT_GT(found.verbs[bottle], 100) << "bottle";
  EXPECT_GT(found.leap_days, 500);
  EXPECT_GT(found.habits, 300);
  EXPECT_GT(found.openings, 200);
  EXPECT_GT(found.tanks, 100);
  EXPECT_GT(found.log_faults, 20);
  EXPECT_GT(found.stopped, 20);
  EXPECT_LT(found.stopped, 350);
}

}  // namespace
}  // namespace tierce
