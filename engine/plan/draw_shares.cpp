#include "engine/plan/draw_shares.h"

#include <algorithm>

#include "engine/measure/age.h"
#include "engine/measure/bottle_size.h"
#include "engine/measure/evenly.h"

namespace tierce {
namespace {

constexpr int kLeastSharePct = 5, kMostSharePct = 50;
constexpr std::size_t kMostMeans = 200;  // draws of a run whose age is worked out
constexpr double kMostSteps = 3e8;       // of all runs together: events x rows x lots

/// Every percent, or in a large reserve every fifth or fifteenth.
int percent_between_runs(const Outlook& outlook) {
  const double steps = static_cast<double>(outlook.line.events.size()) * outlook.scenario.rows() *
                       static_cast<double>(outlook.line.parcels.size());
  for (const int percent : {1, 5})
    if (static_cast<double>(kMostSharePct - kLeastSharePct) / percent * steps <= kMostSteps) return percent;
  return 15;
}

bool draws(const Routine& routine) { return routine.usual.draw.has_value(); }

ShareOutcome outcome_of(const Outlook& outlook, double share, double bottle_l) {
  ShareOutcome outcome{.share = share};
  const Clock clock = outlook.scenario.clock;
  std::vector<const DrawRecord*> to_come;
  for (const DrawRecord& draw : outlook.run.draws)
    if (!draw.past) to_come.push_back(&draw);
  for (const std::size_t i : evenly(to_come.size(), kMostMeans)) {
    const DrawRecord& draw = *to_come[i];
    const AgeSummary age = age_of(outlook.line, clock, draw.wine, draw.day);
    outcome.means_y.emplace_back(draw.date, age.mean_y);
    outcome.mean_y = age.mean_y;
    outcome.youngest_y = age.youngest_y;
  }
  outcome.long_run = long_run(outlook.scenario);
  if (outlook.run.stopped) {
    outcome.stopped = outlook.run.stopped->problem.what;
    outcome.mean_y = outcome.youngest_y = kUnknown;  // of a draw that is never made
    return outcome;
  }
  const YearFlows& last = outlook.run.flows.years.back();
  outcome.drawn_l = last.litres[kDrawn];
  outcome.new_wine_l = last.litres[kIn];
  outcome.bottles = outcome.drawn_l / bottle_l;
  return outcome;
}

}  // namespace

bool draws_by_habit(const Scenario& scenario) {
  return std::any_of(scenario.habit.begin(), scenario.habit.end(), draws);
}

Scenario with_drawn_share(Scenario scenario, double share) {
  const bool any = draws_by_habit(scenario);
  for (Routine& routine : scenario.habit) {
    if (!draws(routine) && (any || routine.usual.refill.kind == HabitRefill::Kind::none)) continue;
    const At at = draws(routine) ? routine.usual.draw->at : routine.at;
    routine.usual.draw = Amount{at, Amount::Kind::share, share, 0.0};
  }
  return scenario;
}

Scenario with_draws_times(Scenario scenario, double times) {
  for (Routine& routine : scenario.habit) {
    if (draws(routine)) routine.usual.draw->value *= times;
    for (auto& [year, day] : routine.except)
      if (day.draw) day.draw->value *= times;
  }
  return scenario;
}

DrawShares draw_shares(const Outlook& outlook, const Span& span) {
  DrawShares result;
  const Scenario& scenario = outlook.scenario;
  if (!draws_by_habit(scenario) || outlook.run.flows.years.empty()) return result;
  if (const double bottle_l = bottle_of_file(scenario); is_known(bottle_l)) result.bottle_l = bottle_l;
  result.last_year = last_year(scenario, span);
  result.as_stated = outcome_of(outlook, kUnknown, result.bottle_l);
  const int step = percent_between_runs(outlook);
  for (int percent = kLeastSharePct; percent <= kMostSharePct; percent += step) {
    const double share = percent / 100.0;
    const Outlook other = run_scenario(with_drawn_share(scenario, share), {.until_year = span.until_year});
    if (!other.run.flows.years.empty()) result.shares.push_back(outcome_of(other, share, result.bottle_l));
  }
  return result;
}

}  // namespace tierce
