// Which column of the state wine goes into: by its lot, and where the clock tells them apart, by its day of entry and
// its time in wood.
#pragma once

#include <algorithm>
#include <map>
#include <tuple>
#include <utility>
#include <vector>

#include "engine/run/stock.h"
#include "engine/run/wood_parts.h"

namespace tierce {

/// Finds or makes the column for wine of a lot. `of_wood`: whether it comes into a wooden tier.
class Parcels {
 public:
  Parcels(Clock clock, std::vector<Parcel>& parcels, WoodParts& wood) : clock_(clock), parcels_(parcels), wood_(wood) {}

  int entering(const Lot& lot, int lot_index, const Date& date, bool of_wood) {
    if (clock_ == Clock::harvest) return of_harvest(lot, lot_index);
    return find_or_add({lot_index, day_number(date), 0}, date, of_wood, [&] {
      Parcel parcel{.lot = lot.name, .vintage = lot.vintage};
      parcel.entered_known = true;
      parcel.entered = date;
      parcel.zero_day = day_number(date);
      return parcel;
    });
  }

  int outside(const Lot& lot, int lot_index) {
    if (clock_ == Clock::harvest) return of_harvest(lot, lot_index);
    const auto [it, added] = outside_.try_emplace(lot_index, static_cast<int>(parcels_.size()));
    if (added) {
      parcels_.push_back(Parcel{.lot = lot.name, .vintage = lot.vintage});
      parcels_.back().outside = true;
      if (clock_ == Clock::wood) wood_.leave_alone(it->second);
    }
    return it->second;
  }

  /// Spirit poured into wine is a parcel of its own, of unknown age where nobody states when it was made.
  int spirit(const Spirit& spirit, int index, const Date& date, bool of_wood) {
    return find_or_add({index, day_number(date), 2}, date, of_wood, [&] {
      Parcel parcel{.lot = spirit.name};
      parcel.entered_known = clock_ != Clock::harvest;
      parcel.entered = date;
      parcel.zero_day = clock_ != Clock::harvest ? day_number(date) : spirit.made ? day_number(*spirit.made) : kUnknown;
      if (!is_known(parcel.zero_day)) parcel.older_than_day = day_number(date);
      return parcel;
    });
  }

  /// A part of an opening stock: of a known lot (and then of known harvest), or of a name and perhaps an age.
  int opening(const Opening::Part& part, const std::vector<Lot>& lots, const Date& date, bool of_wood) {
    const bool known_lot = part.lot >= 0;
    const Lot* lot = known_lot ? &lots[static_cast<std::size_t>(part.lot)] : nullptr;
    if (known_lot && clock_ == Clock::harvest) return of_harvest(*lot, part.lot);
    Parcel parcel{.lot = part.name, .vintage = known_lot ? lot->vintage : 0};
    parcel.zero_day = day_number(date) - 365.0 * part.age_years;  // stays unknown where no age is stated
    parcel.older_than_day = day_number(date);
    return same_or_new(parcel, date, of_wood);
  }

  /// A part of what was brought from another reserve: it keeps its lot, its age and its day of entry. By the clock
  /// `wood` it did not age between the draw and this day.
  int brought(const BroughtPart& part, const std::vector<Lot>& lots, const Date& date, bool tank, bool of_wood) {
    const auto lot = std::find_if(lots.begin(), lots.end(), [&](const Lot& one) { return one.name == part.lot; });
    const bool of_lot = lot != lots.end() && !is_known(part.older_than_day);
    const int index = static_cast<int>(lot - lots.begin());
    if (of_lot && clock_ == Clock::harvest) return of_harvest(*lot, index);
    if (of_lot && part.outside) return tank ? outside(*lot, index) : entering(*lot, index, date, of_wood);
    Parcel parcel{.lot = part.lot, .vintage = part.vintage};
    parcel.entered_known = part.entered_on.has_value();
    parcel.entered = part.entered_on.value_or(Date{});
    parcel.zero_day = part.zero_day;
    parcel.older_than_day = part.older_than_day;
    if (clock_ == Clock::wood) {
      const bool known = is_known(part.age_when_drawn_y);
      parcel.zero_day = day_number(date) - 365.0 * part.age_when_drawn_y;
      parcel.older_than_day = known ? kUnknown : day_number(date) - 365.0 * part.at_least_y;
    }
    return same_or_new(parcel, date, of_wood);
  }

  /// Columns that wine outside the tiers moves to when it enters on `date`.
  std::vector<std::pair<int, int>> entering_from_outside(const std::vector<Lot>& lots, const Date& date, bool of_wood) {
    std::vector<std::pair<int, int>> pairs;
    for (const auto& [lot, column] : outside_)
      pairs.emplace_back(column, entering(lots[static_cast<std::size_t>(lot)], lot, date, of_wood));
    return pairs;
  }

 private:
  using Key = std::tuple<int, int, int>;

  /// The column of wine that is told apart by nothing else, else a new one.
  int same_or_new(const Parcel& parcel, const Date& date, bool of_wood) {
    if (clock_ == Clock::wood) return wood_.column_of(same_or_new_wine(parcel, date), of_wood, parcels_);
    for (std::size_t i = 0; i < parcels_.size(); ++i)
      if (same(parcels_[i], parcel)) return static_cast<int>(i);
    parcels_.push_back(parcel);
    return static_cast<int>(parcels_.size()) - 1;
  }

  int same_or_new_wine(const Parcel& parcel, const Date& date) {
    const int day = day_number(date);
    for (const auto& [wine, came, like] : wines_)
      if (came == day && same(like, parcel)) return wine;
    wines_.push_back({wood_.came(day, parcel), day, parcel});
    return std::get<0>(wines_.back());
  }

  static bool same(const Parcel& a, const Parcel& b) {
    const auto as_known = [](double one, double other) { return one == other || (!is_known(one) && !is_known(other)); };
    return a.lot == b.lot && a.entered_known == b.entered_known && a.entered == b.entered &&
           as_known(a.older_than_day, b.older_than_day) && as_known(a.zero_day, b.zero_day) && !a.outside;
  }

  int of_harvest(const Lot& lot, int lot_index) {
    return find_or_add({lot_index, 0, 1}, {}, false, [&] {
      Parcel parcel{.lot = lot.name, .vintage = lot.vintage};
      parcel.zero_day = day_number(lot.harvested);
      return parcel;
    });
  }

  template <class Make>
  int find_or_add(const Key& key, const Date& date, bool of_wood, Make make) {
    if (clock_ == Clock::wood) {  // then what is known is the wine, whose column depends on where it comes in
      const auto [it, added] = known_.try_emplace(key, 0);
      if (added) it->second = wood_.came(day_number(date), make());
      return wood_.column_of(it->second, of_wood, parcels_);
    }
    const auto [it, added] = known_.try_emplace(key, static_cast<int>(parcels_.size()));
    if (added) parcels_.push_back(make());
    return it->second;
  }

  Clock clock_;
  std::vector<Parcel>& parcels_;
  WoodParts& wood_;
  std::map<Key, int> known_;
  std::vector<std::tuple<int, int, Parcel>> wines_;  // of an opening or another reserve: number, day, as it came
  std::map<int, int> outside_;
};

}  // namespace tierce
