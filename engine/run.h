// A run under way: what is known of the scenario, the stock now, and the record so far.
#pragma once

#include <list>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/evaporation.h"
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

/// How a row ages, looked up in the scenario once: the loop asks many times a year.
struct AgeingLaw {
  bool evaporates = false;
  bool by_share = false;  // else litres from each vessel
  double loss_per_year = 0.0;
  bool vapour_stated = false;
  double vapour_fraction = kUnknown;
  bool counts_wood = false;          // its years count for the clock `wood`
  std::optional<SulfurLoss> sulfur;  // as stated; empty = what is known of the wine decides
};

struct Run {
  Run(const Scenario& of, const Timeline& along, Stock from) : scenario(of), line(along), now(std::move(from)) {}

  const Scenario& scenario;
  const Timeline& line;
  Stock now;
  Trajectory out;
  Keep keep = Keep::everything;
  bool half_aged = false;          // a fault stopped the ageing after some rows
  RefillPlan plan;                 // of the refill being done; kept, so that its memory is used again
  bool any_filled = false;         // the vessels of some rows are looked at when the day ends:
  std::vector<char> filled_today;  // by row
  Powers powers;
  std::vector<AgeingLaw> ageing;  // by row
  double sulfur_step_years = 1.0;
  bool wine_forms = false;                 // acetaldehyde or volatile acid
  std::vector<double> nowhere;             // a row of amounts that nobody reads (lots.cpp)
  std::vector<At> filled_at;               // by row: the entry that last put wine in
  Eigen::VectorXd target_l;                // by tier
  Eigen::VectorXd tolerance_l;             // by row: volumes are compared to this
  std::vector<double> spirit_used_l;       // by spirit
  std::vector<double> lot_used_l;          // by lot of the timeline
  std::vector<std::vector<int>> standing;  // by row: the draws whose wine stands in a tank; indices into out.draws

  std::vector<const Tier*> tier_now;  // by tier: as stated, or as set since
  std::list<Tier> tiers_set;          // those that differ from the scenario
  struct Soaking {
    Place vessel;
    double litres = 0.0;
  };
  std::vector<Soaking> soaking;  // vessels whose dry wood has still to take its wine

  /// The tier as it is worked now.
  const Tier& tier(int row) const { return *tier_now[static_cast<std::size_t>(row)]; }
  YearFlows& year() { return out.flows.years.back(); }
};

/// Books `share` of what a row holds under a flow: by parcel, by solute and in the year's totals. The row's lots must
/// be written (lots.h).
void book(Run& run, Flow flow, int row, double share);

/// Notes that a row's vessels must be within their capacity when the day ends; `at` is the entry that filled them.
void look_at_levels(Run& run, int row, const At& at);

/// After wine, sulfur or a reading came in: free SO2 at equilibrium, and a new sulfur step.
void settle(Run& run, int row);

/// A tier whose vapour is neither stated nor to be had from the cellar's air.
Fault no_vapour_known(const Run& run, int row);

/// Writes a loss of known cause down; before the wine leaves.
void note_loss(Run& run, const Place& from, const std::string& cause, double litres, double share_of_row);

/// Litres for a message, rounded.
std::string litres_text(double litres);
/// `tier 'floor'`, `vessel 'F2'`, `tank 'T1'`, for a message.
std::string named(const Run& run, const Place& place);

}  // namespace tierce
