// One reserve of constant volume, worked once a year, for tests of many years of sulfur dioxide.
#pragma once

#include "engine/plan/sulfur_years.h"
#include "engine/run/outlook.h"

namespace tierce::scenes {

using Law = SulfurLoss::Law;

constexpr double kLitres = 1000.0;
inline const Date kStart{2000, 2, 10};  // and the habit's day of every later year

/// One reserve of constant volume, worked once a year.
struct Yearly {
  double draw = 0.1;         // share of what evaporation left
  double evaporation = 0.0;  // share of the volume
  SulfurLoss loss{Law::of_total, 0.4};
  double new_wine_total_mg_l = 0.0;
  double dose_mg_l = 0.0;
  double start_total_mg_l = 0.0;
  double acetaldehyde_mg_l = kUnknown;  // just after every dose: new wine brings what keeps it there
  int steps = 1;
};

inline Routine routine_of(const Yearly& yearly) {
  Routine routine;
  routine.day = DayOfYear{kStart.month, kStart.day};
  routine.from = Date{kStart.year + 1, kStart.month, kStart.day};
  routine.usual.draw = Amount{{}, Amount::Kind::share, yearly.draw, 0.0};
  routine.usual.refill.kind = HabitRefill::Kind::lot;
  routine.usual.refill.lot = 0;
  Dose dose;  // plain
  dose.value = yearly.dose_mg_l;
  routine.usual.doses = {dose};
  return routine;
}

inline Scenario scenario_of(const Yearly& yearly) {
  Scenario scenario;
  scenario.reserve = "yearly";
  Tier tier;
  tier.name = "casks";
  tier.vessels = {{{}, "cask", kLitres}};
  tier.target_l = kLitres;
  tier.evaporation = {Evaporation::Kind::share, yearly.evaporation, true};
  tier.vapour_pct = 18.0;  // the wine's own strength, which then stays
  tier.vapour_stated = true;
  tier.so2_loss = yearly.loss;
  scenario.tiers = {tier};
  scenario.so2_steps = yearly.steps;
  Lot lot;
  lot.name = "new";
  lot.harvested = {1999, 10, 1};
  lot.wine = {.alcohol_pct = 18.0, .sugar_g_l = 95.0, .ph = 3.6};
  lot.wine.so2_total_mg_l = yearly.new_wine_total_mg_l;
  lot.wine.so2_free_mg_l = 0.0;
  const double new_share = 1.0 - (1.0 - yearly.evaporation) * (1.0 - yearly.draw);
  lot.wine.acetaldehyde_mg_l = yearly.acetaldehyde_mg_l * yearly.draw / new_share;
  scenario.lots = {lot};
  Opening opening;
  opening.date = kStart;
  opening.row = 0;
  opening.volume_l = kLitres;
  opening.parts = {{"old", -1, 1.0, 5.0}};
  opening.wine = lot.wine;
  opening.wine.so2_total_mg_l = yearly.start_total_mg_l;
  opening.wine.acetaldehyde_mg_l = yearly.acetaldehyde_mg_l;
  scenario.opening = {opening};
  scenario.habit = {routine_of(yearly)};
  return scenario;
}

inline Outlook run_years(const Yearly& yearly, int years) {
  return run_scenario(scenario_of(yearly), {.until_year = kStart.year + years});
}

inline SulfurCap flat(double cap_mg_l) {
  return {&TestedMoment::total_mg_l, [cap_mg_l](const TestedMoment&) { return cap_mg_l; }};
}

}  // namespace tierce::scenes
