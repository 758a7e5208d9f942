#include "tests/twin/random_cellar.h"

#include <algorithm>
#include <random>

#include "tests/twin/random_work.h"
#include "tests/twin/slow_twin.h"

namespace tierce::test {
namespace {

using twin::at;
using twin::litres_in;

class Maker {
 public:
  Maker(unsigned seed, const CellarBounds& bounds) : rng_(seed), bounds_(bounds) {}

  Scenario make() {
    scenario_.reserve = "Random";
    scenario_.clock = std::vector{Clock::harvest, Clock::entry, Clock::wood}[pick(bounds_.usual ? 2 : 3)];
    scenario_.so2_steps = std::vector{1, 1, 2, 4, 12}[pick(5)];
    if (chance(0.3)) scenario_.so2_binding_fraction = between(0.0, 0.6);
    if (chance(0.5) || bounds_.usual) scenario_.so2_loss = sulfur_loss();
    make_tiers();
    for (int i = 0; !bounds_.usual && chance(by_wood() ? 0.5 : 0.25) && i < 2; ++i)
      scenario_.tanks.push_back({line(), "T" + std::to_string(i), round_litres(between(300, 4000))});
    first_year_ = whole(1890, 2024);
    years_ = whole(1, chance(0.4) ? std::min(12, bounds_.most_years) : bounds_.most_years);
    if (by_wood()) years_ = std::min(years_, 6);  // wine that goes in and out of wood has more parts with every day
    foretold_ = chance(0.5);
    log_years_ = foretold_ ? whole(1, std::max(1, years_ / 2)) : years_;
    make_lots(first_year_ + (chance(0.5) ? log_years_ : years_));
    cellar_ = twin::empty_cellar(scenario_);
    cellar_.day = 365 * first_year_;
    if (chance(0.35)) make_opening();
    keep_book();
    if (foretold_ && !scenario_.log.empty()) make_habit();
    if (bounds_.acetaldehyde) lose_of_the_free();
    return std::move(scenario_);
  }

 private:
  // Chance.

  bool chance(double probability) { return between(0.0, 1.0) < probability; }
  double between(double low, double high) { return std::uniform_real_distribution<double>(low, high)(rng_); }
  int whole(int low, int high) { return std::uniform_int_distribution<int>(low, std::max(low, high))(rng_); }
  std::size_t pick(std::size_t count) { return static_cast<std::size_t>(whole(0, static_cast<int>(count) - 1)); }
  static double round_litres(double litres) { return std::max(1.0, std::round(litres)); }
  At line() { return {++line_, 1}; }
  /// More wine then goes out of wood and back.
  bool by_wood() const { return scenario_.clock == Clock::wood; }
  bool states() { return bounds_.all_known || chance(0.9); }

  // What the cellar is.

  SulfurLoss sulfur_loss() {
    if (chance(0.2) || bounds_.usual) return {SulfurLoss::Law::of_total, 0.0};
    if (chance(0.5)) return {SulfurLoss::Law::of_total, between(0.05, 0.6)};
    return {SulfurLoss::Law::fixed, between(2.0, 60.0)};
  }

  /// The law that needs acetaldehyde, only now, because the twin that keeps the book does not follow it.
  void lose_of_the_free() {
    for (Tier& tier : scenario_.tiers)
      if (chance(0.3)) tier.so2_loss = SulfurLoss{SulfurLoss::Law::of_free, between(0.2, 0.95)};
    if (chance(0.5)) scenario_.so2_loss.reset();  // then the default holds, which is of the free too
  }

  void make_tiers() {
    const int tiers = whole(1, bounds_.most_tiers);
    for (int k = 0; k < tiers; ++k) {
      Tier tier;
      tier.at = line();
      tier.name = "tier" + std::to_string(k);
      double capacity_l = 0.0;
      for (int vessels = whole(1, 5); vessels > 0; --vessels) {
        const double most_l = chance(0.1) ? 3500.0 : 700.0;
        tier.vessels.push_back({line(), tier.name + "v" + std::to_string(vessels), round_litres(between(50, most_l))});
        capacity_l += tier.vessels.back().capacity_l;
      }
      tier.target_stated = chance(0.5);
      tier.target_l = tier.target_stated ? capacity_l * between(0.4, 1.0) : capacity_l;
      if (!bounds_.usual && chance(0.3))
        tier.vessels.push_back({line(), tier.name + "later", round_litres(between(50, 700)), true, {}, {}, {}});
      make_losses(tier, capacity_l);
      scenario_.tiers.push_back(tier);
    }
  }

