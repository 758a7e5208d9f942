#include "engine/plan/endless_habit.h"

#include <algorithm>
#include <numeric>
#include <optional>

#include "engine/run/outlook.h"
#include "engine/run/simulate.h"
#include "engine/run/timeline.h"
#include "engine/run/vessel_work.h"

namespace tierce {
namespace {

using Because = NoLongRun::Because;

constexpr int kYearsToSettle = 600;
constexpr double kSettled = 1e-9;  // of the volume, from one period to the next

constexpr double kMostSteps = 1e8;  // acts x tiers x tiers of the longest run

constexpr int kMostTiersForStrength = 25;  // each needs a run of its own for the derivative
constexpr int kNewtonSteps = 30;
constexpr double kBumpPct = 0.01;           // %vol, for the derivative
constexpr double kStrengthSettled = 1e-10;  // %vol

/// Years after which all routines fall on the same days again; empty where that takes too long to be of use.
std::optional<int> period_years(const Scenario& scenario) {
  int months = 12;
  for (const Routine& routine : scenario.habit) {
    if (routine.every_months > 0) months = std::lcm(months, routine.every_months);
    if (months > 12 * kLongestPeriodYears) return std::nullopt;
  }
  return months / 12;
}

/// What makes the habit too large to be run until it settles.
Because too_large(const Scenario& scenario, int period) {
  if (scenario.tier_count() > kMostTiersForLongRun) return Because::too_many_tiers;
  double acts = 0.0;
  for (const Routine& routine : scenario.habit)
    acts += 3.0 * kYearsToSettle * period * (routine.every_months > 0 ? 12.0 / routine.every_months : 1.0);
  return acts * scenario.rows() * (scenario.tier_count() + 1) > kMostSteps ? Because::too_many_days : Because::nothing;
}

/// Without the book, and without what differs in some years. Doses move no litre.
Scenario habit_alone(const Scenario& scenario) {
  Scenario alone = as_the_log_leaves_it(scenario);
  alone.log.clear();
  alone.opening.clear();
  alone.until.reset();
  for (Routine& routine : alone.habit) {
    routine.except.clear();
    routine.usual.doses.clear();
  }
  return alone;
}

/// Every refill with one lot, so that many years need few columns. Its strength is left unknown: it moves no litre.
Scenario with_one_lot(Scenario scenario) {
  scenario.clock = Clock::harvest;
  Lot lot;
  lot.name = "new wine";
  lot.harvested = {1, 1, 1};
  scenario.lots = {lot};
  for (Routine& routine : scenario.habit)
    if (routine.usual.refill.kind != HabitRefill::Kind::none) {
      routine.usual.refill.kind = HabitRefill::Kind::lot;
      routine.usual.refill.lot = 0;
    }
  return scenario;
}

void start_from(EndlessHabit& habit, const Scenario& scenario) {
  Span past_only;
  past_only.habit = false;
  if (const Date last = last_entry(scenario); last.year > 0) past_only.end_on = last;
  const Trajectory past = simulate(scenario, timeline(scenario, past_only), Keep::flows);
  const Stock start = past.looks.empty() ? Stock(scenario, 0) : past.looks.back();
  const int tiers = scenario.tier_count();
  habit.start = past.looks.empty() ? Date{0, 1, 1} : start.date;
  if (past.looks.empty())
    for (const Routine& routine : scenario.habit)
      if (routine.from) habit.start = std::max(habit.start, *routine.from);
  habit.volume_l = start.volume.head(tiers);
  habit.alcohol_pct.resize(tiers);
  for (int tier = 0; tier < tiers; ++tier) habit.alcohol_pct[tier] = start.alcohol_pct(tier);
}

bool brings_no_wine(const Scenario& scenario) {
  return std::all_of(scenario.habit.begin(), scenario.habit.end(),
                     [](const Routine& routine) { return routine.usual.refill.kind == HabitRefill::Kind::none; });
}

/// Strengths a period later; empty where the run stops.
std::optional<Eigen::VectorXd> strengths_after(Simulator& simulator, const EndlessHabit& habit,
                                               const Eigen::VectorXd& volume_l, int year,
                                               const Eigen::VectorXd& alcohol_pct) {
  const Scenario alone = habit_from(habit.scenario, volume_l, alcohol_pct, Date{year, 1, 1});
  const Span span{.until_year = year + habit.period - 1, .looks = {}, .habit = true};
  const Trajectory& run = simulator.run(alone, timeline(alone, span));
  if (run.stopped || run.looks.empty()) return std::nullopt;
  Eigen::VectorXd after(alcohol_pct.size());
  for (int tier = 0; tier < after.size(); ++tier) after[tier] = run.looks.back().alcohol_pct(tier);
  return after.allFinite() ? std::optional<Eigen::VectorXd>(after) : std::nullopt;
}

/// I less the derivative of the strengths a period later by the strengths now, one run for each tier.
std::optional<Eigen::MatrixXd> drift_matrix(Simulator& simulator, const EndlessHabit& habit,
                                            const Eigen::VectorXd& volume_l, int year, const Eigen::VectorXd& now,
                                            const Eigen::VectorXd& after) {
  const Eigen::Index tiers = now.size();
  Eigen::MatrixXd matrix = Eigen::MatrixXd::Identity(tiers, tiers);
  for (Eigen::Index tier = 0; tier < tiers; ++tier) {
    Eigen::VectorXd bumped = now;
    bumped[tier] += kBumpPct;
    const auto then = strengths_after(simulator, habit, volume_l, year, bumped);
    if (!then) return std::nullopt;
    matrix.col(tier) -= (*then - after) / kBumpPct;
  }
  return matrix;
}

/// Where Newton's method begins: the strength of today, else that of the new wine.
Eigen::VectorXd first_strengths(const EndlessHabit& habit) {
  double new_wine_pct = kUnknown;
  for (const Routine& routine : habit.scenario.habit) {
    const HabitRefill& refill = routine.usual.refill;
    if (refill.kind == HabitRefill::Kind::none) continue;
    new_wine_pct = is_known(refill.changed.alcohol_pct)
                       ? refill.changed.alcohol_pct
                       : habit.scenario.lots[static_cast<std::size_t>(refill.lot)].wine.alcohol_pct;
  }
  Eigen::VectorXd first = habit.alcohol_pct;
  for (double& pct : first)
    if (!is_known(pct) || !(pct > 0.0)) pct = new_wine_pct;
  return first;
}

}  // namespace

EndlessHabit endless_habit(const Scenario& scenario) {
  EndlessHabit habit;
  if (scenario.habit.empty()) {
    habit.why_not = {Because::no_habit};
    return habit;
  }
  start_from(habit, scenario);
  habit.scenario = habit_alone(scenario);
  const auto period = period_years(scenario);
  habit.period = period.value_or(1);
  if (habit.start.year == 0) habit.why_not = {Because::no_start};
  else habit.why_not = {period ? too_large(scenario, *period) : Because::never_repeats};
  return habit;
}

Scenario habit_from(const Scenario& alone, const Eigen::VectorXd& volume_l, const Eigen::VectorXd& alcohol_pct,
                    const Date& date) {
  Scenario from = alone;
  for (int tier = 0; tier < alone.tier_count(); ++tier) {
    if (!(volume_l[tier] > 0.0)) continue;
    Opening opening;
    opening.date = date;
    opening.row = tier;
    opening.volume_l = volume_l[tier];
    opening.parts.push_back({"held in tier " + std::to_string(tier), -1, 1.0, 0.0});
    if (alcohol_pct.size() > tier) opening.wine.alcohol_pct = alcohol_pct[tier];
    from.opening.push_back(opening);
  }
  return from;
}

SettledVolumes settled_volumes(const EndlessHabit& habit) {
  SettledVolumes settled;
  const int first = habit.start.year, period = habit.period, tiers = habit.scenario.tier_count();
  const Scenario alone = with_one_lot(habit_from(habit.scenario, habit.volume_l, {}, habit.start));
  for (int years = 4 * period; years <= kYearsToSettle * period; years *= 4) {
    const Span span{.until_year = first + years, .looks = {Date{first + years - period, 12, 31}}, .habit = true};
    const Trajectory run = simulate(alone, timeline(alone, span), Keep::flows);
    if (run.stopped) settled.why_not = {Because::stops, run.stopped->problem.what};
    if (run.stopped && brings_no_wine(alone)) settled.why_not = {Because::no_new_wine};
    if (run.stopped) return settled;
    if (!run.problems.empty() || run.looks.size() < 2) break;
    const Eigen::VectorXd now = run.looks.back().volume.head(tiers);
    const Eigen::VectorXd before = run.looks[run.looks.size() - 2].volume.head(tiers);
    if (!((now - before).norm() <= kSettled * now.norm())) continue;
    settled.volume_l = now;
    settled.year = first + years;
    return settled;
  }
  settled.why_not = {brings_no_wine(alone) ? Because::no_new_wine : Because::no_settling};
  return settled;
}

Eigen::VectorXd settled_strengths(const EndlessHabit& habit, const Eigen::VectorXd& volume_l, int year) {
  if (habit.scenario.tier_count() > kMostTiersForStrength) return {};
  Eigen::VectorXd now = first_strengths(habit);
  std::optional<Eigen::MatrixXd> matrix;
  Simulator simulator;
  for (int step = 0; step < kNewtonSteps; ++step) {
    if (!now.allFinite() || now.minCoeff() <= 0.0 || now.maxCoeff() > 100.0) return {};
    const auto after = strengths_after(simulator, habit, volume_l, year, now);
    if (!after) return {};
    if ((*after - now).cwiseAbs().maxCoeff() <= kStrengthSettled) return *after;
    if (step % 5 == 0) matrix = drift_matrix(simulator, habit, volume_l, year, now, *after);
    if (!matrix) return {};
    now += matrix->partialPivLu().solve(*after - now);
  }
  return {};
}

}  // namespace tierce
