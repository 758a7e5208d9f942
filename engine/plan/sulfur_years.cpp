#include "engine/plan/sulfur_years.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>

#include "engine/run/ageing.h"
#include "engine/run/simulate.h"

namespace tierce {
namespace {

constexpr int kYearsToRun[] = {40, 160, 640};  // until volumes and strengths repeat; the walk goes on from there
constexpr int kFewestPeriods = 3;              // two to be compared, and what comes before them
constexpr double kMostDays = 20000.0;          // x rows, of the longest run: it then takes some tenths of a second
constexpr double kStrengthAlike = 1e-4;        // of the strength: it moves the pK by 1e-4 then
constexpr double kNearlySettled = 0.01;

double period_years(const Scenario& scenario) {
  double months = 12.0;  // a number as large as it may get
  for (const Routine& routine : scenario.habit)
    if (routine.every_months > 0) {
      const int shared = std::gcd(static_cast<int>(std::fmod(months, routine.every_months)), routine.every_months);
      const int factor = routine.every_months / shared;  // without a rest
      months *= factor;
    }
  return months / 12.0;
}

/// Days of the habit in so many years, each counted for every row.
double days_in(const Scenario& scenario, double years) {
  double days = years;  // each closes with an entry of its own
  for (const Routine& routine : scenario.habit)
    days += years * (routine.every_months > 0 ? 12.0 / routine.every_months : 1.0);
  return days * scenario.rows();
}

/// A lot with the values that a refill changes.
Lot lot_of(const Scenario& scenario, const HabitRefill& refill) {
  constexpr double Composition::*kValues[] = {&Composition::alcohol_pct,
                                              &Composition::sugar_g_l,
                                              &Composition::acidity_g_l,
                                              &Composition::va_g_l,
                                              &Composition::ph,
                                              &Composition::so2_free_mg_l,
                                              &Composition::so2_total_mg_l,
                                              &Composition::acetaldehyde_mg_l,
                                              &Composition::pyruvic_mg_l,
                                              &Composition::oxoglutaric_mg_l,
                                              &Composition::galacturonic_mg_l,
                                              &Composition::sulfate_g_l};
  Lot lot = scenario.lots[static_cast<std::size_t>(refill.lot)];
  for (const auto value : kValues)
    if (is_known(refill.changed.*value)) lot.wine.*value = refill.changed.*value;
  lot.harvested = {1, 1, 1};  // before any refresh
  return lot;
}

/// The scenario with one lot for all new wine of a refill. Ages do not matter here, so the clock is the cheapest.
Scenario with_one_lot(Scenario scenario) {
  scenario.clock = Clock::harvest;
  const auto merge = [&](HabitDay& day) {
    if (day.refill.kind != HabitRefill::Kind::like) return;
    scenario.lots.push_back(lot_of(scenario, day.refill));
    day.refill.kind = HabitRefill::Kind::lot;
    day.refill.lot = static_cast<int>(scenario.lots.size()) - 1;
  };
  for (Routine& routine : scenario.habit) {
    merge(routine.usual);
    for (auto& [year, day] : routine.except) merge(day);
  }
  return scenario;
}

using Moments = std::vector<TestedMoment>;

/// Those of the years after `after` and up to `until`, of moments in the order of time.
std::pair<Moments::const_iterator, Moments::const_iterator> in_years(const Moments& moments, int after, int until) {
  const auto later = [](int year, const TestedMoment& moment) { return year < moment.date.year; };
  return {std::upper_bound(moments.begin(), moments.end(), after, later),
          std::upper_bound(moments.begin(), moments.end(), until, later)};
}

/// The first year from which on every period is like the last one.
int first_year_like_the_end(const Moments& moments, int until_year, int period) {
  const auto alike = [](const TestedMoment& a, const TestedMoment& b) {
    return a.row == b.row && a.at_draw == b.at_draw &&
           std::abs(a.total_mg_l - b.total_mg_l) <= kNearlySettled * a.total_mg_l;
  };
  const auto [from, to] = in_years(moments, until_year - period, until_year);
  for (int year = until_year - period + 1;; year -= period) {
    const auto [first, last] = in_years(moments, year - period - 1, year - 1);
    if (first == last || !std::equal(from, to, first, last, alike)) return year;
  }
}

/// The one dose that every year of a habit gives; empty if it is not that simple.
const TestedMoment* only_dose(const std::vector<TestedMoment>& steady) {
  const bool simple =
      steady.size() == 2 && !steady[0].at_draw && steady[1].at_draw && steady[0].row == 0 && steady[1].row == 0;
  return simple ? &steady[0] : nullptr;
}

/// Total just after the dose by the closed form of engine/wine/sulfur.h: one tier, drawn, refilled and dosed once a
/// year.
double closed_form_mg_l(const Scenario& endless, const std::vector<TestedMoment>& steady, const Trajectory& run) {
  const TestedMoment* dose = only_dose(steady);
  if (dose == nullptr || endless.tier_count() != 1 || endless.habit.size() != 1 || run.looks.empty()) return kUnknown;
  const Tier& tier = endless.tiers[0];
  const HabitDay& day = endless.habit[0].usual;
  const bool refilled = day.refill.kind != HabitRefill::Kind::none && !day.refill.volume_l;
  if (!refilled || !day.draw_first || tier.evaporation.kind != Evaporation::Kind::share) return kUnknown;
  const Stock& end = run.looks.back();
  const SulfurLoss loss = sulfur_loss_of(ageing_of(endless, 0), is_known(end.solutes(0, kAldehyde)));
  const double acetaldehyde_mg_l = run.doses.back().after.acetaldehyde_mg_l;
  if (loss.law == SulfurLoss::Law::of_free && !is_known(acetaldehyde_mg_l)) return kUnknown;
  if (loss.law != SulfurLoss::Law::of_total && endless.so2_steps != 1) return kUnknown;
  YearlyCycle cycle;
  cycle.evaporation_fraction = tier.evaporation.per_year;
  cycle.draw_fraction = run.draws.back().volume_l / (run.doses.back().litres * (1.0 - cycle.evaporation_fraction));
  cycle.new_wine_total_mg_l = endless.lots[static_cast<std::size_t>(day.refill.lot)].wine.so2_total_mg_l;
  cycle.dose_mg_l = dose->dose_mg_l;
  return steady_total_mg_l(cycle, loss, {.acetaldehyde_mg_l = is_known(acetaldehyde_mg_l) ? acetaldehyde_mg_l : 0.0});
}

/// Strengths as a period before.
bool strengths_repeat(const SulfurPath& path) {
  const std::size_t count = path.moments.size() - path.moments_from;
  for (std::size_t i = path.moments_from; i < path.moments.size() && count <= i; ++i) {
    const double now = path.moments[i].alcohol_pct, before = path.moments[i - count].alcohol_pct;
    if (std::abs(now - before) > kStrengthAlike * now) return false;
  }
  return true;
}

/// The habit run until its volumes and strengths repeat, or as long as may be.
struct HabitRun {
  Trajectory run;
  SulfurPath path;
};
HabitRun habit_run(const Scenario& endless, int first_year, int period) {
  HabitRun habit;
  for (const int years : kYearsToRun) {
    const int most = static_cast<int>(kMostDays / days_in(endless, period));
    const int periods = std::max(kFewestPeriods, (years + period - 1) / period);
    const int until_year = first_year + std::min(periods, most) * period;
    const Timeline line = timeline(endless, {.until_year = until_year});
    habit.run = simulate(endless, line, Keep::acts);
    if (habit.run.stopped) return habit;
    habit.path = sulfur_path(habit.run, period);
    if ((habit.path.repeats && strengths_repeat(habit.path)) || most <= periods) break;
  }
  return habit;
}

/// Moments of the book, and of what follows it.
Moments in_order_of_time(const Trajectory& run, const Moments& walked) {
  Moments moments;
  for (const TestedMoment& moment : tested_moments(run))
    if (moment.date <= run.before_acts->date) moments.push_back(moment);
  const auto earlier = [](const TestedMoment& a, const TestedMoment& b) { return a.date < b.date; };
  std::stable_sort(moments.begin(), moments.end(), earlier);
  moments.insert(moments.end(), walked.begin(), walked.end());
  return moments;
}

Unsettled why_unsettled(const Moments& last, bool settled) {
  if (last.empty()) return Unsettled::does_nothing;
  for (const TestedMoment& moment : last)
    if (!is_known(moment.total_mg_l)) return Unsettled::total_not_known;
  return settled ? Unsettled::no : Unsettled::does_not_repeat;
}

/// Where the habit leads with the doses that it asks for.
void lead_on(SulfurLongRun& result, int period) {
  const HabitRun habit = habit_run(result.endless, result.first_year, period);
  if (habit.run.stopped) {
    result.unsettled = Unsettled::cannot_be_kept;
    result.stopped = habit.run.stopped;
    return;
  }
  SulfurWalk walk(result.endless, habit.path);
  const bool settled = walk.go();
  Moments last = walk.last_period();
  result.unsettled = why_unsettled(last, settled);
  if (!habit.run.before_acts) return;
  result.moments = in_order_of_time(habit.run, walk.moments());
  if (!result.settles()) return;
  result.settled_year = first_year_like_the_end(result.moments, walk.last_year(), period);
  std::stable_partition(last.begin(), last.end(), [](const TestedMoment& moment) { return !moment.at_draw; });
  result.steady = std::move(last);
  result.closed_form_mg_l = closed_form_mg_l(result.endless, result.steady, habit.run);
}

/// Plain doses alone, one for each row that a day doses.
void make_plain(HabitDay& day) {
  std::vector<Dose> plain;
  for (const Dose& dose : day.doses) {
    const bool twice = std::any_of(plain.begin(), plain.end(), [&](const Dose& other) {
      return !other.place || (dose.place && other.place->row == dose.place->row);
    });
    if (twice) continue;
    if (!dose.place) plain.clear();
    plain.push_back(Dose{.place = dose.place, .at = dose.at});
  }
  day.doses = plain;
}

/// Where a function that rises from `f_low` at or below 0 to `f_high` above it crosses 0, by false position (Illinois).
template <class Rising>
double crossing(Rising f, double low, double f_low, double high, double f_high, double precision) {
  for (int side = 0, i = 0; i < 200 && high - low > precision; ++i) {
    const double x = (low * f_high - high * f_low) / (f_high - f_low), f_x = f(x);
    if (std::isnan(f_x) || std::abs(f_x) <= precision) return std::isnan(f_x) ? f_x : x;
    if (f_x < 0.0) {
      low = x, f_low = f_x;
      if (side < 0) f_high /= 2.0;
      side = -1;
    } else {
      high = x, f_high = f_x;
      if (side > 0) f_low /= 2.0;
      side = 1;
    }
  }
  return low;
}

Scenario with_plain_doses(Scenario scenario) {
  for (Routine& routine : scenario.habit) {
    make_plain(routine.usual);
    for (auto& [year, day] : routine.except) make_plain(day);
  }
  return scenario;
}

/// The caps of the moments of a walk, worked out once: they hang on sugar and strength, which no dose changes.
class Caps {
 public:
  explicit Caps(const SulfurCap& cap) : cap_(cap) {}
  /// By how much the level that exceeds its cap most does so (negative: keeps under it).
  double excess_mg_l(const Moments& moments) {
    double most = -std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < moments.size(); ++i) {
      if (i == caps_.size()) caps_.push_back(cap_.limit(moments[i]));
      const double excess = moments[i].*cap_.level - caps_[i];
      if (std::isnan(excess)) return kUnknown;
      most = std::max(most, excess);
    }
    return most;
  }
  double highest_mg_l() const {
    double highest = 0.0;
    for (const double cap : caps_)
      if (std::isfinite(cap)) highest = std::max(highest, cap);
    return highest;
  }

