#include "engine/run/cellar_work.h"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "engine/run/ageing.h"
#include "engine/run/fast/lots.h"
#include "engine/run/taking.h"

namespace tierce {
namespace {

const Lot& lot_of(const Run& run, int lot) { return run.line.lots[static_cast<std::size_t>(lot)]; }

/// What a tank gives to a refill, lot by lot.
std::vector<std::pair<std::string, double>> lots_of_tank(const Run& run, int row, double share) {
  std::vector<std::pair<std::string, double>> lots;
  for (Eigen::Index i = 0; i < run.now.used; ++i) {
    const double litres = share * run.now.litres(row, i);
    if (!(litres > 0.0)) continue;
    const std::string& name = run.line.parcels[static_cast<std::size_t>(i)].lot;
    const auto known = std::find_if(lots.begin(), lots.end(), [&](const auto& lot) { return lot.first == name; });
    if (known == lots.end()) lots.emplace_back(name, litres);
    else known->second += litres;
  }
  return lots;
}

/// Wine between two rows: its lots, its vessels, and its sulfur.
void pass(Run& run, const Event& event, const Place& from, const Place& to, const Asked& asked) {
  for (const int row : {from.row, to.row}) write_lots(run, row);  // a refill has poured from the row before
  pour(run.now, from.row, to.row, asked.share_of_row);
  enter_tiers(run, to.row, event.entering);
  turn_parts(run, to.row);
  lower(run, from, asked);
  raise(run, to, asked.litres, event.at);
  settle(run, to.row);
}

/// The pours of a refill, from tier to tier.
void pour(Run& run, const Event& event, const RefillPlan& plan) {
  if (plan.all_give_some && run.scenario.clock != Clock::wood) {
    for (const Pour& moved : plan.pours) pass_volume(run, moved, event.at);
    pour_down_lots(run);
    return;
  }
  for (const Pour& moved : plan.pours) {
    pour_lots(run, moved.from, moved.to, moved.share);
    turn_parts(run, moved.to);
    lower(run, Place{event.at, moved.from, -1}, {moved.litres, moved.share, {}});
    raise(run, Place{event.at, moved.to, -1}, moved.litres, event.at);
    if (plan.new_wine_first) settle_sulfur(run.now, moved.to);  // it is the next to give; else it has given already
  }
}

/// The record of the day, begun with what was dosed earlier on it.
RefreshRecord& refresh_of_day(Run& run, const Event& event) {
  auto& refreshes = run.out.refreshes;
  if (!refreshes.empty() && refreshes.back().date == event.date) return refreshes.back();
  refreshes.push_back(RefreshRecord{.date = event.date, .past = event.past});
  const auto& doses = run.out.doses;
  auto first = doses.end();
  while (first != doses.begin() && std::prev(first)->date == event.date) --first;
  refreshes.back().doses.assign(first, doses.end());
  return refreshes.back();
}

Fault too_little(const Run& run, const Event& event, const Shortage& gap) {
  return {{event.at,
           "the refill of tier '" + run.scenario.name_of(gap.to) + "' needs " + litres_text(gap.missing_l) +
               " more than tier '" + run.scenario.name_of(gap.from) + "' holds on " + iso_text(event.date),
           "a smaller draw, a smaller target, or 'volume:' to refill as far as the wine goes", ""},
          gap.from,
          gap.missing_l};
}

}  // namespace

std::optional<Fault> apply(Run& run, const Event&, const Open& open) {
  const Opening& opening = run.scenario.opening[open.opening];
  const Place place{opening.at, opening.row, -1};
  for (const auto& [parcel, share] : open.shares) {
    if (share <= 0.0) continue;
    const double litres = share * opening.volume_l;
    bring_in(run, kOpening, place, opening.wine, opening.cost, litres, parcel, opening.at);
  }
  return std::nullopt;
}

std::optional<Fault> apply(Run& run, const Event& event, const Add& add) {
  return take_lot(run, event, add.lot, add.to, add.amount.litres_of(0.0), add.amount.at);
}

std::optional<Fault> apply(Run& run, const Event&, const Lose& lose) {
  const Asked asked = ask(run, lose.from, lose.amount, "the loss");
  if (asked.fault) return asked.fault;
  note_loss(run, lose.from, lose.cause, asked.litres, asked.share_of_row);
  leave(run, kLost, lose.from, asked);
  return std::nullopt;
}

std::optional<Fault> apply(Run& run, const Event& event, const Move& move) {
  const Asked asked = ask(run, move.from, move.amount, "the move");
  if (asked.fault) return asked.fault;
  const std::vector<int> standing = run.standing[static_cast<std::size_t>(move.from.row)];
  if (move.from.row != move.to.row) pass(run, event, move.from, move.to, asked);
  else {
    lower(run, move.from, asked);
    raise(run, move.to, asked.litres, event.at);
    settle(run, move.to.row);
  }
  if (!run.scenario.is_tank(move.to.row)) return std::nullopt;
  auto& there = run.standing[static_cast<std::size_t>(move.to.row)];
  for (const int draw : standing)
    if (std::find(there.begin(), there.end(), draw) == there.end()) there.push_back(draw);
  return std::nullopt;
}

std::optional<Fault> apply(Run& run, const Event& event, const Refill& refill) {
  const int tiers = run.scenario.tier_count();
  RefillPlan& plan = run.plan;
  const auto size = static_cast<std::size_t>(tiers);
  plan_refill(refill, {run.now.volume.data(), size}, {run.target_l.data(), size}, {run.tolerance_l.data(), size}, plan);
  if (plan.short_of) return too_little(run, event, *plan.short_of);
  Asked of_tank;
  std::vector<std::pair<std::string, double>> lots;
  if (plan.new_wine_l > 0.0 && refill.from) {
    of_tank = ask(run, *refill.from, {refill.from->at, Amount::Kind::litres, plan.new_wine_l, 0.0}, "the refill");
    if (of_tank.fault) return of_tank.fault;
    lots = lots_of_tank(run, refill.from->row, of_tank.share_of_row);
  } else if (plan.new_wine_l > 0.0) {
    if (auto fault = short_of_lot(run, refill.lot, plan.new_wine_l, refill.lot_at)) return fault;
    if (run.keep != Keep::flows) lots.emplace_back(lot_of(run, refill.lot).name, plan.new_wine_l);
  }
  const auto new_wine = [&] {
    if (refill.from && plan.new_wine_l > 0.0) pass(run, event, *refill.from, Place{event.at, 0, -1}, of_tank);
    else if (plan.new_wine_l > 0.0)
      take_lot(run, event, refill.lot, Place{event.at, 0, -1}, plan.new_wine_l, refill.lot_at);
  };
  if (plan.new_wine_first) new_wine();
  pour(run, event, plan);
  if (!plan.new_wine_first) new_wine();
  if (!run.all_rest)
    for (int row = 0; row < tiers; ++row) settle(run, row);
  if (run.keep == Keep::flows) return std::nullopt;
  RefreshRecord& record = refresh_of_day(run, event);
  record.new_wine_l += plan.new_wine_l;
  record.lots.insert(record.lots.end(), lots.begin(), lots.end());
  record.moves.insert(record.moves.end(), plan.pours.begin(), plan.pours.end());
  return std::nullopt;
}

namespace {

/// What would help where vessels run over: a level, or a target that is more than the vessels hold since one went.
std::string within_capacity(const Run& run, int row) {
  const double capacity_l = run.now.levels.capacity_of(row);
  if (run.scenario.is_tank(row) || !(run.target_l[row] > capacity_l * (1.0 + kVolumeTolerance)))
    return "a level up to the capacity at the end of each day";
  return "a target of at most " + litres_text(capacity_l) +
         ", which the vessels hold that are there: {do: set, tier: " + run.scenario.name_of(row) +
         ", target: " + litres_text(capacity_l) + "}";
}

}  // namespace

std::optional<Fault> overfull(const Run& run, int row) {
  const auto levels = run.now.levels.of(row);
  const auto capacities = run.now.levels.capacities_of(row);
  for (std::size_t i = 0; i < levels.size(); ++i) {
    const double over = levels[i] - capacities[i];
    const double found_over = run.over_by[static_cast<std::size_t>(row)] + kVolumeTolerance;  // by a gauge
    if (over <= std::max(run.tolerance_l[row], found_over * capacities[i])) continue;
    const Place place{{}, row, run.scenario.is_tank(row) ? -1 : static_cast<int>(i)};
    return Fault{{run.filled_at[static_cast<std::size_t>(row)],
                  named(run, place) + " holds " + litres_text(levels[i]) + " at the end of " + iso_text(run.now.date) +
                      ", more than its capacity of " + litres_text(capacities[i]),
                  within_capacity(run, row), "over by " + litres_text(over)},
                 row,
                 -over};
  }
  return std::nullopt;
}

}  // namespace tierce
