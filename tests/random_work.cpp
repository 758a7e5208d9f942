#include "tests/random_work.h"

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

Draw into_a_tank(std::mt19937& rng, const twin::Cellar& cellar, Draw draw) {
  if (twin::is_tank(cellar, draw.from.row)) return draw;
  const double litres = draw.amount.litres_of(litres_in(cellar.rows[at(draw.from.row)]));
  for (int row = 0; row < static_cast<int>(cellar.rows.size()); ++row) {
    const double room_l = twin::capacity_of(cellar, row) - litres_in(cellar.rows[at(row)]);
    if (twin::is_tank(cellar, row) && room_l > litres && between(rng, 0.0, 1.0) < 0.6) draw.to = Place{{}, row, -1};
  }
  return draw;
}

void point_at(Action& action, const At& at) {
  if (auto* draw = std::get_if<Draw>(&action)) draw->amount.at = at;
  if (auto* move = std::get_if<Move>(&action)) move->amount.at = at;
  if (auto* lose = std::get_if<Lose>(&action)) lose->amount.at = at;
  if (auto* dose = std::get_if<Dose>(&action)) dose->at = at;
  if (auto* bottle = std::get_if<Bottle>(&action)) bottle->bottles.at = at;
  if (auto* refill = std::get_if<Refill>(&action); refill != nullptr && refill->from) refill->from->at = at;
  if (auto* gauge = std::get_if<Gauge>(&action))
    for (auto& [place, read_l] : gauge->read_l) place.at = at;
}

}  // namespace tierce::test
