#include "engine/sulfur_years.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>
#include <numeric>

#include "engine/ageing.h"
#include "engine/simulate.h"

namespace tierce {
namespace {

constexpr int kPeriodsToSettle[] = {40, 160, 640, 2560};  // a draw of 1 % a year settles to 1e-9 in some 2000
constexpr double kSettled = 1e-9;                         // of the total, from one period to the next
constexpr double kNearlySettled = 0.01;

int period_years(const Scenario& scenario) {
  int months = 12;
  for (const Routine& routine : scenario.habit)
    if (routine.every_months > 0) months = std::lcm(months, routine.every_months);
  return months / 12;
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

std::vector<TestedMoment> in_years(const std::vector<TestedMoment>& moments, int after, int until) {
  std::vector<TestedMoment> chosen;
  std::copy_if(moments.begin(), moments.end(), std::back_inserter(chosen),
               [&](const TestedMoment& moment) { return moment.date.year > after && moment.date.year <= until; });
  return chosen;
}

bool alike(const std::vector<TestedMoment>& now, const std::vector<TestedMoment>& before, double part) {
  return std::equal(now.begin(), now.end(), before.begin(), before.end(), [&](const auto& a, const auto& b) {
    return a.row == b.row && a.at_draw == b.at_draw && std::abs(a.total_mg_l - b.total_mg_l) <= part * a.total_mg_l;
  });
}

/// The last period of a run until `until_year` is like the one before it.
bool settled(const std::vector<TestedMoment>& moments, int until_year, int period) {
  return alike(in_years(moments, until_year - period, until_year),
               in_years(moments, until_year - 2 * period, until_year - period), kSettled);
}

/// The first year from which on every period is like the last one.
int first_year_like_the_end(const SulfurLongRun& result, int period) {
  int year = result.until_year - period + 1;
  while (alike(result.steady, in_years(result.moments, year - period - 1, year - 1), kNearlySettled)) year -= period;
  return year;
}

/// The one dose that every year of a habit gives; empty if it is not that simple.
const TestedMoment* only_dose(const std::vector<TestedMoment>& steady) {
  const bool simple =
      steady.size() == 2 && !steady[0].at_draw && steady[1].at_draw && steady[0].row == 0 && steady[1].row == 0;
  return simple ? &steady[0] : nullptr;
}

/// Total just after the dose by the closed form of engine/sulfur.h: one tier, drawn, refilled and dosed once a year.
double closed_form_mg_l(const Scenario& endless, const std::vector<TestedMoment>& steady, const Trajectory& run) {
  const TestedMoment* dose = only_dose(steady);
  if (dose == nullptr || endless.tier_count() != 1 || endless.habit.size() != 1 || run.looks.empty()) return kUnknown;
  const Tier& tier = endless.tiers[0];
  const HabitDay& day = endless.habit[0].usual;
  const bool refilled = day.refill.kind != HabitRefill::Kind::none && !day.refill.volume_l;
  if (!refilled || !day.draw_first || tier.evaporation.kind != Evaporation::Kind::share) return kUnknown;
  const Stock& end = run.looks.back();
  const SulfurLoss loss = sulfur_loss_of(endless, end, 0);
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

/// One try: the habit until `until_year`. True if there is no use in going on further.
bool tried(SulfurLongRun& result, int until_year, int period) {
  result.until_year = until_year;
  const Timeline line = timeline(result.endless, {.until_year = until_year});
  const Trajectory run = simulate(result.endless, line);
  result.moments = tested_moments(result.endless, line);
  result.why_not = run.stopped
                       ? "the habit cannot be kept: on " + iso_text(run.stopped->date) + " " + run.stopped->problem.what
                       : "";
  if (run.stopped) return true;
  result.steady = in_years(result.moments, until_year - period, until_year);
  if (result.steady.empty()) result.why_not = "the habit neither draws nor doses";
  for (const TestedMoment& moment : result.steady)
    if (!is_known(moment.total_mg_l)) result.why_not = "the total SO2 of the wine is not known";
  if (result.why_not.empty() && settled(result.moments, until_year, period)) {
    result.settled_year = first_year_like_the_end(result, period);
    result.closed_form_mg_l = closed_form_mg_l(result.endless, result.steady, run);
    return true;
  }
  result.steady.clear();
  if (!result.why_not.empty()) return true;
  result.why_not = "the totals do not repeat: too little carries the SO2 off, or the volumes themselves do not repeat";
  return false;
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

/// By how much the level that exceeds its cap most does so (negative: keeps under it).
double excess_mg_l(const std::vector<TestedMoment>& moments, const std::vector<double>& caps, const SulfurCap& cap) {
  double most = -std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < caps.size() && i < moments.size(); ++i) {
    const double excess = moments[i].*cap.level - caps[i];
    if (std::isnan(excess)) return kUnknown;
    if (!moments[i].past) most = std::max(most, excess);
  }
  return most;
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

/// Runs a habit of plain doses with any size of dose.
struct Doser {
  const Scenario& plain;
  Timeline line;
  std::vector<TestedMoment> with(double dose_mg_l) {
    for (Event& event : line.events)
      if (auto* dose = std::get_if<Dose>(&event.act); dose != nullptr && !event.past) dose->value = dose_mg_l;
    return tested_moments(plain, line);
  }
};

/// The largest dose that keeps under the cap as far as the run goes; see largest_plain_dose_mg_l.
double largest_in(Doser& doser, const SulfurCap& cap) {
  const std::vector<TestedMoment> undosed = doser.with(0.0);
  std::vector<double> caps;
  double highest = 0.0;
  for (const TestedMoment& moment : undosed) {
    caps.push_back(cap.limit(moment));
    if (std::isfinite(caps.back())) highest = std::max(highest, caps.back());
  }
  const double least = excess_mg_l(undosed, caps, cap);
  if (!(least <= 0.0) || std::isinf(least)) return -least;
  const auto excess = [&](double dose_mg_l) { return excess_mg_l(doser.with(dose_mg_l), caps, cap); };
  constexpr double kNoDoseReaches = 1e6;  // mg/L
  double most = highest, over = excess(most);
  while (over <= 0.0 && most < kNoDoseReaches) over = excess(most *= 4.0);
  if (std::isnan(over)) return kUnknown;
  if (over <= 0.0) return std::numeric_limits<double>::infinity();
  return crossing(excess, 0.0, least, most, over, 1e-10 * highest);
}

}  // namespace

SulfurLongRun sulfur_long_run(const Scenario& scenario) {
  SulfurLongRun result;
  result.endless = with_one_lot(scenario);
  if (scenario.habit.empty()) {
    result.why_not = "the file states no habit";
    return result;
  }
  const int period = period_years(scenario);
  int& first = result.first_year;
  first = last_year(scenario, {.until_year = 0, .looks = {}, .habit = false, .end_on = {}});
  for (const Routine& routine : scenario.habit) {
    if (routine.from) first = std::max(first, routine.from->year);
    if (!routine.except.empty()) first = std::max(first, routine.except.rbegin()->first);
  }
  for (const int periods : kPeriodsToSettle)
    if (tried(result, first + periods * period, period)) break;
  return result;
}

double largest_plain_dose_mg_l(const SulfurLongRun& long_run, const SulfurCap& cap) {
  if (!long_run.why_not.empty()) return kUnknown;
  const Scenario plain = with_plain_doses(long_run.endless);
  const int period = period_years(plain);
  for (const int periods : kPeriodsToSettle) {
    const int until_year = long_run.first_year + periods * period;
    if (until_year < long_run.until_year) continue;
    Doser doser{plain, timeline(plain, {.until_year = until_year})};
    const double dose_mg_l = largest_in(doser, cap);
    if (!is_known(dose_mg_l) || dose_mg_l < 0.0 || std::isinf(dose_mg_l)) return dose_mg_l;
    if (settled(doser.with(dose_mg_l), until_year, period)) return dose_mg_l;
  }
  return kUnknown;
}

}  // namespace tierce
