// What a run leaves behind: the stocks somebody asked for, every draw and refresh, and where each litre went.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "engine/run/binding.h"
#include "engine/run/stock.h"
#include "engine/run/transfer.h"

namespace tierce {

/// The ways in which an amount can change. Opening, in, dosed, water, analysed and gained add; the others take away.
/// `contracted` is the volume that vanishes when spirit or water is mixed in (negative where the mixture expands).
/// `gauge` counts losses as positive; `gained` is what forms in the wine (acetaldehyde, volatile acid) less what
/// oxidises, or interest. Wine drawn into a tank is still held; `bottled` is what then leaves the tank in bottles.
enum Flow {
  kOpening,
  kIn,
  kDosed,
  kWater,
  kDrawn,
  kEvaporated,
  kGauged,
  kLost,
  kContracted,
  kAnalysed,
  kGained,
  kBottled,
  kFlowCount
};

/// Litres of all rows together, for one calendar year.
struct YearFlows {
  int year = 0;
  Date closed{};                             // the day on which the row ends: 31 December, or the book's last entry
  std::array<double, kFlowCount> litres{};   // kOpening: held when the year began, and stock the book opened with
  std::array<double, kFlowCount> alcohol{};  // litres of pure alcohol
  double years = 0.0;                        // how much of the year the book covers
  double litre_years = 0.0;                  // held x time: divided by `years`, the mean stock
  double draws_alcohol_l = 0.0;              // of all draws, whether into a tank or out of the book, each counted once
  double closing_l = 0.0;                    // summed from the lots, not from the flows
  double closing_alcohol_l = 0.0;
  double sugar_g = 0.0;          // held at the close, as the acids below
  double acid_g = 0.0;           // total, as tartaric
  double volatile_acid_g = 0.0;  // as acetic
  double gap_l() const;          // what does not balance
};

struct Flows {
  RowMajorMatrix litres;   // Flow x parcel
  RowMajorMatrix alcohol;  // Flow x parcel
  SoluteMatrix solutes;    // Flow x Solute
  std::vector<YearFlows> years{};
};

/// What had passed since the book began, at the end of a day on which somebody counts.
struct FlowsSoFar {
  Date date{};
  std::array<double, kFlowCount> litres{};
  std::array<double, kCameCount> in_l{};  // new wine, by how its lot came
  double held_l = 0.0;
};

struct DrawRecord {
  At at{};
  Date date{};
  int day = 0;
  std::string name{};  // `for:`, else the date
  int row = 0;
  bool past = false;
  std::size_t event = 0;  // index in the timeline
  double volume_l = 0.0;
  Parcelled wine{};
  double ph = kUnknown;
  double tiers_alcohol_before_l = 0.0;  // pure alcohol of all tiers just before the draw
  double tiers_alcohol_after_l = 0.0;
  Use use = Use::bottling;
  int to = -1;         // row of the tank that took it; -1 = it left the book
  bool again = false;  // out of a tank in which an earlier draw stands: not a second draw on the tiers
};

/// SO2 of the wine of a draw.
inline SulfurNow sulfur_of(const DrawRecord& draw) {
  return sulfur_of(draw.wine.solutes.data(), draw.volume_l, draw.ph, 100.0 * draw.wine.alcohol.sum() / draw.volume_l);
}

/// Wine that left a tank in bottles. `wine` is as bottled, on its day; its row is the tank.
struct BottlingRecord {
  DrawRecord wine;
  double bottles = 0.0;
  double bottle_l = 0.0;
  double loss_l = 0.0;       // of the filling
  std::vector<int> draws{};  // which of Trajectory::draws stood in the tank
};

struct DoseRecord {
  At at{};  // the dose in the file
  Date date{};
  int row = 0;
  bool past = false;
  std::size_t event = 0;      // index in the timeline
  double dose_mg_l = 0.0;     // what goes in
  SulfurRange wanted_mg_l{};  // what the target asks for; planned more than dose_mg_l where 'at most' holds it down
  double low_end_mg_l = 0.0;  // what would go in by the low reckoning
  double litres = 0.0;
  SulfurNow before{};
  SulfurNow after{};
};

/// Spirit or water put into a row.
struct FortifyRecord {
  Date date{};
  int row = 0;
  std::string spirit{};  // its name; "water"
  double added_l = 0.0;
  double contraction_l = 0.0;
  double before_pct = 0.0;
  double after_pct = 0.0;
};

/// Wine lost for a cause that is known.
struct LossRecord {
  Date date{};
  int row = 0;
  int vessel = -1;
  std::string cause{};
  double litres = 0.0;
  double alcohol_l = 0.0;
};

struct RefreshRecord {
  Date date{};
  bool past = false;
  double new_wine_l = 0.0;
  std::vector<std::pair<std::string, double>> lots{};  // name, litres
  std::vector<Pour> moves{};
  std::vector<DoseRecord> doses{};
};

/// A gauge or an analysis beside what the book had.
struct Reading {
  At at{};
  Date date{};
  int row = 0;
  int vessel = -1;
  std::string quantity{};  // "volume", "alcohol", "sugar", ...
  double measured = kUnknown;
  double book = kUnknown;  // before the reading was taken over
  bool kept_only = false;
  double error_l = kUnknown;           // of a gauge, as stated
  std::optional<bool> leave_out = {};  // of an analysis of one vessel
  std::string method{};                // of an analysis, if stated
};

/// Why a forecast ended before its time.
struct Stop {
  Date date{};
  int row = 0;
  double short_l = 0.0;  // litres wanted and not there; negative: litres over the capacity
  Problem problem;
};

/// The first day on which a row holds wine stronger, or sweeter, than wine is: the model is then beyond what it was
/// made for.
struct Beyond {
  enum class What { strength, sugar };
  What what = What::strength;
  Date date{};
  int row = 0;
  double value = 0.0;  // %vol; g/L
};
constexpr double kNoWineAbovePct = 24.0;        // above it the US taxes spirits: 26 USC 5041(a)
constexpr double kNoWineAboveSugarG_L = 800.0;  // the most that a file may state of a wine (cli/read/scenario_keys.cpp)

/// What a run writes down: all draws, refreshes and doses; or the flows and the stocks asked for alone, for the many
/// runs of a search; or everything, and the volumes of the rows after each act; or everything, and what happens to what
/// is dissolved once the log has ended.
enum class Keep { everything, flows, path, acts };

struct Trajectory {
  std::vector<Stock> looks{};  // one for each Look, in order; the last is the end of the run
  Flows flows;
  std::vector<FlowsSoFar> flows_at{};  // one for each day that is counted on (loss_year.h)
  std::vector<DrawRecord> draws{};
  std::vector<BottlingRecord> bottlings{};
  std::vector<std::vector<std::vector<int>>> standing{};  // for each look and row: the draws that stand in the tank
  std::vector<DoseRecord> doses{};
  std::vector<RefreshRecord> refreshes{};
  std::vector<FortifyRecord> fortifications{};
  std::vector<Reading> readings{};
  std::vector<Eigen::VectorXd> volumes{};  // litres of each row after each event; only for Keep::path
  std::vector<DissolvedAct> acts{};        // only for Keep::acts
  std::optional<Stock> before_acts{};      // as the log left it
  std::vector<LossRecord> losses{};
  std::vector<double> lot_used_l{};  // by lot of the timeline: taken into the book so far
  std::vector<Problem> problems{};   // faults in the log, each at its line
  std::optional<Stop> stopped;
  std::vector<Beyond> beyond{};  // in order of time; not for Keep::flows
};

}  // namespace tierce
