// Clock `wood`: parts of one wine whose time in wood differs are columns of their own. In a wooden tier a part ages, so
// what is kept of it is the time it spent outside; anywhere else it rests, and what is kept is its time in wood. A part
// changes its column when it goes from the one to the other, and only then.
#pragma once

#include <cstddef>
#include <cstdint>
#include <unordered_map>
#include <vector>

#include "engine/run/stock.h"

namespace tierce {

/// Once there are so many columns, further parts of a wine share one (Pool in stock.h).
constexpr std::size_t kMostParts = 10'000;
/// The same once so many changes have been followed through the timeline: about as many as a tenth of a second takes.
constexpr std::size_t kMostTurns = 1'000'000;

/// The columns of all parts that there can be; empty for the other clocks.
class WoodParts {
 public:
  bool any() const { return !parts_.empty(); }
  /// Whether some column holds parts that are not told apart.
  bool shared() const { return full_; }

  /// The column of this wine from `day` on in a row that is of wood or is not; its own where that changes nothing.
  int turned(int column, bool of_wood, int day) const;
  /// How the days of the parts in `column`, known or shared, turn into those of a shared column on `day`: they become
  /// this less what they were.
  int days_since_it_came(int column, int day) const { return day - came_day_[part(column).wine]; }
  bool is_shared(int column) const { return part(column).days == kShared; }
  int days_of(int column) const { return part(column).days; }

  // While the timeline is made.

  /// A wine that comes into the book on a day; `like` is its column while it ages. Answers its number.
  int came(int day, const Parcel& like);
  /// The column of a wine on the day it came.
  int column_of(int wine, bool of_wood, std::vector<Parcel>& parcels);
  /// As turned(); makes the column if there is none yet.
  int turn(int column, bool of_wood, int day, std::vector<Parcel>& parcels);
  /// A column that is never turned: wine outside the tiers.
  void leave_alone(int column);
  /// From now on all new parts share the columns of their wine.
  void share_the_rest(std::vector<Parcel>& parcels);

 private:
  static constexpr int kShared = -1, kNoWine = -1;
  struct Part {
    int wine = kNoWine;
    bool ages = false;
    int days = 0;  // outside wood where it ages, in wood where it rests
  };
  const Part& part(int column) const { return parts_[static_cast<std::size_t>(column)]; }
  static std::uint64_t key_of(const Part& part);
  Part turned(const Part& part, bool of_wood, int day) const;
  int find(const Part& part) const;
  int find_or_add(const Part& part, std::vector<Parcel>& parcels);
  int add(const Part& part, std::vector<Parcel>& parcels);
  void add_shared(int wine, std::vector<Parcel>& parcels);

  std::vector<Part> parts_;      // by column
  std::vector<Parcel> wines_;    // as they age
  std::vector<int> came_day_{};  // by wine
  std::unordered_map<std::uint64_t, int> columns_;
  std::size_t turns_ = 0;
  bool full_ = false;
};

}  // namespace tierce
