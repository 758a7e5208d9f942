// What the twin's cellar holds and can hold.
#include "tests/twin/slow_twin.h"

namespace tierce::twin {

double litres_in(const Row& row) {
  double litres = 0.0;
  for (const Parcel& parcel : row.wine) litres += parcel.litres;
  return litres;
}

double alcohol_in(const Row& row) {
  double alcohol_l = 0.0;
  for (const Parcel& parcel : row.wine) alcohol_l += parcel.alcohol_l;
  return alcohol_l;
}

bool is_tank(const Cellar& cellar, int row) { return at(row) >= cellar.scenario->tiers.size(); }

double capacity_of(const Cellar& cellar, int row, std::size_t vessel) {
  return cellar.rows[at(row)].capacities_l[vessel];
}

double capacity_of(const Cellar& cellar, int row) {
  double capacity_l = 0.0;
  for (const double each_l : cellar.rows[at(row)].capacities_l) capacity_l += each_l;
  return capacity_l;
}

double slack_l(const Cellar& cellar, int row) { return 1e-9 * cellar.scenario->capacity_of(row); }

void begin_sulfur_step(Row& row) {
  row.step_litres = litres_in(row);
  row.step_years = 0.0;
}

void count(Cellar& cellar, Way way, const Parcel& parcel) {
  cellar.ways[at(parcel.source)].litres[way] += parcel.litres;
  cellar.ways[at(parcel.source)].alcohol_l[way] += parcel.alcohol_l;
}

Cellar empty_cellar(const Scenario& scenario) {
  Cellar cellar;
  cellar.scenario = &scenario;
  for (const Lot& lot : scenario.lots)
    cellar.sources.push_back({.name = lot.name,
                              .harvested_day = day_of(lot.harvested),
                              .vintage = lot.vintage,
                              .wine = lot.wine,
                              .cost_per_l = lot.cost.per_litre});
  cellar.ways.resize(cellar.sources.size());
  cellar.used_l.assign(scenario.lots.size(), 0.0);
  cellar.rows.resize(scenario.tiers.size() + scenario.tanks.size());
  for (std::size_t row = 0; row < cellar.rows.size(); ++row) {
    Row& made = cellar.rows[row];
    if (row < scenario.tiers.size()) {
      made.worked = scenario.tiers[row];
      for (const Vessel& vessel : made.worked.vessels)
        made.capacities_l.push_back(vessel.later ? 0.0 : vessel.capacity_l);
      made.worked.vessels.clear();  // they are the rows above
    } else made.capacities_l = {scenario.tanks[row - scenario.tiers.size()].capacity_l};
    made.levels_l.assign(made.capacities_l.size(), 0.0);
  }
  return cellar;
}

std::optional<Refusal> overfull(const Cellar& cellar) {
  for (int index = 0; index < static_cast<int>(cellar.rows.size()); ++index) {
    const Row& row = cellar.rows[at(index)];
    for (std::size_t vessel = 0; vessel < row.levels_l.size(); ++vessel) {
      const double over_l = row.levels_l[vessel] - capacity_of(cellar, index, vessel);
      const double gauged_l = row.found_over * capacity_of(cellar, index, vessel);
      if (over_l > slack_l(cellar, index) + gauged_l)
        return Refusal{.at = row.filled_at, .row = index, .short_l = -over_l};
    }
  }
  return std::nullopt;
}

}  // namespace tierce::twin
