#include "engine/plan/long_run.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "engine/measure/age.h"
#include "engine/run/simulate.h"
#include "engine/run/timeline.h"

namespace tierce {
namespace {

using Because = NoLongRun::Because;

constexpr double kNothingLeaves = 1e-12;  // of the wine, in a period
constexpr double kForgotten = 1e-12;      // of the wine of the start, when a check ends
constexpr double kRemembered = 0.1;       // of it, when the memory is compared
constexpr int kLongestCheckYears = 1500;

/// What a mean is weighted by: litres, pure alcohol, or litres as entered.
enum Weight { kLitres, kAlcohol, kEntered, kWeightCount };

/// What a wine holds of each tier's starting wine and of newer wine, with their weight x years. The starting wine
/// counts from the start.
struct Traced {
  struct Part {
    Eigen::RowVectorXd of_tier, of_tier_years;
    double fresh = 0.0, fresh_years = 0.0;
  };
  std::array<Part, kWeightCount> by;
  double youngest_fresh_y = INFINITY;
};

/// By column: the tier of habit_from's opening stock, each of a name of its own; -1 = newer wine. By the clock `wood` a
/// stock may have several columns.
std::vector<int> tier_of_parcel(const Scenario& alone, const Timeline& line) {
  std::vector<int> tier(line.parcels.size(), -1);
  for (std::size_t i = 0; i < tier.size(); ++i)
    for (const Opening& opening : alone.opening)
      if (opening.parts.front().name == line.parcels[i].lot) tier[i] = opening.row;
  return tier;
}

Traced trace(const Scenario& alone, const Timeline& line, const Parcelled& wine, int day) {
  Traced traced;
  for (Traced::Part& part : traced.by) part.of_tier = part.of_tier_years = Eigen::RowVectorXd::Zero(alone.tier_count());
  const std::vector<int> tier = tier_of_parcel(alone, line);
  for (const Share& share : shares_of(line, alone.clock, wine, day)) {
    const int from = tier[static_cast<std::size_t>(share.parcel)];
    const double weights[] = {share.litres, wine.alcohol[share.parcel], wine.entered[share.parcel]};
    for (int weight = 0; weight < kWeightCount; ++weight) {
      Traced::Part& part = traced.by[static_cast<std::size_t>(weight)];
      (from >= 0 ? part.of_tier[from] : part.fresh) += weights[weight];
      (from >= 0 ? part.of_tier_years[from] : part.fresh_years) += weights[weight] * share.age_y;
    }
    if (from < 0) traced.youngest_fresh_y = std::min(traced.youngest_fresh_y, share.age_y);
  }
  return traced;
}

/// One period from the settled volumes, every wine traced.
struct Period {
  Scenario alone;
  Timeline line;
  Trajectory run;
  std::vector<Traced> tiers;  // at its end
  std::vector<Traced> draws;
};

Period run_period(const EndlessHabit& habit, const Eigen::VectorXd& volume_l, const Eigen::VectorXd& alcohol_pct,
                  int year) {
  Period period;
  period.alone = habit_from(habit.scenario, volume_l, alcohol_pct, Date{year, 1, 1});
  period.line = timeline(period.alone, {.until_year = year + habit.period - 1, .looks = {}, .habit = true});
  period.run = simulate(period.alone, period.line, Keep::path);
  if (period.run.looks.empty()) return period;
  const Stock& end = period.run.looks.back();
  for (int tier = 0; tier < period.alone.tier_count(); ++tier)
    period.tiers.push_back(trace(period.alone, period.line, part_of(end, tier, 1.0), end.day));
  for (const DrawRecord& draw : period.run.draws)
    period.draws.push_back(trace(period.alone, period.line, draw.wine, draw.day));
  return period;
}

/// Row: what lies in a tier at the end; column: of which tier's starting wine.
Eigen::MatrixXd held_matrix(const Period& period, Weight weight) {
  const auto tiers = static_cast<Eigen::Index>(period.tiers.size());
  Eigen::MatrixXd held(tiers, tiers);
  for (Eigen::Index tier = 0; tier < tiers; ++tier)
    held.row(tier) = period.tiers[static_cast<std::size_t>(tier)].by[weight].of_tier;
  return held;
}

/// A habit moves wine down the tiers only: nothing stands above the diagonal of its matrix, whose eigenvalues are then
/// those on the diagonal.
double largest_eigenvalue(const Eigen::MatrixXd& kept) { return kept.diagonal().cwiseAbs().maxCoeff(); }

/// Mean age of the draws with these weights. `start`: the weight of each tier's wine when the period begins.
double settled_mean(const Period& period, Weight weight, const Eigen::VectorXd& start) {
  const Eigen::Index tiers = start.size();
  const Eigen::MatrixXd held = held_matrix(period, weight);
  Eigen::VectorXd fresh(tiers), years(tiers);
  for (Eigen::Index tier = 0; tier < tiers; ++tier)
    fresh[tier] = period.tiers[static_cast<std::size_t>(tier)].by[weight].fresh;
  // How much more or less of it each tier holds in the end than the run began with. Litres and alcohol have settled;
  // litres as entered begin as litres.
  Eigen::VectorXd scale = Eigen::VectorXd::Ones(tiers);
  if (weight == kEntered) {
    const Eigen::MatrixXd stays = Eigen::MatrixXd(start.asDiagonal()) - held;
    scale = stays.partialPivLu().solve(fresh);
  }
  for (Eigen::Index tier = 0; tier < tiers; ++tier) {
    const Traced::Part& part = period.tiers[static_cast<std::size_t>(tier)].by[weight];
    years[tier] = part.of_tier_years.dot(scale) + part.fresh_years;
  }
  const Eigen::VectorXd settled = start.cwiseProduct(scale);
  const Eigen::MatrixXd leaves = Eigen::MatrixXd(settled.asDiagonal()) - held * scale.asDiagonal();
  const Eigen::VectorXd mean_y = leaves.partialPivLu().solve(years);
  double drawn = 0.0, drawn_years = 0.0;
  for (const Traced& draw : period.draws) {
    const Traced::Part& part = draw.by[weight];
    drawn += part.of_tier.dot(scale) + part.fresh;
    drawn_years +=
        part.of_tier_years.dot(scale) + part.of_tier.cwiseProduct(scale.transpose()).dot(mean_y) + part.fresh_years;
  }
  return drawn > 0.0 ? drawn_years / drawn : kUnknown;
}

/// The least age in a wine, of what it holds of each tier's wine and of newer wine.
double youngest_in(const Traced& wine, const Eigen::VectorXd& youngest_y) {
  double least = wine.youngest_fresh_y;
  const Traced::Part& part = wine.by[kLitres];
  for (Eigen::Index tier = 0; tier < youngest_y.size(); ++tier)
    if (part.of_tier[tier] > 0.0)
      least = std::min(least, youngest_y[tier] + part.of_tier_years[tier] / part.of_tier[tier]);
  return least;
}

double settled_youngest(const Period& period) {
  const auto& tiers = period.alone.tiers;
  const bool some_wood = std::any_of(tiers.begin(), tiers.end(), [](const Tier& tier) { return tier.wood; });
  const bool all_wood = std::all_of(tiers.begin(), tiers.end(), [](const Tier& tier) { return tier.wood; });
  if (period.alone.clock == Clock::wood && some_wood && !all_wood) return kUnknown;  // a parcel then has no one age
  Eigen::VectorXd youngest_y = Eigen::VectorXd::Constant(static_cast<Eigen::Index>(tiers.size()), INFINITY);
  for (std::size_t round = 0; round <= tiers.size() + 1; ++round) {  // new wine needs a period for each tier at most
    Eigen::VectorXd next = youngest_y;
    for (std::size_t tier = 0; tier < tiers.size(); ++tier)
      next[static_cast<Eigen::Index>(tier)] = youngest_in(period.tiers[tier], youngest_y);
    youngest_y = next;
  }
  double least = INFINITY;
  for (const Traced& draw : period.draws) least = std::min(least, youngest_in(draw, youngest_y));
  return std::isfinite(least) ? least : kUnknown;
}

/// Age of the new wine on the day of the first refill.
double entry_age(const Period& period) {
  for (const Event& event : period.line.events) {
    if (!std::holds_alternative<Refill>(event.act) || event.parcel < 0) continue;
    if (!event.brought.empty()) return kUnknown;
    const Parcel& parcel = period.line.parcels[static_cast<std::size_t>(event.parcel)];
    return period.alone.clock == Clock::harvest ? (event.day - parcel.zero_day) / 365.0 : 0.0;
  }
  return kUnknown;
}

void take_volumes(LongRun& result, const Period& period, int years) {
  double drawn_l = 0.0, new_wine_l = 0.0;
  for (const DrawRecord& draw : period.run.draws) drawn_l += draw.volume_l;
  for (const YearFlows& year : period.run.flows.years) new_wine_l += year.litres[kIn];
  result.drawn_l_y = drawn_l / years;
  result.new_wine_l_y = new_wine_l / years;
  result.full_l = 0.0;
  for (std::size_t i = period.alone.opening.size(); i < period.run.volumes.size(); ++i)
    if (period.run.volumes[i].size() > 0)
      result.full_l = std::max(result.full_l, period.run.volumes[i].head(period.alone.tier_count()).sum());
}

Eigen::VectorXd alcohol_of(const Eigen::VectorXd& volume_l, const Eigen::VectorXd& alcohol_pct) {
  return volume_l.cwiseProduct(alcohol_pct) / 100.0;
}

bool brings_one_lot_for_ever(const Scenario& scenario) {
  return scenario.clock == Clock::harvest &&
         std::any_of(scenario.habit.begin(), scenario.habit.end(),
                     [](const Routine& routine) { return routine.usual.refill.kind == HabitRefill::Kind::lot; });
}

void take_ages(LongRun& result, const Period& period, const Eigen::VectorXd& volume_l,
               const Eigen::VectorXd& alcohol_pct) {
  if (period.draws.empty() || !(result.drawn_l_y > 0.0)) {
    result.why_not = {Because::draws_nothing};
    return;
  }
  if (brings_one_lot_for_ever(period.alone)) {
    result.why_not = {Because::same_lot};
    return;
  }
  result.mean_y = settled_mean(period, kLitres, volume_l);
  result.mean_by_solids_y = settled_mean(period, kEntered, volume_l);
  if (alcohol_pct.size() > 0)
    result.mean_by_alcohol_y = settled_mean(period, kAlcohol, alcohol_of(volume_l, alcohol_pct));
  result.youngest_y = settled_youngest(period);
}

/// Litres that are left of what lay in the tiers at the start.
double left_of_start(const Scenario& alone, const Timeline& line, const Stock& stock) {
  double left_l = 0.0;
  for (int tier = 0; tier < alone.tier_count(); ++tier)
    left_l += trace(alone, line, part_of(stock, tier, 1.0), stock.day).by[kLitres].of_tier.sum();
  return left_l;
}

/// The whole periods after which `part` is left of something of which `kept` stays each period.
int periods_until(double part, double kept, int period) {
  if (!(kept > 0.0)) return 2;
  const double wanted = std::ceil(std::log(part) / std::log(kept));
  return static_cast<int>(std::clamp(wanted, 2.0, std::max(2.0, std::floor(1.0 * kLongestCheckYears / period))));
}

/// The means of the draws after a year, of a run without starting wine to speak of.
void take_last_means(LongRunCheck& check, const Scenario& alone, const Timeline& line, const Trajectory& run,
                     int after_year) {
  double drawn = 0.0, drawn_years = 0.0, entered = 0.0, entered_years = 0.0;
  for (const DrawRecord& draw : run.draws) {
    if (draw.date.year <= after_year) continue;
    const AgeSummary age = age_of(line, alone.clock, draw.wine, draw.day);
    drawn += draw.volume_l;
    drawn_years += draw.volume_l * age.mean_y;
    entered += draw.wine.entered.sum();
    entered_years += draw.wine.entered.sum() * age.mean_by_solids_y;
  }
  if (drawn > 0.0) check.mean_y = drawn_years / drawn;
  if (entered > 0.0) check.mean_by_solids_y = entered_years / entered;
}

void run_check(LongRunCheck& check, const EndlessHabit& habit, const SettledVolumes& settled,
               const Eigen::MatrixXd& kept) {
  const int year = settled.year + 1;
  const double largest = largest_eigenvalue(kept);
  const int periods = periods_until(kForgotten, largest, habit.period);
  const int remembered = std::min(periods, periods_until(kRemembered, largest, habit.period));
  check.years = periods * habit.period;
  check.memory_years = remembered * habit.period;
  const Scenario alone = habit_from(habit.scenario, settled.volume_l, {}, Date{year, 1, 1});
  const Span span{
      .until_year = year + check.years - 1, .looks = {Date{year + check.memory_years - 1, 12, 31}}, .habit = true};
  const Timeline line = timeline(alone, span);
  const Trajectory run = simulate(alone, line);
  if (run.stopped || run.looks.empty()) {
    check.why_not = {Because::runs_dry};
    return;
  }
  check.left_by_run = left_of_start(alone, line, run.looks.front()) / settled.volume_l.sum();
  Eigen::VectorXd left = settled.volume_l;
  for (int i = 0; i < remembered; ++i) left = kept * left;
  check.left_by_matrix = left.sum() / settled.volume_l.sum();
  take_last_means(check, alone, line, run, year + check.years - 1 - habit.period);
}

}  // namespace

LongRun long_run(const Scenario& scenario) { return long_run(endless_habit(scenario)); }

LongRun long_run(const EndlessHabit& habit) {
  if (habit.why_not) return {.why_not = habit.why_not};
  const SettledVolumes settled = settled_volumes(habit);
  if (settled.why_not) return {.why_not = settled.why_not};
  const int year = settled.year + 1;
  const Eigen::VectorXd& volume_l = settled.volume_l;
  Eigen::VectorXd alcohol_pct;
  if (volume_l.minCoeff() > 0.0) alcohol_pct = settled_strengths(habit, volume_l, year);
  const Period period = run_period(habit, volume_l, alcohol_pct, year);
  if (period.run.stopped || period.tiers.empty() || volume_l.minCoeff() <= 0.0 ||
      period.run.looks.back().volume.head(volume_l.size()).minCoeff() <= 0.0)
    return {.why_not = {Because::runs_dry}};
  LongRun result;
  result.period_y = habit.period;
  take_volumes(result, period, habit.period);
  result.entry_age_y = entry_age(period);
  result.largest_eigenvalue = largest_eigenvalue(held_matrix(period, kLitres) * volume_l.cwiseInverse().asDiagonal());
  if (result.largest_eigenvalue >= 1.0 - kNothingLeaves) return {.why_not = {Because::nothing_leaves}};
  result.half_life_y =
      result.largest_eigenvalue > 0.0 ? habit.period * std::log(0.5) / std::log(result.largest_eigenvalue) : 0.0;
  take_ages(result, period, volume_l, alcohol_pct);
  return result;
}

LongRunCheck check_long_run(const EndlessHabit& habit) {
  LongRunCheck check{.why_not = habit.why_not};
  if (check.why_not) return check;
  const SettledVolumes settled = settled_volumes(habit);
  check.why_not = settled.why_not;
  if (check.why_not) return check;
  const Period one = run_period(habit, settled.volume_l, {}, settled.year + 1);
  const bool dry = one.run.stopped || one.tiers.empty() || settled.volume_l.minCoeff() <= 0.0;
  if (dry) check.why_not = {Because::runs_dry};
  else run_check(check, habit, settled, held_matrix(one, kLitres) * settled.volume_l.cwiseInverse().asDiagonal());
  return check;
}

}  // namespace tierce