  void make_losses(Tier& tier, double capacity_l) {
    const double part_per_year = chance(0.1) ? 0.0 : between(0.005, 0.08);
    const double of_each_l = part_per_year * capacity_l / static_cast<double>(tier.vessels.size());
    tier.evaporation = {Evaporation::Kind::share, part_per_year, true};
    if (bounds_.usual && !scenario_.tiers.empty()) tier.evaporation = scenario_.tiers.front().evaporation;
    if (!bounds_.usual && chance(0.3)) tier.evaporation = {Evaporation::Kind::litres_per_vessel, of_each_l, true};
    tier.vapour_pct = chance(0.1) ? 0.0 : between(2.0, chance(0.8) ? 22.0 : 45.0);
    tier.vapour_stated = true;
    tier.wood = chance(by_wood() ? 0.6 : 0.8);
    if (chance(0.3)) tier.so2_loss = sulfur_loss();
  }

  Composition wine() {
    Composition wine;
    wine.alcohol_pct = between(15.0, 21.5);
    if (states()) wine.sugar_g_l = between(0.0, 180.0);
    if (states()) wine.acidity_g_l = between(3.0, 8.0);
    const bool sulfur = states();
    if (sulfur) wine.so2_total_mg_l = between(0.0, 120.0);
    if (sulfur) wine.so2_free_mg_l = wine.so2_total_mg_l * between(0.0, 0.5);
    if (bounds_.acetaldehyde) wine.acetaldehyde_mg_l = between(5.0, 90.0);
    return wine;
  }

  void make_lots(int last_year) {
    for (int year = first_year_ - 1; year <= last_year; ++year)
      for (int lots = whole(1, 3); lots > 0; --lots) {
        Lot lot;
        lot.at = line();
        lot.name = "L" + std::to_string(year) + "-" + std::to_string(lots);
        lot.vintage = year;
        lot.harvested = {year, whole(8, 11), whole(1, 30)};
        if (chance(0.05)) lot.harvested = {year + 1, 1, whole(1, 31)};  // sweet wines may hang till then
        lot.wine = wine();
        if (chance(0.1)) lot.made = LotMade{line(), round_litres(between(200, 3000)), {}, between(0.0, 0.05), {}};
        scenario_.lots.push_back(lot);
      }
  }

  /// A lot that is picked by a day, of the last two years if there is one; -1 if there is none.
  int lot_on(const Date& day) {
    std::vector<int> ready;
    for (int lot = 0; lot < static_cast<int>(scenario_.lots.size()); ++lot) {
      const Date& harvested = scenario_.lots[at(lot)].harvested;
      if (harvested <= day && harvested.year >= day.year - 2) ready.push_back(lot);
    }
    return ready.empty() ? -1 : ready[pick(ready.size())];
  }

  void make_opening() {
    const Date day{first_year_, 1, whole(1, 28)};
    for (int row = 0; row < scenario_.tier_count(); ++row) {
      if (chance(0.3)) continue;
      Opening opening{line(), day, row, twin::capacity_of(cellar_, row) * between(0.2, 0.95), {}, wine()};
      if (!bounds_.all_known && chance(0.1)) opening.wine.alcohol_pct = kUnknown;
      const double first_share = chance(0.5) ? 1.0 : between(0.1, 0.9);
      opening.parts.push_back({"old", -1, first_share, states() ? between(2.0, 60.0) : kUnknown});
      const int lot = lot_on(day);
      if (lot >= 0)
        opening.parts.push_back(
            {scenario_.lots[at(lot)].name, lot, 1.0 - first_share, states() ? between(0.0, 1.0) : kUnknown});
      else opening.parts.front().share = 1.0;
      scenario_.opening.push_back(opening);
    }
    for (const Opening& opening : scenario_.opening) happen(twin::Deed{opening.date, opening.at, true, &opening, {}});
  }

