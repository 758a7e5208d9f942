// What each dose of SO2 does, from the wine before it to the next draw. Levels are mg of SO2 per litre of wine.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/book/scenario.h"
#include "engine/run/timeline.h"
#include "engine/run/trajectory.h"

namespace tierce {

/// The wine of a row at one moment; free and molecular SO2 with the ends they lie between (binding.h).
struct SulfurMoment {
  Date date{};
  SulfurNow now{};
  SulfurRange molecular_mg_l{}, molecular_other_mg_l{};  // by the scenario's pK, and by the other (oiv or 1.81)
  double bound_mg_l() const { return now.total_mg_l - now.free_mg_l.planned; }
};

struct VesselDose {
  std::string name{};
  double litres = 0.0;  // in this vessel when it is dosed
  double so2_g = 0.0;
};

/// SO2 that oxygen could use up in a year, mg/L, at the least and at the most: a rough estimate.
struct OxygenBudget {
  double air_low_mg_l = 0.0, air_high_mg_l = 0.0;    // one filling of the air space, at its smallest and its largest
  double wood_low_mg_l = 0.0, wood_high_mg_l = 0.0;  // what comes through the wood of a barrel
};

/// The draw that follows a dose, and what the dosed row holds then.
struct NextDraw {
  std::string name{};
  bool from_this_row = false;  // then it is the wine drawn, and bottled on that day
  SulfurMoment wine{};
};

/// One dose into one row.
struct PlannedDose {
  DoseRecord record{};
  Dose asked{};
  SulfurMoment before{}, after{};
  std::optional<NextDraw> next{};
  std::vector<VesselDose> vessels{};
  OxygenBudget oxygen{};
};

/// SO2 at one moment with what protects.
SulfurMoment moment_of(const Scenario& scenario, const Date& date, const SulfurNow& now);

/// Every dose, in order, of a run whose log has no fault. Vessels share a dose in proportion to their litres, which are
/// those of the day's end, brought to the litres dosed should wine move after the dose on the same day.
std::vector<PlannedDose> planned_doses(const Scenario& scenario, const Timeline& line, const Trajectory& run);

/// Why the level that a dose aims at cannot stand while total SO2 keeps under a cap, and the most that can.
struct Shortfall {
  SulfurRange wanted_total_mg_l{};            // just after the dose that the level takes; high: the least of them
  bool perhaps = false;                       // the level can stand in one of the reckonings
  double acetaldehyde_binds_mg_l = kUnknown;  // all of it, mole for mole
  bool full_before = false;                   // the wine holds the cap, or more, before any dose
  SulfurMoment best{};                        // with total SO2 at the cap; as it stands if it is full
};
/// Empty if the dose asks for no level, or if the level stands under `cap_mg_l` whatever binds.
std::optional<Shortfall> shortfall_under(const Scenario& scenario, const PlannedDose& dose, double cap_mg_l);

/// A moment at which a limit is tested: just after a dose, or a draw.
struct TestedMoment {
  Date date{};
  int row = 0;
  bool at_draw = false;
  bool past = false;
  double dose_mg_l = 0.0;  // none at a draw
  double total_mg_l = kUnknown, free_mg_l = kUnknown;
  double sugar_g_l = kUnknown, alcohol_pct = kUnknown, sulfate_g_l = kUnknown;
};
/// Every one of a run: the doses in order, then the draws in order.
std::vector<TestedMoment> tested_moments(const Trajectory& run);

}  // namespace tierce
