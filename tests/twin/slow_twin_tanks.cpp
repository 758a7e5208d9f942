// The twin's tanks: draws that stand in them, bottlings, and refills out of them.
#include "tests/twin/slow_twin.h"

namespace tierce::twin {

std::optional<Refusal> draw(Cellar& cellar, const Deed& deed, const Draw& draw) {
  const Asked asked = ask(cellar, draw.from, draw.amount);
  if (asked.refusal) return asked.refusal;
  const Taken taken = take(cellar, draw.from, asked);
  cellar.draws.push_back(
      {deed.date, draw.name, draw.from.row, asked.litres, taken.wine, taken.dissolved, ages_of(cellar, taken.wine)});
  if (!draw.to) {
    count_all(cellar, kTaken, taken.wine);
    return std::nullopt;
  }
  Row& tank = cellar.rows[at(draw.to->row)];  // still in the book
  put(tank, taken);
  raise_levels(cellar, *draw.to, asked.litres);
  tank.filled_at = deed.at;
  tank.standing.push_back(static_cast<int>(cellar.draws.size()) - 1);
  begin_sulfur_step(tank);
  return std::nullopt;
}

std::optional<Refusal> bottle(Cellar& cellar, const Deed& deed, const Bottle& bottle) {
  Row& tank = cellar.rows[at(bottle.from.row)];
  const std::vector<int> standing = tank.standing;
  const double filled_l = bottle.bottles.value * bottle.bottles.bottle_l;
  Asked asked = ask(cellar, bottle.from, {bottle.bottles.at, Amount::Kind::litres, filled_l + bottle.loss_l, 0.0});
  if (asked.refusal) return asked.refusal;
  Taken taken = take(cellar, bottle.from, asked);
  // Of what leaves the tank, the loss is its part and the bottles hold the rest.
  Drawn wine{deed.date, bottle.name, bottle.from.row, asked.litres - bottle.loss_l, {}, {}, {}};
  const double lost = bottle.loss_l / asked.litres;
  for (const Parcel& parcel : taken.wine) {
    const auto share_of = [&](double share) {
      return Parcel{
          parcel.source, parcel.entered_day, parcel.litres * share, parcel.entered_l * share, parcel.alcohol_l * share,
          parcel.wood_y};
    };
    if (lost > 0.0) count(cellar, kSpilt, share_of(lost));
    count(cellar, kFilled, share_of(1.0 - lost));
    wine.wine.push_back(share_of(1.0 - lost));
  }
  const double kept = 1.0 - lost;
  wine.dissolved = {taken.dissolved.sugar_g * kept,         taken.dissolved.acid_g * kept,
                    taken.dissolved.so2_total_mg * kept,    taken.dissolved.so2_free_mg * kept,
                    taken.dissolved.money * kept,           taken.dissolved.so2_free_low_mg * kept,
                    taken.dissolved.so2_free_high_mg * kept};
  wine.ages = ages_of(cellar, wine.wine);
  cellar.bottlings.push_back({wine, bottle.bottles.value, standing});
  return std::nullopt;
}

std::optional<Refusal> take_of_lot(Cellar& cellar, int lot, double litres, At asked_at) {
  if (at(lot) >= cellar.used_l.size() || !cellar.scenario->lots[at(lot)].made) return std::nullopt;
  const LotMade& made = *cellar.scenario->lots[at(lot)].made;
  if (made.in) return std::nullopt;  // what there is of it is what the tank holds
  const double left_l = made.volume_l - made.volume_l * made.lees_fraction - cellar.used_l[at(lot)];
  if (litres > left_l + 1e-9 * made.volume_l) return Refusal{.at = asked_at, .row = 0, .short_l = litres - left_l};
  cellar.used_l[at(lot)] += litres;
  return std::nullopt;
}

std::optional<Refusal> give_from_tank(Cellar& cellar, const Deed& deed, const Place& tank, double litres) {
  const Asked asked = ask(cellar, tank, {tank.at, Amount::Kind::litres, litres, 0.0});
  if (asked.refusal) return asked.refusal;
  Taken taken = take(cellar, tank, asked);
  for (Parcel& parcel : taken.wine)
    if (parcel.entered_day == kNever) parcel.entered_day = cellar.day;
  put(cellar.rows[0], taken);
  raise_levels(cellar, Place{{}, 0, -1}, asked.litres);
  cellar.rows[0].filled_at = deed.at;
  begin_sulfur_step(cellar.rows[0]);
  return std::nullopt;
}

}  // namespace tierce::twin
