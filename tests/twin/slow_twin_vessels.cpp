// The twin's vessels: those that come and go, and tiers that are worked otherwise from a day on.
#include <algorithm>

#include "tests/twin/slow_twin.h"

namespace tierce::twin {
namespace {

double& capacity_l(Cellar& cellar, const Place& vessel) {
  return cellar.rows[at(vessel.row)].capacities_l[at(vessel.vessel)];
}

/// Where no target is stated, it is what the vessels hold.
void aim_at_capacity(Cellar& cellar, int row) {
  Tier& tier = cellar.rows[at(row)].worked;
  if (!tier.target_stated) tier.target_l = capacity_of(cellar, row);
}

void lose(Cellar& cellar, const Place& vessel, double litres) {
  const Asked asked = ask(cellar, vessel, {{}, Amount::Kind::litres, litres, 0.0});
  count_all(cellar, kSpilt, take(cellar, vessel, asked).wine);
}

}  // namespace

std::optional<Refusal> bring_vessel_in(Cellar& cellar, const BringIn& in) {
  if (capacity_l(cellar, in.vessel) > 0.0) return Refusal{.at = in.vessel.at, .row = in.vessel.row};
  capacity_l(cellar, in.vessel) = in.capacity_l;
  aim_at_capacity(cellar, in.vessel.row);
  if (in.soakage_l > 0.0) cellar.soaking.push_back({in.vessel, in.soakage_l});
  return std::nullopt;
}

std::optional<Refusal> take_vessel_out(Cellar& cellar, const TakeOut& out) {
  if (capacity_of(cellar, out.vessel.row) <= capacity_l(cellar, out.vessel))
    return Refusal{.at = out.vessel.at, .row = out.vessel.row};
  if (held_in(cellar, out.vessel) > 0.0) lose(cellar, out.vessel, held_in(cellar, out.vessel));
  std::erase_if(cellar.soaking, [&](const Cellar::Soaking& one) {
    return one.vessel.row == out.vessel.row && one.vessel.vessel == out.vessel.vessel;
  });
  capacity_l(cellar, out.vessel) = 0.0;
  aim_at_capacity(cellar, out.vessel.row);
  return std::nullopt;
}

std::optional<Refusal> set_tier(Cellar& cellar, const Set& set) {
  Tier& tier = cellar.rows[at(set.tier.row)].worked;
  if (set.target_l && *set.target_l > capacity_of(cellar, set.tier.row) * (1.0 + 1e-9))
    return Refusal{.at = set.tier.at, .row = set.tier.row};
  if (set.target_l) tier.target_stated = true;
  if (set.target_l) tier.target_l = *set.target_l;
  if (set.evaporation) tier.evaporation = *set.evaporation;
  if (set.vapour_pct) tier.vapour_pct = *set.vapour_pct;
  return std::nullopt;
}

std::optional<Refusal> not_there(const Cellar& cellar, const Action& action) {
  std::vector<Place> places;
  if (const auto* add = std::get_if<Add>(&action)) places = {add->to};
  if (const auto* draw = std::get_if<Draw>(&action)) places = {draw->from};
  if (const auto* move = std::get_if<Move>(&action)) places = {move->from, move->to};
  if (const auto* lose = std::get_if<Lose>(&action)) places = {lose->from};
  if (const auto* analyse = std::get_if<Analyse>(&action)) places = {analyse->place};
  if (const auto* out = std::get_if<TakeOut>(&action)) places = {out->vessel};
  if (const auto* gauge = std::get_if<Gauge>(&action))
    for (const auto& [place, read_l] : gauge->read_l) places.push_back(place);
  for (const Place& place : places)
    if (place.vessel >= 0 && !is_tank(cellar, place.row) && capacity_of(cellar, place.row, at(place.vessel)) <= 0.0)
      return Refusal{.at = place.at, .row = place.row};
  return std::nullopt;
}

void soak(Cellar& cellar) {
  for (Cellar::Soaking& one : cellar.soaking) {
    const double taken_l = std::min(held_in(cellar, one.vessel), one.litres);
    if (taken_l <= 0.0) continue;
    lose(cellar, one.vessel, taken_l);
    one.litres -= taken_l;
  }
  std::erase_if(cellar.soaking, [](const Cellar::Soaking& one) { return one.litres <= 0.0; });
}

}  // namespace tierce::twin
