#include "tests/engine/measure/cascade.h"

#include <cmath>
#include <numeric>

namespace tierce::test {
namespace {

const Date kStart{2000, 1, 1};

/// The date a (whole or fractional) number of years before `day`; fractions are multiples of a twelfth.
Date years_before(const Date& day, double years) {
  return add_months(day, -static_cast<int>(std::lround(12.0 * years)));
}

Lot lot_of_age(const std::string& name, const Date& day, double age_y, double alcohol_pct) {
  Lot lot;
  lot.name = name;
  lot.harvested = years_before(day, age_y);
  lot.vintage = lot.harvested.year;
  lot.wine.alcohol_pct = alcohol_pct;
  lot.wine.sugar_g_l = 100.0;
  return lot;
}

void book(Scenario& scenario, const Date& day, const Action& action) {
  Entry entry;
  entry.date = day;
  entry.action = action;
  scenario.log.push_back(entry);
}

void fill(Scenario& scenario, const Cascade& cascade) {
  for (std::size_t k = 0; k < cascade.volumes_l.size(); ++k) {
    const double age_y = cascade.start_ages_y.empty() ? cascade.entry_age_y : cascade.start_ages_y[k];
    scenario.lots.push_back(lot_of_age("start " + std::to_string(k), kStart, age_y, cascade.alcohol_pct));
    const Place place{{}, static_cast<int>(k), -1};
    book(scenario, kStart,
         Add{static_cast<int>(k), {}, place, Amount{{}, Amount::Kind::litres, cascade.volumes_l[k], 0.0}});
  }
}

void add_event(Scenario& scenario, const Cascade& cascade, int event) {
  const Date day = add_months(kStart, event * cascade.months);
  scenario.lots.push_back(lot_of_age("new " + std::to_string(event), day, cascade.entry_age_y, cascade.alcohol_pct));
  Refill refill;
  refill.lot = static_cast<int>(scenario.lots.size()) - 1;
  refill.order = cascade.refill_first ? RefillOrder::youngest_first : RefillOrder::oldest_first;
  const Draw draw{{{}, scenario.tier_count() - 1, -1},
                  Amount{{}, Amount::Kind::litres, cascade.draw_l, 0.0},
                  "event " + std::to_string(event)};
  if (cascade.refill_first) book(scenario, day, refill);
  book(scenario, day, draw);
  if (!cascade.refill_first) book(scenario, day, refill);
}

}  // namespace

Scenario scenario_of(const Cascade& cascade) {
  Scenario scenario;
  scenario.reserve = "cascade";
  for (std::size_t k = 0; k < cascade.volumes_l.size(); ++k) {
    Tier tier;
    tier.name = "tier " + std::to_string(k);
    const bool last = k + 1 == cascade.volumes_l.size();
    tier.target_l = cascade.volumes_l[k] + (cascade.refill_first && last ? cascade.draw_l : 0.0);
    tier.vessels = {
        {{}, "v" + std::to_string(k), 2.0 * std::accumulate(cascade.volumes_l.begin(), cascade.volumes_l.end(), 0.0)}};
    tier.evaporation = {Evaporation::Kind::share, cascade.evaporation, true};
    tier.vapour_pct = 0.0;  // only water leaves: strengths rise, and no run stops for want of alcohol
    scenario.tiers.push_back(tier);
  }
  fill(scenario, cascade);
  for (int event = 1; event <= cascade.events; ++event) add_event(scenario, cascade, event);
  return scenario;
}

Outlook run(const Cascade& cascade) { return run_scenario(scenario_of(cascade), {}); }

}  // namespace tierce::test
