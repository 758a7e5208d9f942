#include "engine/run/wood_paths.h"

#include <algorithm>

namespace tierce {

void WoodPaths::follow(const Event& event) {
  if (held_.empty() || line_.wood.shared()) return;  // once parts share columns, every wine has the ones it needs
  std::visit([&](const auto& act) { acts(act, event); }, event.act);
}

void WoodPaths::put(int row, int column) {
  Held& held = held_[static_cast<std::size_t>(row)];
  const auto at = static_cast<std::size_t>(column);
  if (held.has.size() <= at) held.has.resize(std::max(line_.parcels.size(), at + 1));
  if (held.has[at]) return;
  held.has[at] = true;
  held.columns.push_back(column);
}

void WoodPaths::pass(int from, int to, const Event& event) {
  if (from == to) return;
  const bool of_wood = scenario_.is_wooden(to);
  const std::vector<int>& given = held_[static_cast<std::size_t>(from)].columns;
  for (std::size_t i = 0; i < given.size(); ++i) {
    int column = given[i];
    for (const auto& [outside, inside] : event.entering)
      if (column == outside) column = inside;
    put(to, line_.wood.turn(column, of_wood, event.day, line_.parcels));
    if (line_.wood.shared()) return;
  }
}

void WoodPaths::come(int row, const Event& event) {
  if (event.parcel >= 0) put(row, event.parcel);
  for (const int column : event.brought) put(row, column);
}

/// Only a share of 1 empties a row for certain.
void WoodPaths::empty(const Place& place, const Amount& amount) {
  if (place.vessel >= 0 || amount.kind != Amount::Kind::share || amount.value < 1.0) return;
  held_[static_cast<std::size_t>(place.row)] = {};
}

void WoodPaths::acts(const Open& open, const Event&) {
  const int row = scenario_.opening[open.opening].row;
  for (const auto& [column, share] : open.shares) put(row, column);
}

void WoodPaths::acts(const Add& add, const Event& event) { come(add.to.row, event); }

void WoodPaths::acts(const Move& move, const Event& event) {
  pass(move.from.row, move.to.row, event);
  if (move.from.row != move.to.row) empty(move.from, move.amount);
}

void WoodPaths::acts(const Draw& draw, const Event& event) {
  if (draw.to) pass(draw.from.row, draw.to->row, event);
  empty(draw.from, draw.amount);
}

/// In the order in which wine goes down the tiers (design decision 6).
void WoodPaths::acts(const Refill& refill, const Event& event) {
  const int last = scenario_.tier_count() - 1;
  const auto new_wine = [&] {
    if (refill.from) pass(refill.from->row, 0, event);
    else come(0, event);
  };
  if (refill.order == RefillOrder::youngest_first) {
    new_wine();
    for (int to = 1; to <= last; ++to) pass(to - 1, to, event);
  } else {
    for (int to = last; to >= 1; --to) pass(to - 1, to, event);
    new_wine();
  }
}

void WoodPaths::acts(const Fortify& fortify, const Event& event) { put(fortify.place.row, event.parcel); }

void WoodPaths::acts(const Lose& lose, const Event&) { empty(lose.from, lose.amount); }

void WoodPaths::acts(const Bottle& bottle, const Event&) { empty(bottle.from, bottle.bottles); }

}  // namespace tierce
