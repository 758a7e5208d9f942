#include "tests/twin/random_work.h"

#include <algorithm>
#include <cmath>

namespace tierce::test {
namespace {

using twin::at;
using twin::litres_in;

double between(std::mt19937& rng, double low, double high) {
  return std::uniform_real_distribution<double>(low, high)(rng);
}

Bottle some_bottles(std::mt19937& rng, int tank, double held_l) {
  Bottle bottle;
  bottle.from = {{}, tank, -1};
  const double size_l = between(rng, 0.0, 1.0) < 0.5 ? 0.375 : 0.75;
  bottle.bottles = {
      {}, Amount::Kind::bottles, std::max(1.0, std::floor(between(rng, 0.05, 1.0) * held_l / size_l)), size_l};
  if (between(rng, 0.0, 1.0) < 0.6) bottle.loss_l = between(rng, 0.0, 1.0) * (held_l - bottle.bottles.litres_of(0.0));
  bottle.loss_l = std::max(0.0, bottle.loss_l);
  if (between(rng, 0.0, 1.0) < 0.3) bottle.loss_l = std::max(0.0, held_l - bottle.bottles.litres_of(0.0));
  bottle.name = "Bottled";
  return bottle;
}

}  // namespace

std::optional<Action> work_on_tank(std::mt19937& rng, const twin::Cellar& cellar, int tank) {
  const double held_l = litres_in(cellar.rows[at(tank)]);
  if (held_l < 1.0) return std::nullopt;
  if (between(rng, 0.0, 1.0) < 0.6) return some_bottles(rng, tank, held_l);
  Refill refill{-1, {}, RefillOrder::oldest_first, {}, Place{{}, tank, -1}};
  if (between(rng, 0.0, 1.0) < 0.5) refill.order = RefillOrder::youngest_first;
  const double room_l = twin::capacity_of(cellar, 0) - litres_in(cellar.rows[0]);
  if (between(rng, 0.0, 1.0) < 0.7) refill.volume_l = std::max(0.0, std::min(held_l, room_l)) * between(rng, 0.0, 1.0);
  return refill;
}

Action work_on_vessels(std::mt19937& rng, const Scenario& scenario, const twin::Cellar& cellar, int row) {
  const twin::Row& tier = cellar.rows[at(row)];
  std::vector<int> there, away;
  for (int vessel = 0; vessel < static_cast<int>(tier.capacities_l.size()); ++vessel)
    (tier.capacities_l[at(vessel)] > 0.0 ? there : away).push_back(vessel);
  const double way = between(rng, 0.0, 1.0);
  if (!away.empty() && way < 0.5) {
    const double capacity_l = scenario.tiers[at(row)].vessels[at(away[0])].capacity_l * between(rng, 0.8, 1.2);
    return BringIn{{{}, row, away[0]}, capacity_l, way < 0.25 ? between(rng, 0.0, 0.03) * capacity_l : 0.0};
  }
  if (there.size() > 1 && way < 0.75)
    return TakeOut{{{}, row, there[static_cast<std::size_t>(between(rng, 0.0, 0.999) * double(there.size()))]}, "sold"};
  Set set;
  set.tier = {{}, row, -1};
  if (between(rng, 0.0, 1.0) < 0.5) set.target_l = twin::capacity_of(cellar, row) * between(rng, 0.4, 1.0);
  if (between(rng, 0.0, 1.0) < 0.5)
    set.evaporation = Evaporation{Evaporation::Kind::share, between(rng, 0.0, 0.08), true};
  if (between(rng, 0.0, 1.0) < 0.5) set.vapour_pct = between(rng, 2.0, 22.0);
  return set;
}

Draw into_a_tank(std::mt19937& rng, const twin::Cellar& cellar, Draw draw) {
  if (twin::is_tank(cellar, draw.from.row)) return draw;
  const double litres = draw.amount.litres_of(litres_in(cellar.rows[at(draw.from.row)]));
  for (int row = 0; row < static_cast<int>(cellar.rows.size()); ++row) {
    const double room_l = twin::capacity_of(cellar, row) - litres_in(cellar.rows[at(row)]);
    if (twin::is_tank(cellar, row) && room_l > litres && between(rng, 0.0, 1.0) < 0.6) draw.to = Place{{}, row, -1};
  }
  return draw;
}

void state_costs(unsigned seed, bool all_known, Scenario& scenario) {
  std::mt19937 rng(seed + 1);
  const auto chance = [&](double probability) { return between(rng, 0.0, 1.0) < probability; };
  const bool all = all_known || chance(0.5);
  const auto state = [&](Cost& cost) {
    const double per_litre = between(rng, 0.0, 20.0);
    if (all || chance(0.8)) cost = {per_litre, "EUR"};
  };
  for (Lot& lot : scenario.lots) state(lot.cost);
  for (Opening& opening : scenario.opening) state(opening.cost);
  for (Routine& routine : scenario.habit) {
    if (chance(0.3)) state(routine.usual.refill.cost);
    for (auto& [year, day] : routine.except)
      if (chance(0.5)) state(day.refill.cost);
  }
  if (chance(0.6)) scenario.interest_per_year = between(rng, 0.0, 0.06);
}

void point_at(Action& action, const At& at) {
  if (auto* draw = std::get_if<Draw>(&action)) draw->amount.at = draw->from.at = at;
  if (auto* move = std::get_if<Move>(&action)) move->amount.at = move->from.at = move->to.at = at;
  if (auto* lose = std::get_if<Lose>(&action)) lose->amount.at = lose->from.at = at;
  if (auto* analyse = std::get_if<Analyse>(&action)) analyse->place.at = at;
  if (auto* dose = std::get_if<Dose>(&action)) dose->at = at;
  if (auto* bottle = std::get_if<Bottle>(&action)) bottle->bottles.at = at;
  if (auto* add = std::get_if<Add>(&action)) add->amount.at = add->to.at = at;
  if (auto* refill = std::get_if<Refill>(&action)) {
    refill->lot_at = at;
    if (refill->from) refill->from->at = at;
  }
  if (auto* in = std::get_if<BringIn>(&action)) in->vessel.at = at;
  if (auto* out = std::get_if<TakeOut>(&action)) out->vessel.at = at;
  if (auto* set = std::get_if<Set>(&action)) set->tier.at = at;
  if (auto* gauge = std::get_if<Gauge>(&action))
    for (auto& [place, read_l] : gauge->read_l) place.at = at;
}

}  // namespace tierce::test
