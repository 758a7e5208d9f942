#include "engine/run/vessel_work.h"

#include <algorithm>

#include "engine/run/ageing.h"
#include "engine/run/fast/lots.h"
#include "engine/run/taking.h"

namespace tierce {
namespace {

double capacity_of(const Run& run, const Place& vessel) {
  return run.now.levels.capacities_of(vessel.row)[nth(vessel.vessel)];
}

bool is_there(const Run& run, const Place& place) {
  return place.vessel < 0 || run.scenario.is_tank(place.row) ||
         run.now.levels.capacities_of(place.row)[nth(place.vessel)] > 0.0;
}

/// A tier that states no target is refilled to the vessels that it has.
void follow_capacity(Run& run, int row) {
  if (!run.tier(row).target_stated)
    run.target_l[row] = run.now.levels.capacity_of(row) * (1.0 - run.tier(row).ullage_part);
}

Tier& tier_to_set(Run& run, int row) {
  run.tiers_set.push_back(run.tier(row));
  run.tier_now[nth(row)] = &run.tiers_set.back();
  return run.tiers_set.back();
}

void take_over(const Set& set, Tier& tier) {
  if (set.target_l) {
    tier.target_l = *set.target_l;
    tier.target_stated = true;
  }
  if (set.evaporation) tier.evaporation = *set.evaporation;
  if (set.vapour_pct) {
    tier.vapour_pct = *set.vapour_pct;
    tier.vapour_stated = true;
    if (tier.evaporation.kind == Evaporation::Kind::air) tier.evaporation.kind = Evaporation::Kind::share;
  }
}

/// Looks at every place that an act names.
struct Named {
  const Run& run;
  const Place* missing = nullptr;

  void look(const Place& place) {
    if (missing == nullptr && !is_there(run, place)) missing = &place;
  }
  void look(const std::optional<Place>& place) {
    if (place) look(*place);
  }
  template <class Act>
  void operator()(const Act& act) {
    if constexpr (requires { act.from; }) look(act.from);
    if constexpr (requires { act.to.row; }) look(act.to);
    if constexpr (requires { act.place; }) look(act.place);
    if constexpr (requires { act.read_l; })
      for (const auto& [place, read_l] : act.read_l) look(place);
  }
  void operator()(const TakeOut& act) { look(act.vessel); }
};

}  // namespace

std::optional<Fault> apply(Run& run, const Event&, const BringIn& bring_in) {
  const Place& place = bring_in.vessel;
  if (is_there(run, place))
    return Fault{{place.at, named(run, place) + " is in the cellar already on " + iso_text(run.now.date),
                  "a vessel that is not there, or one taken out before", ""},
                 place.row,
                 0.0};
  run.now.levels.set_capacity(place.row, place.vessel, bring_in.capacity_l);
  follow_capacity(run, place.row);
  if (bring_in.soakage_l > 0.0) run.soaking.push_back({place, bring_in.soakage_l});
  return std::nullopt;
}

std::optional<Fault> apply(Run& run, const Event&, const TakeOut& take_out) {
  const Place& place = take_out.vessel;
  const double capacity_l = capacity_of(run, place);
  if (!(run.now.levels.capacity_of(place.row) > capacity_l))
    return Fault{{place.at,
                  named(run, place) + " is the last one of tier '" + run.scenario.name_of(place.row) + "' on " +
                      iso_text(run.now.date),
                  "a tier with at least one vessel: bring the next one in first", ""},
                 place.row,
                 0.0};
  const double level_l = run.now.levels.of(place.row, place.vessel);
  if (level_l > 0.0) {
    const Asked asked = ask(run, place, {place.at, Amount::Kind::litres, level_l, 0.0}, "the vessel");
    if (asked.fault) return asked.fault;
    note_loss(run, place, take_out.because, asked.litres, asked.share_of_row);
    leave(run, kLost, place, asked);
  }
  std::erase_if(run.soaking, [&](const Run::Soaking& one) {
    return one.vessel.row == place.row && one.vessel.vessel == place.vessel;
  });
  run.now.levels.set_capacity(place.row, place.vessel, 0.0);
  follow_capacity(run, place.row);
  return std::nullopt;
}

std::optional<Fault> apply(Run& run, const Event&, const Set& set) {
  const int row = set.tier.row;
  const double capacity_l = run.now.levels.capacity_of(row);
  if (set.target_l && *set.target_l > capacity_l * (1.0 + kVolumeTolerance))
    return Fault{{set.tier.at,
                  "the target of tier '" + run.scenario.name_of(row) + "' is more than its vessels hold on " +
                      iso_text(run.now.date),
                  "up to " + litres_text(capacity_l) + ", the sum of their capacities", ""},
                 row,
                 0.0};
  Tier& tier = tier_to_set(run, row);
  take_over(set, tier);
  run.target_l[row] = tier.target_l;
  follow_capacity(run, row);
  run.ageing[nth(row)] = ageing_of(run.scenario, tier);
  follow_laws(run);
  return std::nullopt;
}

std::optional<Fault> not_there(const Run& run, const Event& event) {
  Named named_places{run};
  std::visit(named_places, event.act);
  if (named_places.missing == nullptr) return std::nullopt;
  const Place& place = *named_places.missing;
  return Fault{{place.at, named(run, place) + " is not in the cellar on " + iso_text(event.date),
                "a vessel that is there: brought in, and not taken out", ""},
               place.row,
               0.0};
}

void soak(Run& run) {
  for (Run::Soaking& one : run.soaking) {
    const double level_l = run.now.levels.of(one.vessel.row, one.vessel.vessel);
    if (!(level_l > 0.0)) continue;
    const double litres = std::min(level_l, one.litres);
    const Asked asked = ask(run, one.vessel, {{}, Amount::Kind::litres, litres, 0.0}, "the wood");
    write_lots(run);  // and the sums are counted anew, since leave() changes the amounts
    note_loss(run, one.vessel, "soakage", asked.litres, asked.share_of_row);
    leave(run, kLost, one.vessel, asked);
    one.litres -= litres;
  }
  std::erase_if(run.soaking, [](const Run::Soaking& one) { return !(one.litres > 0.0); });
}

Scenario as_the_log_leaves_it(const Scenario& scenario) {
  Scenario left = scenario;
  std::vector<bool> changed(left.tiers.size());
  for (Tier& tier : left.tiers)
    for (Vessel& vessel : tier.vessels)
      if (vessel.later) vessel.capacity_l = 0.0;
  const auto change = [&](const Place& place, double capacity_l) {
    changed[nth(place.row)] = true;
    left.tiers[nth(place.row)].vessels[nth(place.vessel)].capacity_l = capacity_l;
  };
  for (const Entry& entry : scenario.log) {
    if (const auto* set = std::get_if<Set>(&entry.action)) take_over(*set, left.tiers[nth(set->tier.row)]);
    if (const auto* in = std::get_if<BringIn>(&entry.action)) change(in->vessel, in->capacity_l);
    if (const auto* out = std::get_if<TakeOut>(&entry.action)) change(out->vessel, 0.0);
  }
  for (std::size_t row = 0; row < left.tiers.size(); ++row) {
    Tier& tier = left.tiers[row];
    std::erase_if(tier.vessels, [](const Vessel& vessel) { return !(vessel.capacity_l > 0.0); });
    for (Vessel& vessel : tier.vessels) vessel.later = false;
    if (changed[row] && !tier.target_stated)
      tier.target_l = left.capacity_of(static_cast<int>(row)) * (1.0 - tier.ullage_part);
  }
  return left;
}

}  // namespace tierce
