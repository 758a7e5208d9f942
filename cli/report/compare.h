// A scenario and variants of it side by side: what each comes to, by runs of the engine.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "cli/read/variants.h"
#include "cli/report/report.h"
#include "engine/measure/age.h"
#include "engine/plan/long_run.h"

namespace tierce {

/// One year of a variant. Costs in the scenario's currency; levels and ages unknown where nothing is drawn or held.
struct ComparedYear {
  int year = 0;
  bool planned = false;  // it ends after the book
  double drawn_l = 0.0, new_wine_l = 0.0, evaporated_l = 0.0, closing_l = 0.0;
  double closing_pct = kUnknown;  // strength of all that is held
  AgesOfYear ages{};
  double cost_per_l = kUnknown;  // of the year's draws
};

/// The last draw that a plan reaches.
struct ComparedDraw {
  std::string name;
  Date date{};
  double volume_l = kUnknown;
  AgeSummary age{};
  double alcohol_pct = kUnknown, sugar_g_l = kUnknown;
  SulfurNow so2{};
  SulfurRange so2_molecular_mg_l{};
  std::string so2_molecular_text{};
  double cost_per_l = kUnknown;
};

struct ComparedVariant {
  std::string name;
  std::vector<std::pair<std::string, std::string>> changes{};  // path and value; none: the file as it is
  std::vector<ComparedYear> years{};
  std::optional<ComparedDraw> last_draw{};
  double drawn_l = 0.0, new_wine_l = 0.0;  // by all that is planned and not done yet
  LongRun long_run{};
  bool balances = true;  // its litres, to 1e-9
  std::string currency{};
  std::optional<Stop> stopped{};
  std::string stopped_at{};  // the tier or tank where

  /// The last year of a plan that is kept; null where it stops.
  const ComparedYear* last_year() const { return stopped || years.empty() ? nullptr : &years.back(); }
};

struct Comparison {
  Outlook base;
  double bottle_l = 0.75;                   // of the file
  std::string currency{};                   // empty: no cost is stated
  std::vector<ComparedVariant> variants{};  // the first is the file as it is
};

/// What a run of a variant comes to.
ComparedVariant compared(std::string name, const Outlook& outlook);

Report compare_report(const Comparison& comparison, Units units);
nlohmann::json compare_json(const Comparison& comparison);

}  // namespace tierce
