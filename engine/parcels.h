// Which column of the state wine goes into: by its lot, and where the clock tells them apart, by its day of entry.
#pragma once

#include <algorithm>
#include <map>
#include <tuple>
#include <utility>
#include <vector>

#include "engine/stock.h"

namespace tierce {

/// Finds or makes the column for wine of a lot.
class Parcels {
 public:
  Parcels(Clock clock, std::vector<Parcel>& parcels) : clock_(clock), parcels_(parcels) {}

  int entering(const Lot& lot, int lot_index, const Date& date) {
    if (clock_ == Clock::harvest) return of_harvest(lot, lot_index);
    return find_or_add({lot_index, day_number(date), 0}, [&] {
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
    }
    return it->second;
  }

  /// Spirit poured into wine is a parcel of its own, of unknown age where nobody states when it was made.
  int spirit(const Spirit& spirit, int index, const Date& date) {
    return find_or_add({index, day_number(date), 2}, [&] {
      Parcel parcel{.lot = spirit.name};
      parcel.entered_known = clock_ != Clock::harvest;
      parcel.entered = date;
      parcel.zero_day = clock_ != Clock::harvest ? day_number(date) : spirit.made ? day_number(*spirit.made) : kUnknown;
      if (!is_known(parcel.zero_day)) parcel.older_than_day = day_number(date);
      return parcel;
    });
  }

  /// A part of an opening stock: of a known lot (and then of known harvest), or of a name and perhaps an age.
  int opening(const Opening::Part& part, const std::vector<Lot>& lots, const Date& date) {
    const bool known_lot = part.lot >= 0;
    const Lot* lot = known_lot ? &lots[static_cast<std::size_t>(part.lot)] : nullptr;
    if (known_lot && clock_ == Clock::harvest) return of_harvest(*lot, part.lot);
    Parcel parcel{.lot = part.name, .vintage = known_lot ? lot->vintage : 0};
    parcel.zero_day = day_number(date) - 365.0 * part.age_years;  // stays unknown where no age is stated
    parcel.wood_years_before = part.age_years;
    parcel.older_than_day = day_number(date);
    return same_or_new(parcel);
  }

  /// A part of what was brought from another reserve: it keeps its lot, its age and its day of entry.
  int brought(const BroughtPart& part, const std::vector<Lot>& lots, const Date& date, bool tank) {
    const auto lot = std::find_if(lots.begin(), lots.end(), [&](const Lot& one) { return one.name == part.lot; });
    const bool of_lot = lot != lots.end() && !is_known(part.older_than_day);
    const int index = static_cast<int>(lot - lots.begin());
    if (of_lot && clock_ == Clock::harvest) return of_harvest(*lot, index);
    if (of_lot && part.outside) return tank ? outside(*lot, index) : entering(*lot, index, date);
    Parcel parcel{.lot = part.lot, .vintage = part.vintage};
    parcel.entered_known = part.entered_on.has_value();
    parcel.entered = part.entered_on.value_or(Date{});
    parcel.zero_day = part.zero_day;
    parcel.wood_years_before = part.wood_years_before;
    parcel.older_than_day = part.older_than_day;
    return same_or_new(parcel);
  }

  /// Columns that wine outside the tiers moves to when it enters on `date`.
  std::vector<std::pair<int, int>> entering_from_outside(const std::vector<Lot>& lots, const Date& date) {
    std::vector<std::pair<int, int>> pairs;
    for (const auto& [lot, column] : outside_)
      pairs.emplace_back(column, entering(lots[static_cast<std::size_t>(lot)], lot, date));
    return pairs;
  }

 private:
  using Key = std::tuple<int, int, int>;

  /// The column of wine that is told apart by nothing else, else a new one.
  int same_or_new(const Parcel& parcel) {
    const auto same = [](double a, double b) { return a == b || (!is_known(a) && !is_known(b)); };
    for (std::size_t i = 0; i < parcels_.size(); ++i) {
      const Parcel& other = parcels_[i];
      if (other.lot == parcel.lot && other.entered_known == parcel.entered_known && other.entered == parcel.entered &&
          same(other.older_than_day, parcel.older_than_day) && same(other.zero_day, parcel.zero_day) && !other.outside)
        return static_cast<int>(i);
    }
    parcels_.push_back(parcel);
    return static_cast<int>(parcels_.size()) - 1;
  }

  int of_harvest(const Lot& lot, int lot_index) {
    return find_or_add({lot_index, 0, 1}, [&] {
      Parcel parcel{.lot = lot.name, .vintage = lot.vintage};
      parcel.zero_day = day_number(lot.harvested);
      return parcel;
    });
  }

  template <class Make>
  int find_or_add(const Key& key, Make make) {
    const auto [it, added] = known_.try_emplace(key, static_cast<int>(parcels_.size()));
    if (added) parcels_.push_back(make());
    return it->second;
  }

  Clock clock_;
  std::vector<Parcel>& parcels_;
  std::map<Key, int> known_;
  std::map<int, int> outside_;
};

}  // namespace tierce
