// A stranger's program: a reserve of which a quarter is drawn and refilled once a year, and the mean age of what is
// drawn.
#include <cstdio>

#include "engine/measure/age.h"
#include "engine/run/simulate.h"

int main() {
  using namespace tierce;
  Scenario scenario;
  scenario.clock = Clock::entry;
  scenario.tiers = {{.name = "vat", .vessels = {{.name = "V1", .capacity_l = 1000.0}}, .target_l = 1000.0}};
  scenario.tiers[0].evaporation = {.per_year = 0.0, .stated = true};
  scenario.lots = {{.name = "new", .vintage = 2000, .harvested = Date{2000, 1, 1}}};
  scenario.lots[0].wine.alcohol_pct = 18.0;
  scenario.log = {{.date = {2000, 1, 1}, .action = Add{0, {}, Place{{}, 0, -1}, Amount{.value = 1000.0}}}};
  Routine yearly{.day = DayOfYear{1, 1}};
  yearly.usual.draw = Amount{.kind = Amount::Kind::share, .value = 0.25};
  yearly.usual.refill.kind = HabitRefill::Kind::lot;
  yearly.usual.refill.lot = 0;
  scenario.habit = {yearly};

  const Timeline line = timeline(scenario, {.until_year = 2100});
  const Trajectory run = simulate(scenario, line);
  const DrawRecord& last = run.draws.back();
  std::printf("%.4f\n", age_of(line, scenario.clock, last.wine, last.day).mean_y);
}