  // What happened.

  bool happen(const twin::Deed& deed) {
    if (twin::age_to(cellar_, twin::day_of(deed.date))) return false;
    return !twin::perform(cellar_, deed);
  }

  std::vector<Date> days_of_year(int year) {
    std::vector<Date> days;
    for (int n = whole(0, 8); n > 0; --n) days.push_back({year, whole(1, 12), whole(1, 28)});
    if (is_leap_year(year) && chance(0.5)) days.push_back({year, 2, 29});
    if (chance(0.15)) days.push_back({year, 12, 31});
    if (chance(0.15)) days.push_back({year, 1, 1});
    if (year == first_year_)
      std::erase_if(days, [](const Date& day) { return day.month == 1; });  // the opening comes first
    std::sort(days.begin(), days.end());
    return days;
  }

  void keep_book() {
    for (int year = first_year_; year < first_year_ + log_years_; ++year)
      for (const Date& day : days_of_year(year))
        for (int tries = 0; tries < 3; ++tries)
          if (day_is_booked(day)) break;
    if (scenario_.log.empty() || (foretold_ && chance(0.8))) fill_up({first_year_ + log_years_, 3, 1});
  }

  /// Brings every tier near its target, so that a habit has something to begin with.
  void fill_up(const Date& day) {
    if (twin::age_to(cellar_, twin::day_of(day))) return;
    for (int row = 0; row < scenario_.tier_count(); ++row) {
      const double full_l = std::min(cellar_.rows[at(row)].worked.target_l, twin::capacity_of(cellar_, row));
      const double need_l = full_l - litres_in(cellar_.rows[at(row)]);
      if (need_l > 1.0) book(day, Add{lot_on(day), {}, Place{{}, row, -1}, litres(need_l * between(0.9, 1.0))});
    }
  }

  /// Books a day's entries; none of them if the wine does not last till then or, but for a few, if a vessel ends too
  /// full.
  bool day_is_booked(const Date& day) {
    const twin::Cellar before = cellar_;
    const std::size_t entries = scenario_.log.size();
    const bool lasts = !twin::age_to(cellar_, twin::day_of(day));
    if (lasts)
      for (int n = fill_first() ? scenario_.tier_count() : whole(1, 4); n > 0; --n) book_something(day);
    cellar_.draws.clear();
    cellar_.bottlings.clear();
    if (lasts) twin::soak(cellar_);
    if (lasts && (!twin::overfull(cellar_) || (bounds_.faults && chance(0.01)))) return true;
    scenario_.log.resize(entries);
    cellar_ = before;
    return false;
  }

  bool fill_first() { return scenario_.log.empty() && scenario_.opening.empty(); }

  void book_something(const Date& day) {
    const int row = whole(0, scenario_.rows() - 1);
    if (litres_in(cellar_.rows[at(row)]) <= 0.0 || chance(0.15)) return book_add(day, row);
    if (scenario_.is_tank(row) && chance(0.4))
      if (const auto action = work_on_tank(rng_, cellar_, row)) return book(day, *action);
    if (!bounds_.usual && !scenario_.is_tank(row) && chance(0.06))
      return book(day, work_on_vessels(rng_, scenario_, cellar_, row));
    switch (bounds_.usual && chance(0.8) ? 6 * pick(2) : pick(10)) {
      case 0:
      case 1:
        return book(day, into_a_tank(rng_, cellar_,
                                     Draw{some_place(row),
                                          some_amount(row, 0.4),
                                          chance(0.5) ? "Bottling " + std::to_string(line_) : "",
                                          Use::bottling,
                                          {}}));
      case 2:
      case 3: return book_move(day, row);
      case 4:
      case 5:
      case 6: return book_refill(day);
      case 7: return book_dose(day, row);
      case 8: return chance(0.5) ? book_gauge(day, row) : book_analysis(day, row);
      default: return book(day, Lose{some_place(row), some_amount(row, 0.1), "leak"});
    }
  }

