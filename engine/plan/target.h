// How much may be drawn for an age, when the age is reached, where the habit leads.
#pragma once

#include <vector>

#include "engine/plan/freshen.h"
#include "engine/plan/target_dates.h"

namespace tierce {

struct WantedAge {
  bool youngest = false;
  double years = kUnknown;
  bool by_claim = false;  // of the file; else it is asked for
};

struct TargetWish {
  std::vector<WantedAge> ages{};  // without any: the claims of the scenario
  FreshenWish fresh{};
};

/// An age that is wanted, of one kind, and all that is to be said of it.
struct AgeTarget {
  AgeKind kind = AgeKind::by_volume;
  WantedAge wanted{};
  LargestShare in_the_long_run{};  // the habit with another share, without end
  LargestShare at_the_last{};      // so that the last draw of the forecast has the age
  LargestShare at_every{};         // so that every draw to come has it
  double long_run_y = kUnknown;    // under the habit as it is
  double ceiling_y = kUnknown;     // however little is drawn; unknown where there is none
  bool no_ceiling = false;         // it rises without end as less is drawn
  AgeDates dates{};
  double evaporation_part = kUnknown;  // where the ceiling is below the age: with this part of today's evaporation it
                                       // is not
  /// What tells whether it can be reached at all: the long run, or where that is not known, the forecast.
  bool by_forecast() const { return in_the_long_run.limit == LargestShare::Limit::unknown; }
  /// No share of the wine reaches it.
  bool impossible() const {
    return (by_forecast() ? at_the_last : in_the_long_run).limit == LargestShare::Limit::never;
  }
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
  AgeRow most{};              // the largest draw that the wine allows
  NoLongRun why_no_more{};    // why more than that cannot be drawn; nothing where all can
  NoLongRun why_no_search{};  // why no share could be tried

  /// An age that is wanted cannot be had, or no share can be kept up.
  bool impossible() const;
};

/// `scenario` has a habit. `tell`: called now and then with the number of runs so far.
TargetAnswer work_out_target(const Scenario& scenario, const Span& span, std::vector<WantedAge> wanted,
                             const std::function<void(int runs)>& tell);

}  // namespace tierce
