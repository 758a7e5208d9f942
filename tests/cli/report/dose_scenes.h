// One dosed cask, once or every year, and what the dose report says of it.
#pragma once

#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/read/load.h"
#include "cli/report/dose.h"
#include "cli/write/json.h"
#include "cli/write/write.h"
#include "engine/measure/age.h"

namespace tierce::scenes {

/// One cask of so many litres, filled and dosed on one day.
inline Scenario cask_of(double volume_l, Dose::Kind kind, double value) {
  Scenario scenario;
  scenario.reserve = "Skerry Vale";
  Tier tier;
  tier.name = "cask";
  tier.vessels = {{{}, "C1", volume_l}};
  tier.target_l = volume_l;
  tier.evaporation = {Evaporation::Kind::share, 0.03, true};
  tier.vapour_pct = 10.0;
  tier.vapour_stated = true;
  scenario.tiers = {tier};
  Lot lot;
  lot.name = "V20";
  lot.vintage = 2020;
  lot.harvested = {2020, 10, 1};
  lot.wine = {.alcohol_pct = 18.0, .sugar_g_l = 95.0, .ph = 3.6};
  lot.wine.so2_free_mg_l = 5.0;
  lot.wine.so2_total_mg_l = 60.0;
  scenario.lots = {lot};
  Entry add;
  add.date = {2021, 2, 10};
  add.action = Add{0, {}, {{}, 0, -1}, {{}, Amount::Kind::litres, volume_l, 0.0}};
  Entry dose = add;
  Dose asked;
  asked.kind = kind;
  asked.value = value;
  dose.action = asked;
  scenario.log = {add, dose};
  return scenario;
}

/// The same, drawn by a fifth, refilled and dosed alike every year.
inline Scenario yearly(Scenario scenario) {
  Routine routine;
  routine.day = DayOfYear{2, 10};
  routine.from = Date{2022, 2, 10};
  routine.usual.draw = Amount{{}, Amount::Kind::share, 0.2, 0.0};
  routine.usual.name = "Bottling {year}";
  routine.usual.refill.kind = HabitRefill::Kind::lot;
  routine.usual.refill.lot = 0;
  routine.usual.doses = {std::get<Dose>(scenario.log.back().action)};
  scenario.habit = {routine};
  scenario.until = 2030;
  return scenario;
}

inline nlohmann::json json_of(const Scenario& scenario) {
  const Outlook outlook = run_scenario(scenario, {});
  return nlohmann::json::parse(json_text(dose_json(outlook)));
}

inline std::string page_of(const Scenario& scenario, Units units = Units::metric) {
  return text_of(dose_report(run_scenario(scenario, {}), units), units, {.all = true});
}

/// The same with only the first entries of its log.
inline Scenario with_log(Scenario scenario, std::size_t entries) {
  scenario.log.resize(entries);
  return scenario;
}

/// The page as one line, so that a sentence is found wherever it breaks.
inline std::string flowing(const std::string& page) {
  std::istringstream words(page);
  std::string text;
  for (std::string word; words >> word;) text += (text.empty() ? "" : " ") + word;
  return text;
}

inline bool says(const std::string& page, const std::string& words) {
  return flowing(page).find(words) != std::string::npos;
}

}  // namespace tierce::scenes
