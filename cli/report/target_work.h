// What `tierce target` finds out: how much may be drawn for an age, when the age is reached, where the habit leads.
#pragma once

#include <string>
#include <vector>

#include "cli/command/target_options.h"
#include "cli/report/share_search.h"
#include "cli/report/target_dates.h"
#include "engine/plan/long_run.h"

namespace tierce {

/// An age that is wanted, of one kind, and all that is to be said of it.
struct AgeTarget {
  AgeKind kind = AgeKind::by_volume;
  double wanted_y = kUnknown;
  std::string asked_by{};          // "option" or "claim"
  LargestShare in_the_long_run{};  // the habit with another share, without end
  LargestShare at_the_last{};      // so that the last draw of the forecast has the age
  LargestShare at_every{};         // so that every draw to come has it
  double long_run_y = kUnknown;    // under the habit as it is
  double ceiling_y = kUnknown;     // however little is drawn; unknown where there is none
  bool no_ceiling = false;         // it rises without end as less is drawn
  AgeDates dates{};
  double evaporation_part = kUnknown;  // where the ceiling is below the age: with this part of today's evaporation it
                                       // is not
  /// No share of the wine reaches it: in the long run, or where that is not known, in the forecast.
  bool impossible() const;
};

/// One row of the table of ages: the largest draw that keeps it in the long run, by volume.
struct AgeRow {
  double mean_y = kUnknown;
  ShareTrial at{};
};

struct TargetAnswer {
  Outlook outlook;  // of the forecast
  int last_year = 0;
  LongRun long_run{};  // of the habit as it is
  LongRunCheck check{};
  std::vector<AgeTarget> targets{};
  std::vector<AgeRow> ages{};
  double most_y = kUnknown;              // mean age by volume with the largest draw that the wine allows
  ShareTrial most{};                     // that draw
  std::string why_no_more{};             // why more than that cannot be drawn; empty where all can
  std::string why_no_search{};           // why no share could be tried
  double first_draw_fixed_y = kUnknown;  // mean age of the first draw to come, which no share changes
  Date first_draw{};
};

/// Ages wanted: of the options, else of the claims of the scenario.
struct WantedAge {
  bool youngest = false;
  double years = kUnknown;
  std::string asked_by;
};
std::vector<WantedAge> wanted_ages(const Scenario& scenario, const TargetOptions& options);

/// `scenario` has a habit. `tell`: called now and then with the number of runs so far.
TargetAnswer work_out_target(const Scenario& scenario, const Span& span, const std::vector<WantedAge>& wanted,
                             const std::function<void(int runs)>& tell);

}  // namespace tierce
