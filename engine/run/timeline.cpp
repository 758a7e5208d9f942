#include "engine/run/timeline.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "engine/run/parcels.h"
#include "engine/run/routine.h"
#include "engine/run/wood_paths.h"

namespace tierce {
namespace {

constexpr int kDefaultForecastYears = 20;

// The order inside a day: what the book opens with, the log as written, the habit, then what only looks.
enum Rank { kOpens, kLogged, kHabitual, kCloses, kLooks };

struct Dated {
  Rank rank;
  Event event;
};

/// The last harvest on or before a day, on the day of the year of the lot that it is like.
Date last_harvest(const Lot& like, const Date& day) {
  const DayOfYear harvest{like.harvested.month, like.harvested.day};
  const Date this_year = in_year(harvest, day.year);
  return this_year <= day ? this_year : in_year(harvest, day.year - 1);
}

std::string with_year(std::string text, int year) {
  const std::string word = "{year}";
  for (auto at = text.find(word); at != std::string::npos; at = text.find(word))
    text.replace(at, word.size(), std::to_string(year));
  return text;
}

bool same_cost(const Cost& a, const Cost& b) { return same_value(a.per_litre, b.per_litre); }

class Builder {
 public:
  Builder(const Scenario& scenario, const Span& span, const std::optional<Date>& habit_on = {})
      : scenario_(scenario), span_(span), habit_on_(habit_on), parcels_(scenario.clock, line_.parcels, line_.wood) {
    line_.lots = scenario.lots;
  }

  Timeline build() {
    add_opening();
    add_lots_in_tanks();
    add_log();
    for (const Dated& dated : dated_) line_.log_end = std::max(line_.log_end, dated.event.date);
    if (span_.habit)
      for (const Routine& routine : scenario_.habit) add_routine(routine);
    if (span_.habit && !scenario_.habit.empty() && !span_.end_on && span_.until_year == 0 && !scenario_.until)
      line_.assumed.push_back("without 'until' the forecast runs " + std::to_string(kDefaultForecastYears) +
                              " years past the log");
    in_order();
    add_closings();
    in_order();
    give_columns();
    return std::move(line_);
  }

 private:
  void push(Rank rank, const Date& date, At at, bool past, Event::Act act) {
    Event event;
    event.date = date;
    event.day = day_number(date);
    event.at = at;
    event.past = past;
    event.act = std::move(act);
    dated_.push_back({rank, std::move(event)});
  }

  void add_opening() {
    for (std::size_t i = 0; i < scenario_.opening.size(); ++i) {
      push(kOpens, scenario_.opening[i].date, scenario_.opening[i].at, true, Open{i, {}});
      for (const Opening::Part& part : scenario_.opening[i].parts)
        if (part.lot >= 0) used_.insert({part.lot, true});
    }
  }

  /// A lot that was received in a tank stands there from its day on, less its lees.
  void add_lots_in_tanks() {
    for (std::size_t i = 0; i < scenario_.lots.size(); ++i) {
      const auto& made = scenario_.lots[i].made;
      if (!made || !made->in || !made->date) continue;
      const Amount all{made->at, Amount::Kind::litres, made->volume_l, 0.0};
      push(kOpens, *made->date, made->at, true, Add{static_cast<int>(i), made->at, *made->in, all});
      const Amount lees{made->at, Amount::Kind::litres, made->volume_l * made->lees_fraction, 0.0};
      if (lees.value > 0.0) push(kOpens, *made->date, made->at, true, Lose{*made->in, lees, "lees"});
    }
  }

  void add_log() {
    for (const Entry& entry : scenario_.log) {
      std::visit([&](const auto& action) { push(kLogged, entry.date, entry.at, true, action); }, entry.action);
      used_in_log(entry.action);
      last_logged_ = std::max(last_logged_, entry.date);
      if (std::holds_alternative<Refill>(entry.action)) last_refill_ = entry.date;
    }
  }

  void used_in_log(const Action& action) {
    if (const auto* add = std::get_if<Add>(&action)) used_.insert({add->lot, true});
    if (const auto* refill = std::get_if<Refill>(&action); refill && !refill->from) used_.insert({refill->lot, true});
  }

