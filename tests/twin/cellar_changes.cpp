#include "tests/twin/cellar_changes.h"

namespace tierce::test {
namespace {

void scale(Amount& amount, double factor) {
  if (amount.kind == Amount::Kind::litres) amount.value *= factor;
  amount.bottle_l *= factor;
}

void scale(Action& action, double factor) {
  if (auto* add = std::get_if<Add>(&action)) scale(add->amount, factor);
  if (auto* draw = std::get_if<Draw>(&action)) scale(draw->amount, factor);
  if (auto* move = std::get_if<Move>(&action)) scale(move->amount, factor);
  if (auto* lose = std::get_if<Lose>(&action)) scale(lose->amount, factor);
  if (auto* gauge = std::get_if<Gauge>(&action))
    for (auto& [place, litres] : gauge->read_l) litres *= factor;
  if (auto* refill = std::get_if<Refill>(&action))
    if (refill->volume_l) *refill->volume_l *= factor;
  if (auto* bottle = std::get_if<Bottle>(&action)) {
    scale(bottle->bottles, factor);
    bottle->loss_l *= factor;
  }
  if (auto* dose = std::get_if<Dose>(&action); dose != nullptr && dose->kind == Dose::Kind::metabisulfite)
    dose->value *= factor;
  if (auto* in = std::get_if<BringIn>(&action)) {
    in->capacity_l *= factor;
    in->soakage_l *= factor;
  }
  if (auto* set = std::get_if<Set>(&action)) {
    if (set->target_l) *set->target_l *= factor;
    if (set->evaporation && set->evaporation->kind == Evaporation::Kind::litres_per_vessel)
      set->evaporation->per_year *= factor;
  }
}

void scale(HabitDay& doing, double factor) {
  if (doing.draw) scale(*doing.draw, factor);
  if (doing.refill.volume_l) *doing.refill.volume_l *= factor;
}

}  // namespace

Scenario scaled(Scenario scenario, double factor) {
  for (Tier& tier : scenario.tiers) {
    tier.target_l *= factor;
    for (Vessel& vessel : tier.vessels) vessel.capacity_l *= factor;
    if (tier.evaporation.kind == Evaporation::Kind::litres_per_vessel) tier.evaporation.per_year *= factor;
  }
  for (Lot& lot : scenario.lots)
    if (lot.made) lot.made->volume_l *= factor;
  for (Tank& tank : scenario.tanks) tank.capacity_l *= factor;
  for (Opening& opening : scenario.opening) opening.volume_l *= factor;
  for (Entry& entry : scenario.log) scale(entry.action, factor);
  for (Routine& routine : scenario.habit) {
    scale(routine.usual, factor);
    for (auto& [year, doing] : routine.except) scale(doing, factor);
  }
  return scenario;
}

// Entries of one day that have no tier or tank in common may stand in either order.
std::set<int> rows_of(const Scenario& scenario, const Action& action) {
  std::set<int> rows;
  if (const auto* add = std::get_if<Add>(&action)) rows = {add->to.row};
  if (const auto* draw = std::get_if<Draw>(&action)) rows = {draw->from.row, draw->to ? draw->to->row : draw->from.row};
  if (const auto* move = std::get_if<Move>(&action)) rows = {move->from.row, move->to.row};
  if (const auto* lose = std::get_if<Lose>(&action)) rows = {lose->from.row};
  if (const auto* analyse = std::get_if<Analyse>(&action)) rows = {analyse->place.row};
  if (const auto* gauge = std::get_if<Gauge>(&action))
    for (const auto& [place, litres] : gauge->read_l) rows.insert(place.row);
  if (const auto* bottle = std::get_if<Bottle>(&action)) rows = {bottle->from.row};
  if (const auto* in = std::get_if<BringIn>(&action)) rows = {in->vessel.row};
  if (const auto* out = std::get_if<TakeOut>(&action)) rows = {out->vessel.row};
  if (const auto* set = std::get_if<Set>(&action)) rows = {set->tier.row};
  if (const auto* refill = std::get_if<Refill>(&action); refill != nullptr && refill->from)
    rows.insert(refill->from->row);
  const auto* dose = std::get_if<Dose>(&action);
  if (dose && dose->place) rows = {dose->place->row};
  if (std::holds_alternative<Refill>(action) || (dose && !dose->place))
    for (int row = 0; row < scenario.tier_count(); ++row) rows.insert(row);
  return rows;
}

std::set<int> rows_filled(const Scenario& scenario, const Event& event) {
  std::set<int> rows;
  if (const auto* open = std::get_if<Open>(&event.act)) rows = {scenario.opening[open->opening].row};
  if (const auto* add = std::get_if<Add>(&event.act)) rows = {add->to.row};
  if (const auto* move = std::get_if<Move>(&event.act)) rows = {move->to.row};
  if (const auto* draw = std::get_if<Draw>(&event.act); draw != nullptr && draw->to) rows = {draw->to->row};
  if (std::holds_alternative<Refill>(event.act))
    for (int row = 0; row < scenario.tier_count(); ++row) rows.insert(row);
  return rows;
}

}  // namespace tierce::test
