// The twin's calendar, the order of what is done, and the run from the first day to the last.
#include <algorithm>
#include <stdexcept>

#include "tests/twin/slow_twin.h"

namespace tierce::twin {
namespace {

bool has_29_february(int year) { return year % 400 == 0 || (year % 4 == 0 && year % 100 != 0); }

int length_of_month(int year, int month) {
  if (month == 2) return has_29_february(year) ? 29 : 28;
  return month == 4 || month == 6 || month == 9 || month == 11 ? 30 : 31;
}

Date on_day_of_year(const DayOfYear& day, int year) {
  return {year, day.month, std::min(day.day, length_of_month(year, day.month))};
}

const int kDefaultForecastYears = 20;  // where neither `until` nor the caller says

Date last_of_log_or_opening(const Scenario& scenario) {
  Date last{0, 1, 1};
  for (const Entry& entry : scenario.log) last = std::max(last, entry.date);
  if (!scenario.log.empty()) return last;
  for (const Opening& opening : scenario.opening) last = std::max(last, opening.date);
  return last;
}

Date last_refill(const Scenario& scenario) {
  Date last{0, 1, 1};
  for (const Entry& entry : scenario.log)
    if (std::holds_alternative<Refill>(entry.action)) last = std::max(last, entry.date);
  return last;
}

int last_year(const Scenario& scenario) {
  if (scenario.until) return *scenario.until;
  return last_of_log_or_opening(scenario).year + (scenario.habit.empty() ? 0 : kDefaultForecastYears);
}

/// The days of a routine (design decision 5): after the last log entry (or from the opening on, if there is no log),
/// more than half a period after its last refill.
std::vector<Date> days_of(const Scenario& scenario, const Routine& routine) {
  const Date not_before = std::max(last_of_log_or_opening(scenario), routine.from.value_or(Date{0, 1, 1}));
  const Date refilled = last_refill(scenario);
  const double half_period_y = routine.every_months > 0 ? routine.every_months / 12.0 / 2.0 : 0.5;
  std::vector<Date> days;
  Date day = routine.every_months > 0 ? *routine.from : on_day_of_year(*routine.day, not_before.year);
  for (int n = 1; day.year <= last_year(scenario); ++n) {
    const bool too_soon = refilled.year > 0 && (day_of(day) - day_of(refilled)) / 365.0 <= half_period_y;
    const bool logged = !scenario.log.empty() && day <= last_of_log_or_opening(scenario);
    if (day >= not_before && !logged && !too_soon) days.push_back(day);
    day = routine.every_months > 0 ? months_later(*routine.from, n * routine.every_months)
                                   : on_day_of_year(*routine.day, not_before.year + n);
  }
  return days;
}

bool used_in_book(const Scenario& scenario, int lot) {
  for (const Opening& opening : scenario.opening)
    for (const Opening::Part& part : opening.parts)
      if (part.lot == lot) return true;
  for (const Entry& entry : scenario.log) {
    if (const auto* add = std::get_if<Add>(&entry.action))
      if (add->lot == lot) return true;
    if (const auto* refill = std::get_if<Refill>(&entry.action))
      if (!refill->from && refill->lot == lot) return true;
  }
  return false;
}

Composition with_changes(Composition wine, const Composition& changed) {
  for (double Composition::*value : {&Composition::alcohol_pct, &Composition::sugar_g_l, &Composition::acidity_g_l,
                                     &Composition::so2_free_mg_l, &Composition::so2_total_mg_l})
    if (is_known(changed.*value)) wine.*value = changed.*value;
  return wine;
}

bool same(double x, double y) { return x == y || (!is_known(x) && !is_known(y)); }

bool same_composition(const Composition& a, const Composition& b) {
  return same(a.alcohol_pct, b.alcohol_pct) && same(a.sugar_g_l, b.sugar_g_l) && same(a.acidity_g_l, b.acidity_g_l) &&
         same(a.so2_free_mg_l, b.so2_free_mg_l) && same(a.so2_total_mg_l, b.so2_total_mg_l);
}

/// Finds the source with this name, this wine and this cost; where the name is taken by another wine, the next is `name
/// (2)`.
int source_of(Cellar& cellar, Source source) {
  const std::string name = source.name;
  for (int again = 2;; ++again) {
    const auto known = std::find_if(cellar.sources.begin(), cellar.sources.end(),
                                    [&](const Source& other) { return other.name == source.name; });
    if (known == cellar.sources.end()) break;
    if (same_composition(known->wine, source.wine) && same(known->cost_per_l, source.cost_per_l))
      return static_cast<int>(known - cellar.sources.begin());
    source.name = name + " (" + std::to_string(again) + ")";
  }
  cellar.sources.push_back(source);
  cellar.ways.emplace_back();
  return static_cast<int>(cellar.sources.size()) - 1;
}

Date last_harvest(const Lot& like, const Date& day) {
  const DayOfYear of_year{like.harvested.month, like.harvested.day};
  const Date harvest = on_day_of_year(of_year, day.year);
  return harvest > day ? on_day_of_year(of_year, day.year - 1) : harvest;
}

/// The lot of a habit's refill (design decision 12): one a harvest, or a stated lot of that vintage which is not used
/// yet. A lot that was harvested in the year after its vintage is followed by lots that are so too.
int lot_of_habit(Cellar& cellar, const HabitRefill& refill, const Date& day) {
  const Scenario& scenario = *cellar.scenario;
  if (refill.kind == HabitRefill::Kind::lot) return refill.lot;
  const Lot& like = scenario.lots[at(refill.lot)];
  const Date harvest = last_harvest(like, day);
  const int vintage = like.vintage + harvest.year - like.harvested.year;
  for (int lot = 0; lot < static_cast<int>(scenario.lots.size()); ++lot) {
    const Lot& stated = scenario.lots[at(lot)];
    if (stated.vintage == vintage && stated.harvested <= day && !used_in_book(scenario, lot)) return lot;
  }
  return source_of(cellar,
                   {.name = like.name + "/" + std::to_string(vintage),
                    .harvested_day = day_of(harvest),
                    .vintage = vintage,
                    .wine = with_changes(like.wine, refill.changed),
                    .cost_per_l = is_known(refill.cost.per_litre) ? refill.cost.per_litre : like.cost.per_litre});
}

Draw draw_of(const Cellar& cellar, const HabitDay& doing, const Date& day) {
  std::string name = doing.name;
  if (const auto year = name.find("{year}"); year != std::string::npos) name.replace(year, 6, std::to_string(day.year));
  return {Place{{}, static_cast<int>(cellar.scenario->tiers.size()) - 1, -1}, *doing.draw, name, Use::bottling, {}};
}

Refill refill_of(Cellar& cellar, const HabitDay& doing, const Date& day) {
  const RefillOrder usual = doing.draw_first ? RefillOrder::oldest_first : RefillOrder::youngest_first;
  return {lot_of_habit(cellar, doing.refill, day), {}, doing.refill.order.value_or(usual), doing.refill.volume_l, {}};
}

void add_habit_day(Cellar& cellar, const HabitDay& doing, const Date& day, std::vector<Deed>& deeds) {
  const auto add = [&](const auto& action) {
    Deed& deed = deeds.emplace_back();
    deed.date = day;
    deed.at = doing.at;
    deed.action = action;
  };
  if (doing.draw && doing.draw_first) add(draw_of(cellar, doing, day));
  if (doing.refill.kind != HabitRefill::Kind::none) add(refill_of(cellar, doing, day));
  if (doing.draw && !doing.draw_first) add(draw_of(cellar, doing, day));
  for (const Dose& dose : doing.doses) add(dose);
}

/// Wine that was made into a tank is in the book from that day on; its lees leave on the same day.
void add_lot_in_tank(const Lot& lot, int index, std::vector<Deed>& deeds) {
  if (!lot.made || !lot.made->in || !lot.made->date) return;
  const auto litres = [&](double value) { return Amount{lot.made->at, Amount::Kind::litres, value, 0.0}; };
  const Add all{index, lot.made->at, *lot.made->in, litres(lot.made->volume_l)};
  deeds.push_back({*lot.made->date, lot.made->at, true, nullptr, all});
  if (!(lot.made->lees_fraction > 0.0)) return;
  const Lose lees{*lot.made->in, litres(lot.made->lees_fraction * lot.made->volume_l), "lees"};
  deeds.push_back({*lot.made->date, lot.made->at, true, nullptr, lees});
}

void note(Outcome& outcome, Refusal refusal, const Date& date, bool past) {
  refusal.date = date;
  if (past) outcome.left_out.push_back(refusal);
  else outcome.stopped = refusal;
}

/// Does one deed, and looks at the capacities if its day ends with it. False if the run ends here.
bool does(Outcome& outcome, const std::vector<Deed>& deeds, std::size_t index) {
  const Deed& deed = deeds[index];
  if (auto refusal = age_to(outcome.cellar, day_of(deed.date))) {
    note(outcome, *refusal, deed.date, deed.past);
    return false;
  }
  if (auto refusal = perform(outcome.cellar, deed)) note(outcome, *refusal, deed.date, deed.past);
  if (outcome.stopped) return false;
  if (index + 1 < deeds.size() && deeds[index + 1].date == deed.date) return true;
  soak(outcome.cellar);
  if (auto refusal = overfull(outcome.cellar)) note(outcome, *refusal, deed.date, deed.past);
  return !outcome.stopped;
}

}  // namespace

int day_of(const Date& date) {
  int day = 365 * date.year + date.day - 1;
  for (int month = 1; month < date.month; ++month) day += month == 2 ? 28 : length_of_month(date.year, month);
  return day;
}

Date months_later(Date date, int months) {
  const int day = date.day;
  for (; months > 0; --months) date = date.month == 12 ? Date{date.year + 1, 1, 1} : Date{date.year, date.month + 1, 1};
  return {date.year, date.month, std::min(day, length_of_month(date.year, date.month))};
}

std::vector<Deed> deeds_in_order(Cellar& cellar) {
  const Scenario& scenario = *cellar.scenario;
  std::vector<Deed> deeds;
  for (const Opening& opening : scenario.opening) deeds.push_back({opening.date, opening.at, true, &opening, {}});
  for (std::size_t i = 0; i < scenario.lots.size(); ++i) add_lot_in_tank(scenario.lots[i], static_cast<int>(i), deeds);
  for (const Entry& entry : scenario.log) deeds.push_back({entry.date, entry.at, true, nullptr, entry.action});
  for (const Routine& routine : scenario.habit)
    for (const Date& day : days_of(scenario, routine)) {
      const auto differs = routine.except.find(day.year);
      add_habit_day(cellar, differs == routine.except.end() ? routine.usual : differs->second, day, deeds);
    }
  std::stable_sort(deeds.begin(), deeds.end(), [](const Deed& a, const Deed& b) { return a.date < b.date; });
  return deeds;
}

int last_day(const Scenario& scenario, const std::vector<Deed>& deeds) {
  const Date last = deeds.back().date;
  const bool whole_years = scenario.until || !scenario.habit.empty();
  return whole_years ? 365 * (std::max(last_year(scenario), last.year) + 1) : day_of(last);
}

Outcome run(const Scenario& scenario) {
  Outcome outcome{empty_cellar(scenario), {}, {}};
  const std::vector<Deed> deeds = deeds_in_order(outcome.cellar);
  if (deeds.empty()) return outcome;
  outcome.cellar.day = day_of(deeds.front().date);
  for (std::size_t index = 0; index < deeds.size(); ++index)
    if (!does(outcome, deeds, index)) return outcome;
  if (auto refusal = age_to(outcome.cellar, last_day(scenario, deeds)))
    note(outcome, *refusal, deeds.back().date, scenario.habit.empty());
  return outcome;
}

}  // namespace tierce::twin