  void add_routine(const Routine& routine) {
    const double half_period = half_period_y(routine);
    const int until = last_year(scenario_, span_);
    Date first = last_logged_;
    if (first.year == 0)
      for (const Opening& opening : scenario_.opening) first = std::max(first, opening.date);
    if (routine.from) first = std::max(first, *routine.from);
    if (first.year == 0) {
      line_.problems.push_back(
          {routine.at, "the habit has no day to start from", "a log, an opening stock, or 'from:' with a date", ""});
      return;
    }
    const bool moved = habit_on_ && &routine == routine_on(scenario_, *habit_on_);
    for (int n = 0;; ++n) {
      const Date day = day_of(routine, first, n);
      if (day.year > until) break;
      if (day < first || day <= last_logged_) continue;
      if (last_refill_.year > 0 && years_between(last_refill_, day) <= half_period) continue;
      if (moved && std::abs(years_between(day, *habit_on_)) <= half_period) continue;
      add_habit_day(doing_in(routine, day.year), day);
    }
    if (moved) add_habit_day(doing_in(routine, habit_on_->year), *habit_on_);
  }

  void add_habit_day(const HabitDay& doing, const Date& day) {
    const auto draw = [&] {
      if (doing.draw)
        push(kHabitual, day, doing.at, false,
             Draw{Place{doing.at, scenario_.tier_count() - 1, -1}, *doing.draw, with_year(doing.name, day.year)});
    };
    if (doing.draw_first) draw();
    if (doing.refill.kind != HabitRefill::Kind::none) {
      const RefillOrder usual = doing.draw_first ? RefillOrder::oldest_first : RefillOrder::youngest_first;
      Refill refill{
          habit_lot(doing.refill, day), doing.refill.at, doing.refill.order.value_or(usual), doing.refill.volume_l, {}};
      if (const auto& made = lot(refill.lot).made; made && made->in) refill.from = made->in;
      push(kHabitual, day, doing.refill.at, false, refill);
    }
    if (!doing.draw_first) draw();
    for (const Dose& dose : doing.doses) push(kHabitual, day, doing.at, false, dose);
  }

  /// The lot that a habit brings on a day (design decision 12).
  int habit_lot(const HabitRefill& refill, const Date& day) {
    const Lot& stated = scenario_.lots[static_cast<std::size_t>(refill.lot)];
    if (refill.kind == HabitRefill::Kind::lot) {
      if (stated.harvested > day)
        line_.problems.push_back({refill.at,
                                  "the habit uses lot '" + stated.name + "' on " + iso_text(day) +
                                      ", before its harvest on " + iso_text(stated.harvested),
                                  "a lot that is harvested by then, or 'like' in place of 'lot'", ""});
      return refill.lot;
    }
    const Date harvested = last_harvest(stated, day);
    const int vintage = harvested.year + stated.vintage - stated.harvested.year;
    for (std::size_t i = 0; i < scenario_.lots.size(); ++i) {
      const Lot& lot = scenario_.lots[i];
      if (!lot.elsewhere && lot.vintage == vintage && lot.harvested <= day && !used_.contains(static_cast<int>(i))) {
        line_.assumed.push_back("the refresh of " + iso_text(day) + " takes lot " + lot.name +
                                ", which the file states and the book does not use");
        return static_cast<int>(i);
      }
    }
    return lot_like(stated, refill, harvested, vintage);
  }

  /// One new lot a harvest; a second one where an exception changes its wine.
  int lot_like(const Lot& like, const HabitRefill& refill, const Date& harvested, int vintage) {
    Lot lot = like;
    lot.made.reset();
    lot.analysed.reset();
    lot.vintage = vintage;
    lot.harvested = harvested;
    lot.wine = changed_by(like.wine, refill.changed);
    lot.sugar_is_extract = like.sugar_is_extract && !is_known(refill.changed.sugar_g_l);
    if (is_known(refill.cost.per_litre)) lot.cost = refill.cost;
    const std::string name = like.name + '/' + std::to_string(vintage);
    lot.name = name;
    for (int again = 2;; ++again) {
      const auto same_name =
          std::find_if(line_.lots.begin(), line_.lots.end(), [&](const Lot& other) { return other.name == lot.name; });
      if (same_name == line_.lots.end()) break;
      if (same_wine(same_name->wine, lot.wine) && same_cost(same_name->cost, lot.cost))
        return static_cast<int>(same_name - line_.lots.begin());
      lot.name = name + " (" + std::to_string(again) + ")";
    }
    line_.lots.push_back(lot);
    return static_cast<int>(line_.lots.size()) - 1;
  }

  void in_order() {
    std::stable_sort(dated_.begin(), dated_.end(), [](const Dated& a, const Dated& b) {
      return std::tie(a.event.date, a.rank) < std::tie(b.event.date, b.rank);
    });
  }

