// A run under way: what is known of the scenario, the stock now, and the record so far.
#pragma once

#include <optional>
#include <string>

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

struct Run {
  const Scenario& scenario;
  const Timeline& line;
  Stock now;
  Trajectory out;
  std::vector<At> filled_at;      // by row: the entry that last put wine in
  Eigen::VectorXd target_l;       // by tier
  Eigen::VectorXd tolerance_l;    // by row: volumes are compared to this

  YearFlows& year() { return out.flows.years.back(); }
};

/// Books `part` under a flow: by parcel, by solute and in the year's totals.
void book(Run& run, Flow flow, const Parcelled& part);

/// After wine, sulfur or a reading came in: free SO2 at equilibrium, and a new sulfur step.
void settle(Run& run, int row);

/// Litres for a message, rounded.
std::string litres_text(double litres);
/// `tier 'floor'`, `vessel 'F2'`, `tank 'T1'`, for a message.
std::string named(const Run& run, const Place& place);

}  // namespace tierce