 private:
  const SulfurCap& cap_;
  std::vector<double> caps_;
};

}  // namespace

SulfurLongRun sulfur_long_run(const Scenario& scenario) {
  SulfurLongRun result;
  result.endless = with_one_lot(scenario);
  if (scenario.habit.empty()) {
    result.unsettled = Unsettled::no_habit;
    return result;
  }
  int& first = result.first_year;
  first = last_year(scenario, {.until_year = 0, .looks = {}, .habit = false, .end_on = {}});
  for (const Routine& routine : scenario.habit) {
    if (routine.from) first = std::max(first, routine.from->year);
    if (!routine.except.empty()) first = std::max(first, routine.except.rbegin()->first);
  }
  result.period_years = period_years(scenario);
  if (days_in(result.endless, kFewestPeriods * result.period_years) > kMostDays) {
    result.unsettled = result.period_years > 1.0 ? Unsettled::meets_too_late : Unsettled::too_many_tiers;
    return result;
  }
  const int period = static_cast<int>(result.period_years);
  lead_on(result, period);
  if (!result.settles()) return result;
  result.plain = with_plain_doses(result.endless);
  result.plain_path = habit_run(result.plain, first, period).path;
  return result;
}

double largest_plain_dose_mg_l(const SulfurLongRun& long_run, const SulfurCap& cap) {
  if (!long_run.settles()) return kUnknown;
  Caps caps(cap);
  bool settled = true;
  const auto excess = [&](double dose_mg_l) {
    SulfurWalk walk(long_run.plain, long_run.plain_path, dose_mg_l);
    settled = walk.go();
    return caps.excess_mg_l(walk.moments());
  };
  const double least = excess(0.0), highest = caps.highest_mg_l();
  if (!(least <= 0.0) || std::isinf(least)) return -least;
  constexpr double kNoDoseReaches = 1e6;  // mg/L
  double most = highest, over = excess(most);
  while (over <= 0.0 && most < kNoDoseReaches) over = excess(most *= 4.0);
  if (std::isnan(over)) return kUnknown;
  if (over <= 0.0) return std::numeric_limits<double>::infinity();
  const double dose_mg_l = crossing(excess, 0.0, least, most, over, 1e-10 * highest);
  return is_known(excess(dose_mg_l)) && settled ? dose_mg_l : kUnknown;
}

}  // namespace tierce