  void add_closings() {
    if (span_.end_on) std::erase_if(dated_, [&](const Dated& dated) { return dated.event.date > *span_.end_on; });
    if (dated_.empty()) return;
    const Date first = dated_.front().event.date;
    const Date last = dated_.back().event.date;
    const int until = last_year(scenario_, span_);
    const bool to_the_years_end = until > last.year || span_wants_whole_years();
    const Date end = span_.end_on ? *span_.end_on : to_the_years_end ? Date{std::max(until, last.year), 12, 31} : last;
    for (int year = first.year; year <= end.year; ++year)
      push(kCloses, year == end.year ? end : Date{year, 12, 31}, {}, false, CloseYear{year});
    for (const Date& look : span_.looks)
      if (look < end) push(kLooks, look, {}, false, Look{});
    push(kLooks, end, {}, false, Look{});
    // A year closes at the moment of the next 1 January; a run that ends on a day of its own, on that day.
    const bool ends_with_a_year = !span_.end_on && to_the_years_end;
    for (Dated& dated : dated_)
      if (std::holds_alternative<CloseYear>(dated.event.act) || dated.rank == kLooks)
        if (dated.event.date.month == 12 && dated.event.date.day == 31 && (dated.event.date < end || ends_with_a_year))
          dated.event.day = day_number_of_new_year(dated.event.date.year + 1);
  }

  bool span_wants_whole_years() const {
    return span_.until_year > 0 || scenario_.until || (span_.habit && !scenario_.habit.empty());
  }

  void give_columns() {
    WoodPaths paths(scenario_, line_);
    for (Dated& dated : dated_) {
      Event& event = dated.event;
      if (auto* open = std::get_if<Open>(&event.act)) {
        const Opening& opening = scenario_.opening[open->opening];
        for (const Opening::Part& part : opening.parts)
          open->shares.emplace_back(
              parcels_.opening(part, scenario_.lots, opening.date, scenario_.is_wooden(opening.row)), part.share);
      } else if (const auto* add = std::get_if<Add>(&event.act)) {
        come_in(event, add->lot, add->to.row);
      } else if (const auto* refill = std::get_if<Refill>(&event.act)) {
        if (refill->from) enter(event, 0);
        else come_in(event, refill->lot, 0);
      } else if (const auto* fortify = std::get_if<Fortify>(&event.act)) {
        event.parcel = parcels_.spirit(scenario_.spirits[static_cast<std::size_t>(fortify->spirit)], fortify->spirit,
                                       event.date, scenario_.is_wooden(fortify->place.row));
      } else if (const auto* move = std::get_if<Move>(&event.act)) {
        if (scenario_.is_tank(move->from.row) && !scenario_.is_tank(move->to.row)) enter(event, move->to.row);
      }
      paths.follow(event);
      line_.events.push_back(std::move(event));
    }
  }

  /// New wine into a row, or wine of another reserve.
  void come_in(Event& event, int lot_index, int row) {
    const bool tank = scenario_.is_tank(row), of_wood = scenario_.is_wooden(row);
    for (const BroughtPart& part : lot(lot_index).brought)
      event.brought.push_back(parcels_.brought(part, line_.lots, event.date, tank, of_wood));
    event.parcel = tank ? parcels_.outside(lot(lot_index), lot_index)
                        : parcels_.entering(lot(lot_index), lot_index, event.date, of_wood);
  }

  /// Wine out of a tank into a tier.
  void enter(Event& event, int row) {
    event.entering = parcels_.entering_from_outside(line_.lots, event.date, scenario_.is_wooden(row));
  }

  const Lot& lot(int index) const { return line_.lots[static_cast<std::size_t>(index)]; }

  const Scenario& scenario_;
  const Span& span_;
  std::optional<Date> habit_on_;
  Timeline line_;
  Parcels parcels_;
  std::vector<Dated> dated_;
  std::map<int, bool> used_;  // lots that the log or the opening uses
  Date last_logged_{0, 1, 1};
  Date last_refill_{0, 1, 1};
};

}  // namespace

int last_year(const Scenario& scenario, const Span& span) {
  if (span.end_on) return span.end_on->year;
  if (span.until_year > 0) return span.until_year;
  if (scenario.until) return *scenario.until;
  int last = 0;
  for (const Entry& entry : scenario.log) last = std::max(last, entry.date.year);
  if (last == 0)
    for (const Opening& opening : scenario.opening) last = std::max(last, opening.date.year);
  if (!span.habit || scenario.habit.empty()) return last;
  if (last == 0)
    for (const Routine& routine : scenario.habit) last = std::max(last, routine.from ? routine.from->year : 0);
  return last + kDefaultForecastYears;
}

Timeline timeline(const Scenario& scenario, const Span& span) { return Builder(scenario, span).build(); }

Timeline timeline_to(const Scenario& scenario, const Date& day) {
  const Span span{.until_year = 0, .looks = {}, .habit = true, .end_on = day};
  return Builder(scenario, span, day).build();
}

}  // namespace tierce
