// The twin's wine out of a row and into a row, parcel by parcel and vessel by vessel.
#include <algorithm>
#include <cmath>

#include "tests/twin/slow_twin.h"

namespace tierce::twin {
namespace {

Parcel part_of(const Parcel& parcel, double share) {
  return {parcel.source, parcel.entered_day, parcel.litres * share, parcel.entered_l * share, parcel.alcohol_l * share,
          parcel.wood_y};
}

Dissolved part_of(const Dissolved& held, double share) {
  return {held.sugar_g * share, held.acid_g * share,          held.so2_total_mg * share,    held.so2_free_mg * share,
          held.money * share,   held.so2_free_low_mg * share, held.so2_free_high_mg * share};
}

/// All vessels of a tier hold the same wine: whatever is taken is a share of every parcel (design decision 8).
Taken take_share(Row& row, double share) {
  if (share >= 1.0) {  // taking all leaves exactly nothing, not even what is unknown
    Taken all{std::move(row.wine), row.dissolved};
    row.wine.clear();
    row.dissolved = {};
    row.standing.clear();
    row.step_litres = row.step_years = 0.0;
    return all;
  }
  Taken taken{{}, part_of(row.dissolved, share)};
  for (Parcel& parcel : row.wine) {
    taken.wine.push_back(part_of(parcel, share));
    parcel = part_of(parcel, 1.0 - share);
  }
  row.dissolved = part_of(row.dissolved, 1.0 - share);
  row.step_litres *= 1.0 - share;
  return taken;
}

constexpr double kSameTimeInWood = 1e-6;  // years; half a minute, where dates tell days apart

void put_parcel(Row& row, const Parcel& parcel) {
  for (Parcel& held : row.wine)
    if (held.source == parcel.source && held.entered_day == parcel.entered_day &&
        std::abs(held.wood_y - parcel.wood_y) < kSameTimeInWood) {
      held.litres += parcel.litres;
      held.entered_l += parcel.entered_l;
      held.alcohol_l += parcel.alcohol_l;
      return;
    }
  row.wine.push_back(parcel);
}

void lower_levels(Cellar& cellar, const Place& from, double litres, double share) {
  std::vector<double>& levels_l = cellar.rows[at(from.row)].levels_l;
  if (share >= 1.0) {
    for (double& level_l : levels_l) level_l = 0.0;
  } else if (from.vessel < 0) {
    for (double& level_l : levels_l) level_l *= 1.0 - share;
  } else {
    double& level_l = levels_l[at(from.vessel)];
    level_l = level_l - litres <= slack_l(cellar, from.row) ? 0.0 : level_l - litres;
  }
}

}  // namespace

double held_in(const Cellar& cellar, const Place& place) {
  const Row& row = cellar.rows[at(place.row)];
  return place.vessel < 0 ? litres_in(row) : row.levels_l[at(place.vessel)];
}

void put(Row& row, const Taken& taken) {
  for (const Parcel& parcel : taken.wine) put_parcel(row, parcel);
  row.dissolved.sugar_g += taken.dissolved.sugar_g;
  row.dissolved.acid_g += taken.dissolved.acid_g;
  row.dissolved.so2_total_mg += taken.dissolved.so2_total_mg;
  row.dissolved.so2_free_mg += taken.dissolved.so2_free_mg;
  row.dissolved.money += taken.dissolved.money;
  row.dissolved.so2_free_low_mg += taken.dissolved.so2_free_low_mg;
  row.dissolved.so2_free_high_mg += taken.dissolved.so2_free_high_mg;
}

void raise_levels(Cellar& cellar, const Place& to, double litres) {
  std::vector<double>& levels_l = cellar.rows[at(to.row)].levels_l;
  if (to.vessel >= 0) {
    levels_l[at(to.vessel)] += litres;
    return;
  }
  std::vector<double> ullage_l;
  double all_ullage_l = 0.0;
  for (std::size_t i = 0; i < levels_l.size(); ++i) {
    ullage_l.push_back(std::max(0.0, capacity_of(cellar, to.row, i) - levels_l[i]));
    all_ullage_l += ullage_l.back();
  }
  const double fits_l = std::min(litres, all_ullage_l);
  for (std::size_t i = 0; i < levels_l.size(); ++i) {
    if (all_ullage_l > 0.0) levels_l[i] += fits_l * ullage_l[i] / all_ullage_l;
    levels_l[i] += (litres - fits_l) * capacity_of(cellar, to.row, i) / capacity_of(cellar, to.row);
  }
}

Asked ask(const Cellar& cellar, const Place& from, const Amount& amount) {
  const double slack = slack_l(cellar, from.row);
  const double held_l = held_in(cellar, from), row_l = litres_in(cellar.rows[at(from.row)]);
  double wanted_l = amount.value;
  if (amount.kind == Amount::Kind::share) wanted_l = amount.value * held_l;
  if (amount.kind == Amount::Kind::bottles) wanted_l = amount.value * amount.bottle_l;
  Asked asked;
  if (held_l <= 0.0 || wanted_l > held_l + slack) {
    asked.refusal = Refusal{.at = amount.at, .row = from.row, .short_l = std::max(0.0, wanted_l - held_l)};
    return asked;
  }
  asked.litres = wanted_l >= held_l - slack ? held_l : wanted_l;
  asked.share_of_row = asked.litres >= row_l - slack ? 1.0 : asked.litres / row_l;
  return asked;
}

Taken take(Cellar& cellar, const Place& from, const Asked& asked) {
  lower_levels(cellar, from, asked.litres, asked.share_of_row);
  return take_share(cellar.rows[at(from.row)], asked.share_of_row);
}

void count_all(Cellar& cellar, Way way, const std::vector<Parcel>& wine) {
  for (const Parcel& parcel : wine) count(cellar, way, parcel);
}

void bring(Cellar& cellar, Way way, int source, const Place& to, double litres, const At& entry) {
  const Composition& wine = cellar.sources[at(source)].wine;
  Row& row = cellar.rows[at(to.row)];
  Parcel parcel{.source = source, .entered_day = is_tank(cellar, to.row) ? kNever : cellar.day};
  parcel.litres = parcel.entered_l = litres;
  parcel.alcohol_l = litres * wine.alcohol_pct / 100.0;
  put(row,
      {{parcel},
       {litres * wine.sugar_g_l, litres * wine.acidity_g_l, litres * wine.so2_total_mg_l, litres * wine.so2_free_mg_l,
        litres * cellar.sources[at(source)].cost_per_l, litres * wine.so2_free_mg_l, litres * wine.so2_free_mg_l}});
  raise_levels(cellar, to, litres);
  row.filled_at = entry;
  count(cellar, way, parcel);
  begin_sulfur_step(row);
}

}  // namespace tierce::twin
