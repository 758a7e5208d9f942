#include "engine/run/wood_parts.h"

namespace tierce {
namespace {}  // namespace

std::uint64_t WoodParts::key_of(const Part& part) {
  return (static_cast<std::uint64_t>(part.wine) << 33) | (static_cast<std::uint64_t>(part.ages) << 32) |
         static_cast<std::uint32_t>(part.days);
}

/// Of the days since the wine came, those that are not of the one kind are of the other.
WoodParts::Part WoodParts::turned(const Part& part, bool of_wood, int day) const {
  return {part.wine, of_wood, part.days == kShared ? kShared : day - came_day_[nth(part.wine)] - part.days};
}

int WoodParts::find(const Part& part) const {
  const auto known = columns_.find(key_of(part));
  if (known != columns_.end()) return known->second;
  const auto shared = columns_.find(key_of({part.wine, part.ages, kShared}));
  return shared != columns_.end() ? shared->second : -1;
}

int WoodParts::turned(int column, bool of_wood, int day) const {
  const Part& from = part(column);
  if (from.wine == kNoWine || from.ages == of_wood) return column;
  const int to = find(turned(from, of_wood, day));
  return to < 0 ? column : to;
}

int WoodParts::came(int day, const Parcel& like) {
  wines_.push_back(like);
  came_day_.push_back(day);
  return static_cast<int>(wines_.size()) - 1;
}

int WoodParts::column_of(int wine, bool of_wood, std::vector<Parcel>& parcels) {
  const auto known = columns_.find(key_of({wine, of_wood, 0}));
  if (known != columns_.end()) return known->second;
  const int column = add({wine, of_wood, 0}, parcels);
  if (full_) add_shared(wine, parcels);
  return column;
}

int WoodParts::turn(int column, bool of_wood, int day, std::vector<Parcel>& parcels) {
  const Part from = part(column);
  if (from.wine == kNoWine || from.ages == of_wood) return column;
  if (++turns_ > kMostTurns || parcels.size() >= kMostParts) share_the_rest(parcels);
  const Part to = turned(from, of_wood, day);
  const int known = find(to);
  return known >= 0 ? known : add(to, parcels);
}

void WoodParts::leave_alone(int column) { parts_.resize(nth(column) + 1); }

void WoodParts::share_the_rest(std::vector<Parcel>& parcels) {
  if (full_) return;
  full_ = true;
  for (std::size_t wine = 0; wine < wines_.size(); ++wine) add_shared(static_cast<int>(wine), parcels);
}

void WoodParts::add_shared(int wine, std::vector<Parcel>& parcels) {
  for (const bool ages : {false, true})
    if (!columns_.contains(key_of({wine, ages, kShared}))) add({wine, ages, kShared}, parcels);
}

int WoodParts::add(const Part& part, std::vector<Parcel>& parcels) {
  const auto column = static_cast<int>(parcels.size());
  const int days = part.days == kShared ? 0 : part.days;
  Parcel parcel = wines_[nth(part.wine)];
  parcel.shared = part.days == kShared;
  if (part.ages) {
    parcel.zero_day += days;
    parcel.older_than_day += days;
  } else {
    parcel.rests_since_day = came_day_[nth(part.wine)] + days;
  }
  parcels.push_back(parcel);
  parts_.resize(parcels.size());
  parts_.back() = part;
  columns_.emplace(key_of(part), column);
  return column;
}

}  // namespace tierce
