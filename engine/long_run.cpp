#include "engine/long_run.h"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>

#include "engine/age.h"
#include "engine/simulate.h"
#include "engine/timeline.h"
#include "engine/vessel_work.h"

namespace tierce {
namespace {

constexpr int kYearsToSettle = 600;
constexpr double kSettled = 1e-9;  // of the volume, from one period to the next

constexpr int kLongestPeriodYears = 50;
constexpr int kMostTiers = 200;     // the eigenvalues of a larger matrix take longer than anybody waits
constexpr double kMostSteps = 1e8;  // acts x tiers x tiers of the longest run

/// Years after which all routines fall on the same days again; empty where that takes too long to be of use.
std::optional<int> period_years(const Scenario& scenario) {
  int months = 12;
  for (const Routine& routine : scenario.habit) {
    if (routine.every_months > 0) months = std::lcm(months, routine.every_months);
    if (months > 12 * kLongestPeriodYears) return std::nullopt;
  }
  return months / 12;
}

/// What makes the habit too large to be run until it settles; empty where nothing does.
std::string too_large(const Scenario& scenario, int period) {
  if (scenario.tier_count() > kMostTiers) return "there are more than " + std::to_string(kMostTiers) + " tiers";
  double acts = 0.0;
  for (const Routine& routine : scenario.habit)
    acts += 3.0 * kYearsToSettle * period * (routine.every_months > 0 ? 12.0 / routine.every_months : 1.0);
  return acts * scenario.rows() * (scenario.tier_count() + 1) > kMostSteps ? "the habit has too many days" : "";
}

/// The habit alone, from given volumes. Nothing is dosed, and strengths are left unknown: neither moves a litre.
Scenario habit_from(const Scenario& scenario, const Eigen::VectorXd& volume_l, const Date& date) {
  Scenario alone = as_the_log_leaves_it(scenario);
  alone.log.clear();
  alone.opening.clear();
  alone.until.reset();
  for (Routine& routine : alone.habit) {
    routine.except.clear();
    routine.usual.doses.clear();
  }
  for (int tier = 0; tier < scenario.tier_count(); ++tier) {
    if (!(volume_l[tier] > 0.0)) continue;
    Opening opening;
    opening.date = date;
    opening.row = tier;
    opening.volume_l = volume_l[tier];
    opening.parts.push_back({"held in tier " + std::to_string(tier), -1, 1.0, 0.0});
    alone.opening.push_back(opening);
  }
  return alone;
}

/// Every refill with one lot, so that many years need few columns.
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

/// The tiers' volumes at the close of a year, once they repeat.
struct Settled {
  Eigen::VectorXd volume_l;
  int year = 0;
};

/// Empty if the volumes never repeat.
std::optional<Settled> settled_volumes(const Scenario& scenario, const Stock& start, int period) {
  const int first = start.date.year;
  const Scenario alone = with_one_lot(habit_from(scenario, start.volume, start.date));
  for (int years = 4 * period; years <= kYearsToSettle * period; years *= 4) {
    Span span{.until_year = first + years, .looks = {Date{first + years - period, 12, 31}}, .habit = true};
    const Trajectory run = simulate(alone, timeline(alone, span));
    if (run.stopped || !run.problems.empty() || run.looks.size() < 2) return std::nullopt;
    const Eigen::VectorXd now = run.looks.back().volume.head(scenario.tier_count());
    const Eigen::VectorXd before = run.looks[run.looks.size() - 2].volume.head(scenario.tier_count());
    if ((now - before).norm() <= kSettled * now.norm()) return Settled{now, first + years};
  }
  return std::nullopt;
}

/// Litres of each tier's starting wine in a wine, and the litre-years of its age counted from the start.
struct Traced {
  Eigen::RowVectorXd of_tier_l;
  double litre_years = 0.0;
};

/// The columns of habit_from's opening stock: the first ones, one for each tier that holds wine, in order.
std::vector<int> tier_of_parcel(const Scenario& alone, const Timeline& line) {
  std::vector<int> tier(line.parcels.size(), -1);
  for (std::size_t i = 0; i < alone.opening.size(); ++i) tier[i] = alone.opening[i].row;
  return tier;
}

Traced trace(const Scenario& alone, const Timeline& line, const Parcelled& wine, int day) {
  Traced traced{Eigen::RowVectorXd::Zero(alone.tier_count()), 0.0};
  const std::vector<int> tier = tier_of_parcel(alone, line);
  for (const Share& share : shares_of(line, alone.clock, wine, day)) {
    const int from = tier[static_cast<std::size_t>(share.parcel)];
    if (from >= 0) traced.of_tier_l[from] += share.litres;
    traced.litre_years += share.litres * share.age_y;
  }
  return traced;
}

double half_life(const Eigen::MatrixXd& kept, int period) {
  const double largest = kept.eigenvalues().cwiseAbs().maxCoeff();
  if (largest >= 1.0 - 1e-12) return kUnknown;  // nothing leaves
  return largest > 0.0 ? period * std::log(0.5) / std::log(largest) : 0.0;
}

LongRun solve(const Scenario& scenario, const Eigen::VectorXd& volume_l, int period, int year) {
  const int tiers = scenario.tier_count();
  const Scenario alone = habit_from(scenario, volume_l, Date{year, 1, 1});
  const Span span{.until_year = year + period - 1, .looks = {}, .habit = true};
  const Timeline line = timeline(alone, span);
  const Trajectory run = simulate(alone, line);
  if (run.stopped || run.looks.empty() || run.looks.back().volume.head(tiers).minCoeff() <= 0.0)
    return {kUnknown, kUnknown, "a tier runs dry under this habit"};
  const Stock& end = run.looks.back();
  Eigen::MatrixXd held(tiers, tiers);
  Eigen::VectorXd litre_years(tiers);
  for (int tier = 0; tier < tiers; ++tier) {
    const Traced traced = trace(alone, line, part_of(end, tier, 1.0), end.day);
    held.row(tier) = traced.of_tier_l;
    litre_years[tier] = traced.litre_years;
  }
  LongRun result;
  const Eigen::MatrixXd start = volume_l.asDiagonal();
  result.half_life_y = half_life(held * start.inverse(), period);
  if (!is_known(result.half_life_y))
    return {kUnknown, kUnknown, "nothing ever leaves under this habit, so the wine ages without end"};
  const Eigen::VectorXd mean_y = (start - held).partialPivLu().solve(litre_years);
  double drawn_l = 0.0, drawn_litre_years = 0.0;
  for (const DrawRecord& draw : run.draws) {
    const Traced traced = trace(alone, line, draw.wine, draw.day);
    drawn_litre_years += traced.litre_years + traced.of_tier_l.dot(mean_y);
    drawn_l += draw.volume_l;
  }
  if (drawn_l > 0.0) result.mean_y = drawn_litre_years / drawn_l;
  else result.why_not = "the habit draws nothing";
  return result;
}

/// The day of the last entry of the log or the opening; nothing if there is none.
std::optional<Date> last_entry(const Scenario& scenario) {
  std::optional<Date> last;
  for (const Opening& opening : scenario.opening) last = last ? std::max(*last, opening.date) : opening.date;
  for (const Entry& entry : scenario.log) last = last ? std::max(*last, entry.date) : entry.date;
  return last;
}

bool brings_one_lot_for_ever(const Scenario& scenario) {
  return std::any_of(scenario.habit.begin(), scenario.habit.end(),
                     [](const Routine& routine) { return routine.usual.refill.kind == HabitRefill::Kind::lot; });
}

}  // namespace

LongRun long_run(const Scenario& scenario) {
  if (scenario.habit.empty()) return {kUnknown, kUnknown, "the file states no habit"};
  Span past_only;
  past_only.habit = false;
  past_only.end_on = last_entry(scenario);
  const Timeline line = timeline(scenario, past_only);
  const Trajectory past = simulate(scenario, line);
  Stock start = past.looks.empty() ? Stock(scenario, 0) : past.looks.back();
  if (past.looks.empty())
    for (const Routine& routine : scenario.habit)
      if (routine.from) start.date = std::max(start.date, *routine.from);
  if (start.date.year == 0) return {kUnknown, kUnknown, "the habit has no day to start from"};
  const auto period = period_years(scenario);
  if (!period)
    return {kUnknown, kUnknown,
            "its routines meet again only after more than " + std::to_string(kLongestPeriodYears) + " years"};
  if (const std::string why = too_large(scenario, *period); !why.empty()) return {kUnknown, kUnknown, why};
  const auto settled = settled_volumes(scenario, start, *period);
  if (!settled) return {kUnknown, kUnknown, "the volumes do not settle under this habit"};
  LongRun result = solve(scenario, settled->volume_l, *period, settled->year + 1);
  if (scenario.clock == Clock::harvest && brings_one_lot_for_ever(scenario)) {
    result.mean_y = kUnknown;
    result.why_not = "every refill brings the same lot, so the wine ages without end";
  }
  return result;
}

}  // namespace tierce
