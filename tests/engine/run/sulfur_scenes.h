// Small reserves for tests of what a dose does, and equilibria reckoned apart from the engine.
#pragma once

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

#include "engine/measure/balance.h"
#include "engine/measure/sulfur_plan.h"
#include "engine/run/outlook.h"

namespace tierce::scenes {

constexpr double kPk = 2.074;  // OIV-MA-AS323-04C Table II, 18 %vol at 20 °C

/// A lot of 18 %vol at pH 3.6; acetaldehyde unknown unless it is stated.
inline Lot lot_of(double free_mg_l, double total_mg_l, double acetaldehyde_mg_l = kUnknown) {
  Lot lot;
  lot.name = "GG20";
  lot.vintage = 2020;
  lot.harvested = {2020, 10, 1};
  lot.wine = {.alcohol_pct = 18.0, .sugar_g_l = 95.0, .ph = 3.6};
  lot.wine.so2_free_mg_l = free_mg_l;
  lot.wine.so2_total_mg_l = total_mg_l;
  lot.wine.acetaldehyde_mg_l = acetaldehyde_mg_l;
  return lot;
}

inline Tier tier_of(const std::string& name, std::vector<Vessel> vessels, double target_l) {
  Tier tier;
  tier.name = name;
  tier.vessels = std::move(vessels);
  tier.target_l = target_l;
  tier.evaporation = {Evaporation::Kind::share, 0.04, true};
  tier.vapour_pct = 18.0;  // the wine's own strength, which then stays
  tier.vapour_stated = true;
  return tier;
}

/// Two casks of 500 L and a cellar of 20 °C, no loss of SO2 unless a test states one.
inline Scenario cellar_with(const Lot& lot) {
  Scenario scenario;
  scenario.reserve = "plan";
  scenario.cellar.temperature_c = 20.0;
  scenario.tiers = {tier_of("casks", {{{}, "A", 500.0}, {{}, "B", 500.0}}, 1000.0)};
  scenario.so2_loss = SulfurLoss{SulfurLoss::Law::of_total, 0.0};
  scenario.lots = {lot};
  return scenario;
}

inline void book(Scenario& scenario, const Date& date, const Action& action) {
  Entry entry;
  entry.date = date;
  entry.action = action;
  scenario.log.push_back(entry);
}

inline Amount litres(double value) { return {{}, Amount::Kind::litres, value, 0.0}; }
inline Add filling(double volume_l, int row = 0) { return {0, {}, {{}, row, -1}, litres(volume_l)}; }
inline Draw drawing(double volume_l, const std::string& name, int row = 0) {
  return {{{}, row, -1}, litres(volume_l), name};
}

inline Dose dose_of(Dose::Kind kind, double value) {
  Dose dose;
  dose.kind = kind;
  dose.value = value;
  return dose;
}

inline std::vector<PlannedDose> plan_of(const Scenario& scenario) {
  const Outlook outlook = run_scenario(scenario, {});
  EXPECT_TRUE(outlook.run.problems.empty());
  return planned_doses(outlook.scenario, outlook.line, outlook.run);
}

/// 1000 L of the lot, dosed on the day it came.
inline PlannedDose dosed(const Lot& lot, const Dose& dose, bool share_is_stated = false) {
  Scenario scenario = cellar_with(lot);
  scenario.so2_binding_stated = share_is_stated;
  book(scenario, {2021, 2, 10}, filling(1000.0));
  book(scenario, {2021, 2, 10}, dose);
  return plan_of(scenario).at(0);
}

/// Free SO2 beside acetaldehyde alone, by halving, from mol and the law of mass action.
inline double free_by_halving(double total_mg_l, double acetaldehyde_mg_l, double kd_mmol_l) {
  long double low = 0.0L, high = total_mg_l;
  for (int i = 0; i < 200; ++i) {
    const long double middle = (low + high) / 2.0L, f = middle / 64.06L;
    const long double bound_mg_l = 64.06L * acetaldehyde_mg_l / 44.05L * f / (static_cast<long double>(kd_mmol_l) + f);
    (middle + bound_mg_l < total_mg_l ? low : high) = middle;
  }
  return static_cast<double>((low + high) / 2.0L);
}

inline double bound_by_hand(double free_mg_l, double acetaldehyde_mg_l) {
  const double f = free_mg_l / 64.06;
  return 64.06 * acetaldehyde_mg_l / 44.05 * f / (0.0024 + f);
}

/// Free SO2 beside acetaldehyde and the other binders by halving, from mol and the law of mass action; mg/L each. Molar
/// masses and constants (mmol/L) of so2_binding_constants.csv.
inline double free_beside_all(double total_mg_l, double acetaldehyde_mg_l, double glucose_mg_l) {
  const double mmol_l[] = {acetaldehyde_mg_l / 44.05, 25.0 / 88.06, 50.0 / 146.10, 400.0 / 194.14,
                           glucose_mg_l / 180.16};
  const double kd[] = {0.0024, 0.3, 0.5, 17.0, 640.0};
  double low = 0.0, high = total_mg_l;
  for (int i = 0; i < 200; ++i) {
    const double middle = (low + high) / 2.0, f = middle / 64.06;
    double all_mg_l = middle;
    for (int k = 0; k < 5; ++k) all_mg_l += 64.06 * mmol_l[k] * f / (kd[k] + f);
    (all_mg_l < total_mg_l ? low : high) = middle;
  }
  return (low + high) / 2.0;
}

}  // namespace tierce::scenes
