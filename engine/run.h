// A run under way: what is known of the scenario, the stock now, and the record so far.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/scenario.h"
#include "engine/timeline.h"
#include "engine/trajectory.h"

namespace tierce {

/// Why an act cannot be done. `short_l`: litres wanted and not there; negative: litres too many for the vessels.
struct Fault {
  Problem problem;
  int row = 0;
  double short_l = 0.0;
};

/// The last two answers of kept_after() for a row: a year has few different periods, and a power takes long.
struct KeptPart {
  double years[2] = {-1.0, -1.0};
  double kept[2] = {1.0, 1.0};
  int next = 0;
};

struct Run {
  Run(const Scenario& of, const Timeline& along, Stock from) : scenario(of), line(along), now(std::move(from)) {}

  const Scenario& scenario;
  const Timeline& line;
  Stock now;
  Trajectory out;
  Keep keep = Keep::everything;
  bool half_aged = false;             // a fault stopped the ageing after some rows
  RefillPlan plan;                    // of the refill being done; kept, so that its memory is used again
  std::vector<int> filled_today;      // rows whose vessels are looked at when the day ends
  std::vector<KeptPart> kept;         // by row
  std::vector<At> filled_at;          // by row: the entry that last put wine in
  Eigen::VectorXd target_l;           // by tier
  Eigen::VectorXd tolerance_l;        // by row: volumes are compared to this
  std::vector<double> spirit_used_l;  // by spirit
  std::vector<std::vector<int>> standing;  // by row: the draws whose wine stands in a tank; indices into out.draws

  YearFlows& year() { return out.flows.years.back(); }
};

/// Books `share` of what a row holds under a flow: by parcel, by solute and in the year's totals.
void book(Run& run, Flow flow, int row, double share);

/// Notes that a row's vessels must be within their capacity when the day ends; `at` is the entry that filled them.
void look_at_levels(Run& run, int row, const At& at);

/// After wine, sulfur or a reading came in: free SO2 at equilibrium, and a new sulfur step.
void settle(Run& run, int row);

/// A tier whose vapour is neither stated nor to be had from the cellar's air.
Fault no_vapour_known(const Run& run, int row);

/// Litres for a message, rounded.
std::string litres_text(double litres);
/// `tier 'floor'`, `vessel 'F2'`, `tank 'T1'`, for a message.
std::string named(const Run& run, const Place& place);

}  // namespace tierce
