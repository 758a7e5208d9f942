// A run under way: what is known of the scenario, the stock now, and the record so far.
#pragma once

#include <list>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/book/scenario.h"
#include "engine/run/binding.h"
#include "engine/run/evaporation.h"
#include "engine/run/fast/pours.h"
#include "engine/run/timeline.h"
#include "engine/run/trajectory.h"
#include "engine/wine/sulfur.h"

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
  bool by_share = false;  // else litres from each vessel, or
  bool by_air = false;    // what the cellar's air draws
  double loss_per_year = 0.0;
  bool vapour_stated = false;
  double vapour_fraction = kUnknown;
  bool loses_sulfur = true;          // its law is not one that keeps all
  std::optional<SulfurLoss> sulfur;  // as stated; empty = what is known of the wine decides
};

/// No fault. Not the same as `std::optional<Fault>{}` to the compiler, which fills that with zeros first: as much work
/// as a row of lots.
inline std::optional<Fault> none() { return std::nullopt; }

/// What a run works with, and the next run of a search may use again; each run sets all of it anew.
struct RunMemory {
  Stock now;
  std::vector<Poured> waiting;     // refills whose lots nobody has looked at since
  RefillPlan plan;                 // of the refill being done; kept, so that its memory is used again
  std::vector<char> filled_today;  // by row: its vessels are looked at when the day ends
  Powers powers;
  VapourCurves curves;
  DailyPowers daily_powers;                // of the share that rows_alike lose
  std::vector<AgeingLaw> ageing;           // by row
  Eigen::VectorXd vapour_fraction;         // by row, from the laws
  std::vector<double> nowhere;             // a row of amounts that nobody reads (lots.cpp)
  std::vector<At> filled_at;               // by row: the entry that last put wine in
  Eigen::VectorXd target_l;                // by tier
  Eigen::VectorXd tolerance_l;             // by row: volumes are compared to this
  std::vector<double> spirit_used_l;       // by spirit
  std::vector<double> lot_used_l;          // by lot of the timeline
  std::vector<std::vector<int>> standing;  // by row: the draws whose wine stands in a tank; indices into out.draws
  std::vector<const Tier*> tier_now;       // by tier: as stated, or as set since
  std::vector<double> over_by;             // by row: part of its capacity that a gauge found it over, within its error
};

struct Run : RunMemory {
  Run(const Scenario& of, const Timeline& along, RunMemory&& memory)
      : RunMemory(std::move(memory)), scenario(of), line(along) {}

  const Scenario& scenario;
  const Timeline& line;
  Trajectory out;
  std::size_t year_index = 0;  // of the year that runs; room for all is made when the run begins
  Keep keep = Keep::everything;
  bool half_aged = false;                // a fault stopped the ageing after some rows
  Eigen::Index used_before_waiting = 0;  // columns that held wine before the first refill that waits
  bool any_filled = false;               // of filled_today
  int rows_alike = 0;                    // from the youngest: lose one and the same share, at a stated strength
  double sulfur_step_years = 1.0;
  bool any_loses_sulfur = true;                         // some row does, if it holds any
  bool all_rest = true;                                 // time changes nothing that is dissolved; settle() finds out
  bool usual = false;                                   // the next draw or refill may be (usual.h)
  bool wine_forms = false;                              // acetaldehyde or volatile acid
  std::vector<std::pair<int, SulfurRange>> doses_mg_l;  // of the dose being given, by row; kept as `plan` is

  std::list<Tier> tiers_set;  // those that differ from the scenario
  struct Soaking {
    Place vessel;
    double litres = 0.0;
  };
  std::vector<Soaking> soaking;  // vessels whose dry wood has still to take its wine

  /// The tier as it is worked now.
  const Tier& tier(int row) const { return *tier_now[static_cast<std::size_t>(row)]; }
  int rows() const { return static_cast<int>(ageing.size()); }
  YearFlows& year() { return out.flows.years[year_index]; }
};

/// Books `share` of what a row holds under a flow: by parcel, by solute and in the year's totals. The row's lots must
/// be written (lots.h).
void book(Run& run, Flow flow, int row, double share);

/// Notes that a row's vessels must be within their capacity when the day ends; `at` is the entry that filled them.
inline void look_at_levels(Run& run, int row, const At& at) {
  run.filled_at[static_cast<std::size_t>(row)] = at;
  run.filled_today[static_cast<std::size_t>(row)] = true;
  run.any_filled = true;
}

/// Where acetaldehyde is known, free SO2 is what the equilibrium leaves (design decision 13); else it stays as booked.
inline void settle_sulfur(Stock& stock, int row) {
  double* const held = stock.solutes.row(row).data();
  const double litres = stock.volume[row];
  if (!is_known(held[kAldehyde]) || !is_known(held[kSo2Total]) || !(litres > 0.0)) return;
  held[kSo2Free] = litres * free_beside_acetaldehyde_mg_l(held[kSo2Total] / litres, held[kAldehyde] / litres);
  held[kSo2FreeHigh] = held[kSo2Free];
  held[kSo2FreeLow] = low_free_mg(held, litres);
}

/// After wine, sulfur or a reading came in: free SO2 at equilibrium, and a new sulfur step. From here on time may
/// change what is dissolved: in most runs of a search it never does, and ageing is evaporation alone.
inline void settle(Run& run, int row) {
  const auto known = [&](Solute solute) { return is_known(run.now.solutes(row, solute)); };
  const bool binds = known(kAldehyde);
  if (binds) settle_sulfur(run.now, row);
  const bool lost = run.any_loses_sulfur && (known(kSo2Total) || known(kSo2Free));  // here, or where it is poured to
  if (binds || lost) run.all_rest = false;
  if (!run.all_rest) restart_sulfur_step(run.now, row);  // else no step tells anything
}

/// More alcohol than wine: left for a rounding of sums, as where pure alcohol evaporates as it is.
constexpr double kAlcoholTolerance = 1e-9;
inline bool more_alcohol_than_wine(double alcohol_l, double volume_l) {
  return alcohol_l > volume_l * (1.0 + kAlcoholTolerance);
}
/// A gauge of which no error is stated is taken to be right to this part. Common practice, no source.
constexpr double kUsualGaugeError = 0.01;

/// A tier whose vapour is neither stated nor to be had from the cellar's air.
Fault no_vapour_known(const Run& run, int row);

/// Writes a loss of known cause down; before the wine leaves.
void note_loss(Run& run, const Place& from, const std::string& cause, double litres, double share_of_row);

/// Litres for a message, rounded.
std::string litres_text(double litres);
/// `tier 'floor'`, `vessel 'F2'`, `tank 'T1'`, for a message.
std::string named(const Run& run, const Place& place);

}  // namespace tierce
