#include "engine/plan/refresh.h"

#include <algorithm>
#include <cmath>

#include "engine/run/routine.h"
#include "engine/run/simulate.h"

namespace tierce {
namespace {

constexpr double kPourStepL = 0.01;      // pours between vessels are rounded to this
constexpr int kLongestPeriodYears = 51;  // 600 months is the longest period that a routine can have
constexpr int kHalvings = 40;            // of the search for a draw that goes

RefreshRefusal refused(RefreshFault fault, const Date& date = {}) {
  RefreshRefusal refusal;
  refusal.fault = fault;
  refusal.date = date;
  return refusal;
}

RefreshRefusal refused(RefreshFault fault, const Date& date, const Problem& problem) {
  RefreshRefusal refusal = refused(fault, date);
  refusal.problem = problem;
  return refusal;
}

Date last_of_book(const Scenario& scenario) {
  Date last{0, 1, 1};
  for (const Opening& opening : scenario.opening) last = std::max(last, opening.date);
  for (const Entry& entry : scenario.log) last = std::max(last, entry.date);
  return last;
}

void change(HabitDay& doing, const RefreshWish& wish) {
  if (wish.draw) doing.draw = wish.draw;
  const int lot = wish.lots.empty() ? wish.lot.value_or(-1) : wish.lots.front().first;
  if (lot < 0) return;
  doing.refill.kind = HabitRefill::Kind::lot;
  doing.refill.lot = lot;
}

/// The scenario with its habit as wished for; with a habit of one day where it has none.
Scenario wished(const Scenario& scenario, const RefreshWish& wish) {
  Scenario changed = scenario;
  const bool something = wish.draw || wish.lot || !wish.lots.empty();
  if (changed.habit.empty() && something && wish.on) {
    Routine routine;
    routine.day = DayOfYear{wish.on->month, wish.on->day};
    changed.habit.push_back(routine);
  }
  for (Routine& routine : changed.habit) {
    if (wish.on && &routine != routine_on(changed, *wish.on)) continue;
    change(routine.usual, wish);
    for (auto& [year, doing] : routine.except) change(doing, wish);
  }
  return changed;
}

std::optional<Date> next_day(const Scenario& scenario) {
  const Span span{.until_year = std::max(1, last_of_book(scenario).year) + kLongestPeriodYears};
  for (const Event& event : timeline(scenario, span).events)
    if (!event.past && (std::holds_alternative<Draw>(event.act) || std::holds_alternative<Refill>(event.act)))
      return event.date;
  return std::nullopt;
}

Ran ran(const Scenario& scenario, const Date& date) {
  Ran result{timeline(scenario, {.habit = false, .end_on = date}), {}};
  result.run = simulate(scenario, result.line);
  return result;
}

Scenario with_entries(const Scenario& base, const std::vector<PlannedEntry>& entries) {
  Scenario booked = base;
  for (const PlannedEntry& planned : entries) booked.log.push_back(planned.entry);
  return booked;
}

/// New wine from several lots: the tiers below are filled in the refill's own order, and with "oldest first" the last
/// lot fills what is left, so that the target is met.
void refill_from_lots(std::vector<PlannedEntry>& entries, const PlannedEntry& planned, const RefreshWish& wish) {
  const bool oldest_first = std::get<Refill>(planned.entry.action).order == RefillOrder::oldest_first;
  const auto add = [&](std::size_t i, bool to_target) {
    PlannedEntry one = planned;
    auto& refill = std::get<Refill>(one.entry.action);
    refill.lot = wish.lots[i].first;
    refill.volume_l = to_target ? std::optional<double>() : wish.lots[i].second;
    entries.push_back(one);
  };
  const std::size_t last = wish.lots.size() - 1;
  const bool stated = std::get<Refill>(planned.entry.action).volume_l.has_value();
  if (oldest_first) {
    for (std::size_t i = 0; i <= last; ++i) add(i, i == last && !stated);
    return;
  }
  for (std::size_t i = 0; i < last; ++i) {
    PlannedEntry one = planned;
    one.entry.action = Add{wish.lots[i].first, planned.entry.at, Place{planned.entry.at, 0, -1},
                           Amount{planned.entry.at, Amount::Kind::litres, wish.lots[i].second, 0.0}};
    entries.push_back(one);
  }
  add(last, false);
}

std::vector<PlannedEntry> entries_of(const Timeline& line, const Date& date, const RefreshWish& wish) {
  std::vector<PlannedEntry> entries;
  for (const Event& event : line.events) {
    if (event.past) continue;
    PlannedEntry planned{{event.at, event.date, Draw{}, "", ""}, event.date == date, false};
    if (const auto* draw = std::get_if<Draw>(&event.act)) planned.entry.action = *draw;
    else if (const auto* refill = std::get_if<Refill>(&event.act)) planned.entry.action = *refill;
    else if (const auto* dose = std::get_if<Dose>(&event.act)) planned.entry.action = *dose;
    else continue;
    const bool from_lots = planned.of_the_day && !wish.lots.empty() && std::holds_alternative<Refill>(event.act);
    if (from_lots) refill_from_lots(entries, planned, wish);
    else entries.push_back(planned);
  }
  return entries;
}

// Levels of the vessels.

/// What each vessel of a row may be filled to; nothing for one that is not in the cellar that day.
std::vector<double> brims_of(const Stock& stock, int row, double ullage_part) {
  std::vector<double> brim_l;
  for (const double capacity_l : stock.levels.capacities_of(row)) brim_l.push_back(capacity_l * (1.0 - ullage_part));
  return brim_l;
}

Problem too_full(const Tier& tier, double litres, double capacity_l, double ullage_part) {
  const auto text = [](double l) { return std::to_string(static_cast<long long>(std::floor(l))) + " L"; };
  const double tenths = std::floor(std::max(0.0, 1.0 - litres / capacity_l) * 1000.0) / 10.0;
  std::string percent = std::to_string(tenths);
  percent.resize(percent.find('.') + 2);
  return {tier.at,
          "tier '" + tier.name + "' cannot keep the ullage that is wanted with " + text(std::ceil(litres)) + " in it",
          "a target up to " + text(capacity_l * (1.0 - ullage_part)) + ", or an ullage of up to " + percent + " %", ""};
}

bool takes_part(const RefreshPlan& plan, int row) {
  for (const DrawRecord* draw : draws_of_day(plan))
    if (draw->row == row) return true;
  const RefreshRecord* refresh = refresh_of_day(plan);
  if (refresh == nullptr) return false;
  if (row == 0 && refresh->new_wine_l > 0.0) return true;
  return std::any_of(refresh->moves.begin(), refresh->moves.end(),
                     [&](const Pour& pour) { return pour.from == row || pour.to == row; });
}

/// Moves between the vessels of a row that bring them to the levels wanted.
void pour_to_levels(const RefreshPlan& plan, TierFilling& tier, std::vector<PlannedEntry>& moves) {
  const auto levels = plan.after.stock().levels.of(tier.row);
  const std::vector<double> now_l(levels.begin(), levels.end());
  for (std::size_t i = 0; i < now_l.size(); ++i)
    if (std::abs(now_l[i] - tier.filling.level_l[i]) > kSameLevelL) tier.poured = true;
  if (!tier.poured) return;
  for (const VesselPour& pour : pours_between(now_l, tier.filling.level_l, kPourStepL)) {
    const Move move{Place{{}, tier.row, static_cast<int>(pour.from)}, Place{{}, tier.row, static_cast<int>(pour.to)},
                    Amount{{}, Amount::Kind::litres, pour.litres, 0.0}};
    moves.push_back({{{}, plan.date, move, "", ""}, true, true});
  }
}

/// Levels first, sulfur last: a dose belongs to the litres that a vessel ends up with.
void put_before_doses(std::vector<PlannedEntry>& entries, const std::vector<PlannedEntry>& moves) {
  const auto dose = std::find_if(entries.begin(), entries.end(), [](const PlannedEntry& planned) {
    return planned.of_the_day && std::holds_alternative<Dose>(planned.entry.action);
  });
  entries.insert(dose, moves.begin(), moves.end());
}

std::optional<RefreshRefusal> fill_tiers(RefreshPlan& plan, const RefreshWish& wish) {
  std::vector<PlannedEntry> moves;
  for (int row = 0; row < plan.base.tier_count(); ++row) {
    if (!takes_part(plan, row)) continue;
    const Tier& tier = plan.base.tiers[static_cast<std::size_t>(row)];
    const double litres = plan.after.stock().volume[row];
    const double ullage_part = wish.ullage_part.value_or(tier.ullage_part);
    const std::vector<double> brim_l = brims_of(plan.after.stock(), row, ullage_part);
    auto filling = fill_vessels(brim_l, litres, wish.level.value_or(tier.level));
    if (!filling) {
      double brims_l = 0.0;
      for (const double brim : brim_l) brims_l += brim;
      const double capacity_l = brims_l / (1.0 - ullage_part);
      RefreshRefusal refusal =
          refused(RefreshFault::ullage, plan.date, too_full(tier, litres, capacity_l, ullage_part));
      refusal.row = row;
      refusal.short_l = brims_l - litres;
      return refusal;
    }
    plan.fillings.push_back({row, std::move(*filling), false});
    pour_to_levels(plan, plan.fillings.back(), moves);
  }
  if (moves.empty()) return std::nullopt;
  put_before_doses(plan.entries, moves);
  plan.booked = with_entries(plan.base, plan.entries);
  plan.after = ran(plan.booked, plan.date);
  return std::nullopt;
}

/// The plan's own records are no past.
void mark_as_planned(RefreshPlan& plan) {
  const auto of_plan = [&](const Date& date) { return date > plan.book_end; };
  Trajectory& run = plan.after.run;
  for (std::size_t i = 0; i < run.draws.size(); ++i)
    if (of_plan(run.draws[i].date) || i >= plan.before.run.draws.size()) run.draws[i].past = false;
  for (std::size_t i = 0; i < run.doses.size(); ++i)
    if (of_plan(run.doses[i].date) || i >= plan.before.run.doses.size()) run.doses[i].past = false;
  for (std::size_t i = 0; i < run.refreshes.size(); ++i) {
    RefreshRecord& refresh = run.refreshes[i];
    if (!of_plan(refresh.date) && i < plan.before.run.refreshes.size()) continue;
    refresh.past = false;
    for (DoseRecord& dose : refresh.doses) dose.past = false;
  }
}

// A day that cannot be done, and what could.

double draw_wanted_l(const Trajectory& run, const Timeline& line, const Date& date) {
  double litres = 0.0;
  for (const Event& event : line.events) {
    const auto* draw = event.date == date && !event.past ? std::get_if<Draw>(&event.act) : nullptr;
    if (draw == nullptr) continue;
    const double held_l = run.looks.empty() ? 0.0 : run.looks.back().volume[draw->from.row];
    litres += draw->amount.kind == Amount::Kind::share ? kUnknown : draw->amount.litres_of(held_l);
  }
  return litres;
}

enum class Cut { draw, refill };

double new_wine_wanted_l(const Timeline& line, const Date& date) {
  for (const Event& event : line.events)
    if (const auto* refill = std::get_if<Refill>(&event.act); refill != nullptr && event.date == date && !event.past)
      return refill->volume_l.value_or(kUnknown);
  return kUnknown;
}

/// The timeline with the draws, or the stated new wine, of the day cut to a part; `litres`: what then is drawn, or goes
/// in.
bool goes_with(const Scenario& scenario, Timeline line, const Date& date, Cut cut, double part, double& litres) {
  for (Event& event : line.events) {
    if (event.date != date || event.past) continue;
    if (auto* draw = std::get_if<Draw>(&event.act); draw != nullptr && cut == Cut::draw) draw->amount.value *= part;
    if (auto* refill = std::get_if<Refill>(&event.act); refill != nullptr && cut == Cut::refill && refill->volume_l)
      *refill->volume_l *= part;
  }
  const Trajectory run = simulate(scenario, line);
  if (run.stopped) return false;
  litres = 0.0;
  for (const DrawRecord& draw : run.draws)
    if (cut == Cut::draw && draw.date == date && !draw.past) litres += draw.volume_l;
  for (const RefreshRecord& refresh : run.refreshes)
    if (cut == Cut::refill && refresh.date == date && !refresh.past) litres += refresh.new_wine_l;
  return true;
}

/// The largest draw, or the most new wine, with which the day goes; unknown where even a drop is too much.
double possible_l(const Scenario& scenario, const Timeline& line, const Date& date, Cut cut) {
  double low = 1e-9, high = 1.0, litres = kUnknown;
  if (!goes_with(scenario, line, date, cut, low, litres)) return kUnknown;
  for (int i = 0; i < kHalvings; ++i) {
    const double part = 0.5 * (low + high);
    (goes_with(scenario, line, date, cut, part, litres) ? low : high) = part;
  }
  goes_with(scenario, line, date, cut, low, litres);
  return litres;
}

RefreshRefusal refused(const Scenario& scenario, const Timeline& line, const Trajectory& run, const Date& date) {
  RefreshRefusal refusal = refused(RefreshFault::act, run.stopped->date, run.stopped->problem);
  refusal.row = run.stopped->row;
  refusal.short_l = run.stopped->short_l;
  if (run.stopped->date != date) return refusal;
  refusal.draw_l = draw_wanted_l(run, line, date);
  refusal.refill_l = new_wine_wanted_l(line, date);
  if (refusal.short_l > 0.0) refusal.draw_possible_l = possible_l(scenario, line, date, Cut::draw);
  if (refusal.short_l < 0.0 && is_known(refusal.refill_l))
    refusal.refill_possible_l = possible_l(scenario, line, date, Cut::refill);
  return refusal;
}

}  // namespace

PlanOrRefusal plan_refresh(const Scenario& scenario, const RefreshWish& wish) {
  const Scenario doing = wished(scenario, wish);
  if (doing.habit.empty()) return refused(RefreshFault::no_habit);
  const auto date = wish.on ? wish.on : next_day(doing);
  if (!date) return refused(RefreshFault::no_day);
  RefreshPlan plan{.date = *date, .book_end = last_of_book(scenario), .base = scenario};
  if (*date < plan.book_end) return refused(RefreshFault::day_in_the_book, plan.book_end);
  const Timeline line = timeline_to(doing, *date);
  if (!line.problems.empty()) return refused(RefreshFault::file, *date, line.problems.front());
  const Trajectory run = simulate(doing, line);
  if (run.stopped) return refused(doing, line, run, *date);
  plan.entries = entries_of(line, *date, wish);
  if (plan.entries.empty()) return refused(RefreshFault::no_day);
  plan.first_lot = scenario.lots.size();
  plan.first_entry = scenario.log.size();
  plan.base.lots = line.lots;
  plan.assumed = line.assumed;
  plan.booked = with_entries(plan.base, plan.entries);
  std::vector<PlannedEntry> earlier;
  for (const PlannedEntry& planned : plan.entries)
    if (!planned.of_the_day) earlier.push_back(planned);
  plan.before = ran(with_entries(plan.base, earlier), *date);
  plan.after = ran(plan.booked, *date);
  if (!plan.after.run.problems.empty()) return refused(RefreshFault::act, *date, plan.after.run.problems.front());
  if (auto refusal = fill_tiers(plan, wish)) return *refusal;
  mark_as_planned(plan);
  return plan;
}

IfGauged if_gauged(const RefreshPlan& plan, const std::vector<std::pair<int, double>>& found_l) {
  Scenario scenario = plan.base;
  for (const PlannedEntry& planned : plan.entries)
    if (!planned.of_the_day) scenario.log.push_back(planned.entry);
  for (const auto& [row, litres] : found_l) {
    Gauge gauge;
    gauge.read_l.emplace_back(Place{{}, row, -1}, litres);
    scenario.log.push_back({{}, plan.date, gauge, "", ""});
  }
  for (const PlannedEntry& planned : plan.entries)
    if (planned.of_the_day && !planned.levels) scenario.log.push_back(planned.entry);
  const Ran found = ran(scenario, plan.date);
  IfGauged result;
  if (!found.run.problems.empty()) result.fault = found.run.problems.front();
  for (std::size_t i = plan.before.run.draws.size(); i < found.run.draws.size(); ++i)
    result.drawn_l += found.run.draws[i].volume_l;
  for (std::size_t i = plan.before.run.doses.size(); i < found.run.doses.size(); ++i)
    result.doses.push_back(found.run.doses[i]);
  if (!found.run.refreshes.empty() && found.run.refreshes.back().date == plan.date) {
    result.new_wine_l = found.run.refreshes.back().new_wine_l;
    result.moves = found.run.refreshes.back().moves;
  }
  for (const PlannedEntry& planned : plan.entries)
    if (const auto* add = std::get_if<Add>(&planned.entry.action); add != nullptr && planned.of_the_day)
      result.new_wine_l += add->amount.value;
  return result;
}

std::vector<const DrawRecord*> draws_of_day(const RefreshPlan& plan) {
  std::vector<const DrawRecord*> draws;
  for (std::size_t i = plan.before.run.draws.size(); i < plan.after.run.draws.size(); ++i)
    draws.push_back(&plan.after.run.draws[i]);
  return draws;
}

const RefreshRecord* refresh_of_day(const RefreshPlan& plan) {
  const auto& refreshes = plan.after.run.refreshes;
  return refreshes.empty() || refreshes.back().date != plan.date ? nullptr : &refreshes.back();
}

std::vector<const DoseRecord*> doses_of_day(const RefreshPlan& plan) {
  std::vector<const DoseRecord*> doses;
  for (std::size_t i = plan.before.run.doses.size(); i < plan.after.run.doses.size(); ++i)
    doses.push_back(&plan.after.run.doses[i]);
  return doses;
}

}  // namespace tierce