  /// Writes an entry down if the twin can do it, and now and then if it cannot.
  void book(const Date& day, Action action) {
    const At at = line();
    point_at(action, at);
    twin::Deed deed;
    deed.date = day;
    deed.at = at;
    deed.past = true;
    deed.action = action;
    const bool done = happen(deed);
    if (done || (bounds_.faults && chance(0.02))) scenario_.log.push_back({at, day, action, "", ""});
  }

  Place some_place(int row) {
    if (bounds_.usual || scenario_.is_tank(row) || chance(0.75)) return {{}, row, -1};
    return {{}, row, static_cast<int>(pick(scenario_.tiers[at(row)].vessels.size()))};
  }

  double held_in(const Place& place) const {
    const twin::Row& row = cellar_.rows[at(place.row)];
    return place.vessel < 0 ? litres_in(row) : row.levels_l[at(place.vessel)];
  }

  double ullage_in(const Place& place) const {
    if (place.vessel >= 0) return twin::capacity_of(cellar_, place.row, at(place.vessel)) - held_in(place);
    return twin::capacity_of(cellar_, place.row) - held_in(place);
  }

  static Amount litres(double litres) { return {{}, Amount::Kind::litres, litres, 0.0}; }

  Amount some_amount(int row, double most) {
    if (chance(0.04)) return {{}, Amount::Kind::share, 1.0, 0.0};
    if (chance(0.4)) return {{}, Amount::Kind::share, between(0.01, most), 0.0};
    const double wanted_l = litres_in(cellar_.rows[at(row)]) * between(0.01, most);
    if (chance(0.3)) return {{}, Amount::Kind::bottles, std::ceil(wanted_l / 0.375), 0.375};
    return litres(wanted_l);
  }

  void book_add(const Date& day, int row) {
    const Place to = some_place(row);
    const double free_l = ullage_in(to);
    const int lot = lot_on(day);
    if (lot < 0 || free_l < 1.0) return;
    book(day, Add{lot, {}, to, litres(free_l * (chance(0.2) ? 1.0 : between(0.1, 1.0)))});
  }

  void book_move(const Date& day, int row) {
    const Place from = some_place(row), to = some_place(whole(0, scenario_.rows() - 1));
    if (from.row == to.row && (from.vessel == to.vessel || from.vessel < 0 || to.vessel < 0)) return;
    const double most_l = std::min(held_in(from), ullage_in(to));
    if (most_l < 0.5) return;
    if (most_l == held_in(from) && chance(0.3)) return book(day, Move{from, to, {{}, Amount::Kind::share, 1.0, 0.0}});
    book(day, Move{from, to, litres(most_l * between(0.05, 1.0))});
  }

  void book_refill(const Date& day) {
    const int lot = lot_on(day);
    if (lot < 0) return;
    Refill refill{lot, {}, chance(0.5) ? RefillOrder::oldest_first : RefillOrder::youngest_first, {}, {}};
    if (chance(0.4)) refill.volume_l = std::max(0.0, ullage_in({{}, 0, -1})) * between(0.0, 1.0);
    book(day, refill);
  }

  void book_dose(const Date& day, int row) {
    Dose dose;
    if (chance(0.5)) dose.place = Place{{}, row, -1};
    dose.value = between(1.0, 60.0);
    book(day, dose);
  }

  void book_gauge(const Date& day, int row) {
    if (scenario_.is_tank(row)) return;
    Gauge gauge;
    if (chance(0.5) || bounds_.usual) {
      const Place tier{{}, row, -1};
      gauge.read_l.push_back({tier, chance(0.7) ? held_in(tier) * between(0.95, 1.0)
                                                : held_in(tier) + ullage_in(tier) * between(0.0, 0.2)});
    } else {
      for (int vessel = 0; vessel < static_cast<int>(scenario_.tiers[at(row)].vessels.size()); ++vessel)
        if (const Place place{{}, row, vessel}; held_in(place) > 0.0 && chance(0.7))
          gauge.read_l.push_back(
              {place, std::min(held_in(place) * between(0.95, 1.03), held_in(place) + ullage_in(place))});
    }
    if (!gauge.read_l.empty()) book(day, gauge);
  }

