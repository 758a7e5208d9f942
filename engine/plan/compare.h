// A scenario and variants of it side by side: what each comes to, by runs of the engine.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/measure/age.h"
#include "engine/measure/yearly_age.h"
#include "engine/plan/long_run.h"
#include "engine/run/outlook.h"

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
  double cost_per_l = kUnknown;
};

/// A variant of a scenario, read and sound.
struct Varied {
  std::string name;
  Scenario scenario;
  std::vector<std::pair<std::string, std::string>> changes{};  // path and value; none: the file as it is
};

struct ComparedVariant : Varied {
  std::vector<ComparedYear> years{};
  std::optional<ComparedDraw> last_draw{};
  double drawn_l = 0.0, new_wine_l = 0.0;  // by all that is planned and not done yet
  LongRun long_run{};
  bool balances = true;  // its litres, to kBalanceTolerance
  std::optional<Stop> stopped{};

  /// The last draw, and the last year, of a plan that is kept; null where it stops.
  const ComparedDraw* kept_draw() const { return stopped || !last_draw ? nullptr : &*last_draw; }
  const ComparedYear* kept_year() const { return stopped || years.empty() ? nullptr : &years.back(); }
};

struct Comparison {
  Outlook base;
  std::vector<ComparedVariant> variants{};  // the first is the file as it is
};

/// As many years as asked for, or as far as the scenario itself goes.
Span span_of_years(const Scenario& scenario, const std::optional<int>& years);

/// Runs all of them; the first is the file as it is.
Comparison compare(std::vector<Varied> variants, const std::optional<int>& years);

}  // namespace tierce
