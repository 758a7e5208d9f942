#include "engine/measure/loss_year.h"

#include <algorithm>
#include <iterator>
#include <map>
#include <string>

namespace tierce {
namespace {

Date next_day(Date date) {
  if (date.day < days_in_month(date.year, date.month)) return {date.year, date.month, date.day + 1};
  return date.month < 12 ? Date{date.year, date.month + 1, 1} : Date{date.year + 1, 1, 1};
}

Date day_before(const Date& date) {
  if (date.day > 1) return {date.year, date.month, date.day - 1};
  const Date month = date.month > 1 ? Date{date.year, date.month - 1, 1} : Date{date.year - 1, 12, 1};
  return {month.year, month.month, days_in_month(month.year, month.month)};
}

/// What had passed at the end of a day; null before the book begins.
const FlowsSoFar* flows_on(const Trajectory& run, const Date& day) {
  const auto after = std::upper_bound(run.flows_at.begin(), run.flows_at.end(), day,
                                      [](const Date& asked, const FlowsSoFar& one) { return asked < one.date; });
  return after == run.flows_at.begin() ? nullptr : &*std::prev(after);
}

/// Still wine that fermentation made of a lot, before any spirit, and the day on which it was made.
struct Fermented {
  Date made{};
  Came came = Came::not_stated;
  double litres = 0.0;
};

/// From what the lot states; of the lots of a habit, and where nothing is stated, from what entered.
double fermented_l(const Lot& lot, double entered_l) {
  if (lot.spirit && lot.made) return lot.spirit->into_l;
  if (lot.spirit) return entered_l * lot.spirit->into_l / (lot.spirit->into_l + lot.spirit->volume_l);
  return lot.made ? lot.made->volume_l : entered_l;
}

std::vector<Fermented> fermented(const Timeline& line, const Trajectory& run) {
  std::map<std::string, std::pair<double, std::optional<Date>>> used;  // litres entered, and the first day
  for (std::size_t i = 0; i < line.parcels.size(); ++i)
    used[line.parcels[i].lot].first += run.flows.litres(kIn, static_cast<Eigen::Index>(i));
  for (const Event& event : line.events) {
    if (event.parcel < 0) continue;
    auto& first = used[line.parcels[static_cast<std::size_t>(event.parcel)].lot].second;
    if (!first) first = event.date;
  }
  std::vector<Fermented> lots;
  for (const Lot& lot : line.lots) {
    const auto& [entered_l, first] = used[lot.name];
    const auto made = lot.made && lot.made->date ? lot.made->date : first;
    if (!lot.elsewhere && entered_l > 0.0 && made) lots.push_back({*made, lot.came, fermented_l(lot, entered_l)});
  }
  return lots;
}

void add_receipts(LossYear& year, const FlowsSoFar* from, const FlowsSoFar& to) {
  const auto in = [&](Came came) {
    const auto i = static_cast<std::size_t>(came);
    return to.in_l[i] - (from != nullptr ? from->in_l[i] : 0.0);
  };
  year.in_bond_l = in(Came::in_bond);
  year.not_stated_l = in(Came::not_stated);
  year.in_l = year.in_bond_l + year.not_stated_l + in(Came::made_here) + in(Came::tax_paid);
}

void add_fermented(LossYear& year, const std::vector<Fermented>& lots) {
  for (const Fermented& lot : lots) {
    if (lot.made < year.first || year.last < lot.made) continue;
    if (lot.came == Came::not_stated) year.fermented_l = kUnknown;
    if (lot.came == Came::made_here) year.fermented_l += lot.litres;
  }
}

LossYear loss_year(const Date& book_begins, const Trajectory& run, const std::pair<Date, Date>& period) {
  LossYear year{.first = period.first, .last = period.second};
  const FlowsSoFar* from = flows_on(run, day_before(period.first));
  const FlowsSoFar& to = *flows_on(run, period.second);
  const auto passed = [&](Flow flow) { return to.litres[flow] - (from != nullptr ? from->litres[flow] : 0.0); };
  year.on_hand_l = (from != nullptr ? from->held_l : 0.0) + passed(kOpening);
  year.loss_l = passed(kEvaporated) + passed(kGauged) + passed(kLost);
  year.closing_l = to.held_l;
  add_receipts(year, from, to);
  const Date begins = std::max(period.first, book_begins), ends = std::min(period.second, to.date);
  if (begins != period.first || ends != period.second) year.part = years_between(begins, ends);
  return year;
}

/// Counts at the end of a day, after what happened on it or before. A year ends when the next one begins.
Event count_after(const Event& before, const Date& day) {
  Event event;
  event.date = day;
  event.day = before.date == day ? before.day : day_number(day);
  if (day.month == 12 && day.day == 31 && before.date < day) event.day = day_number_of_new_year(day.year + 1);
  event.act = Look{true};
  return event;
}

}  // namespace

std::pair<Date, Date> period_of(const DayOfYear& ends, const Date& date) {
  const Date end = in_year(ends, date.year);
  const Date last = date <= end ? end : in_year(ends, date.year + 1);
  return {next_day(in_year(ends, last.year - 1)), last};
}

std::vector<Date> days_to_count(const std::vector<std::pair<Date, Date>>& periods) {
  std::vector<Date> days;
  for (const auto& [first, last] : periods) {
    days.push_back(day_before(first));
    days.push_back(last);
  }
  std::sort(days.begin(), days.end());
  days.erase(std::unique(days.begin(), days.end()), days.end());
  return days;
}

void count_on(Timeline& line, const std::vector<Date>& days) {
  if (line.events.empty()) return;
  std::map<std::string, Came> came;
  for (const Lot& lot : line.lots) came.emplace(lot.name, lot.came);
  for (const Parcel& parcel : line.parcels) {
    const auto found = came.find(parcel.lot);
    line.came.push_back(found == came.end() ? std::nullopt : std::optional(found->second));
  }
  std::vector<Event> events;
  auto day = std::lower_bound(days.begin(), days.end(), line.events.front().date);
  for (std::size_t i = 0; i < line.events.size(); ++i) {
    const bool last = i + 1 == line.events.size();  // it looks at the end of the run, after all else
    while (!last && day != days.end() && *day < line.events[i].date) {
      events.push_back(count_after(events.back(), *day++));
    }
    if (last) events.push_back(count_after(line.events[i], line.events[i].date));
    events.push_back(std::move(line.events[i]));
  }
  line.events = std::move(events);
}

std::vector<LossYear> loss_years(const Timeline& line, const Trajectory& run,
                                 const std::vector<std::pair<Date, Date>>& periods) {
  std::vector<LossYear> years;
  if (run.flows_at.empty() || line.events.empty()) return years;
  const std::vector<Fermented> lots = fermented(line, run);
  for (const auto& period : periods) {
    if (flows_on(run, period.second) == nullptr || run.flows_at.back().date < period.first) continue;
    years.push_back(loss_year(line.events.front().date, run, period));
    add_fermented(years.back(), lots);
  }
  return years;
}

}  // namespace tierce