  void book_analysis(const Date& day, int row) {
    Analyse analyse;
    analyse.place = {{}, row, -1};
    const Composition measured = wine();
    if (chance(0.6)) analyse.found.alcohol_pct = measured.alcohol_pct;
    if (chance(0.6)) analyse.found.sugar_g_l = measured.sugar_g_l;
    if (chance(0.3)) analyse.found.acidity_g_l = measured.acidity_g_l;
    if (chance(0.3)) analyse.found.so2_total_mg_l = measured.so2_total_mg_l;
    if (is_known(analyse.found.so2_total_mg_l)) analyse.found.so2_free_mg_l = measured.so2_free_mg_l;
    analyse.keep_only = chance(0.2);
    book(day, analyse);
  }

  // What will be done.

  void make_habit() {
    const int last = scenario_.log.back().date.year;
    for (int routines = chance(0.15) ? 2 : 1; routines > 0; --routines) {
      Routine routine = some_days(last);
      routine.at = line();
      routine.usual = habit_day();
      for (int year = last; year <= first_year_ + years_; ++year)
        if (chance(0.1)) routine.except[year] = habit_day();
      scenario_.habit.push_back(routine);
    }
    scenario_.until = std::max(last, first_year_ + years_);
  }

  Routine some_days(int last) {
    Routine routine;
    if (chance(0.5)) {
      routine.day = chance(0.2) ? DayOfYear{2, 29} : DayOfYear{whole(1, 12), whole(1, 28)};
      if (chance(0.2)) routine.from = Date{last + whole(0, 3), whole(1, 12), whole(1, 28)};
      return routine;
    }
    routine.every_months = std::vector{1, 3, 4, 6, 12, 18, 24}[pick(7)];
    routine.from = Date{last + whole(0, 1), whole(1, 12), whole(1, 28)};
    if (chance(0.3)) routine.from = Date{last, std::vector{1, 5, 8, 10, 12}[pick(5)], 31};  // months of 31 days
    return routine;
  }

  HabitDay habit_day() {
    HabitDay doing;
    doing.at = line();
    doing.draw_first = chance(0.6);
    doing.name = "Bottling {year}";
    if (chance(0.9))
      doing.draw = chance(0.8) ? Amount{line(), Amount::Kind::share, between(0.02, 0.3), 0.0}
                               : Amount{line(), Amount::Kind::bottles, double(whole(10, 300)), 0.5};
    doing.refill = habit_refill();
    for (int n = 0; n < 2 && chance(0.3); ++n) {
      Dose& dose = doing.doses.emplace_back();
      dose.at = line();
      dose.value = between(1.0, 40.0);
    }
    return doing;
  }

  HabitRefill habit_refill() {
    HabitRefill refill;
    refill.at = line();
    refill.lot = lot_on(scenario_.log.back().date);
    if (refill.lot < 0 || chance(0.05)) return refill;
    refill.kind = chance(0.85) ? HabitRefill::Kind::like : HabitRefill::Kind::lot;
    if (chance(0.4)) refill.changed.alcohol_pct = between(16.0, 20.0);
    if (chance(0.4)) refill.volume_l = scenario_.capacity_of(0) * between(0.01, 0.2);
    if (chance(0.2)) refill.order = chance(0.5) ? RefillOrder::oldest_first : RefillOrder::youngest_first;
    return refill;
  }

  std::mt19937 rng_;
  CellarBounds bounds_;
  Scenario scenario_;
  twin::Cellar cellar_;
  int first_year_ = 0, years_ = 0, log_years_ = 0, line_ = 0;
  bool foretold_ = false;
};

}  // namespace

Scenario random_cellar(unsigned seed, const CellarBounds& bounds) {
  Scenario scenario = Maker(seed, bounds).make();
  state_costs(seed, bounds.all_known, scenario);
  return scenario;
}

}  // namespace tierce::test
