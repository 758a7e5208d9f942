// What the reserve holds at one moment, and the acts that move wine between its rows. Amounts only, never ratios:
// amounts can be added, moved and balanced (design decision 1).
#pragma once

#include <Eigen/Dense>
#include <string>
#include <vector>

#include "engine/calendar.h"
#include "engine/levels.h"
#include "engine/rows.h"
#include "engine/scenario.h"

namespace tierce {

using RowMajorMatrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
using Amounts = Eigen::RowVectorXd;

/// What travels dissolved in the wine, one column each in Stock::solutes. Grams, but SO2 and acetaldehyde in mg.
/// The last two carry pH as weighted sums (g acid x pH, litres x pH), for the estimate of design decision 14.
enum Solute {
  kSugar,
  kAcid,
  kVolatileAcid,
  kSulfate,
  kSo2Total,
  kSo2Free,
  kAldehyde,
  kPhByAcid,
  kPhByLitres,
  kSoluteCount
};

using SoluteMatrix = Eigen::Matrix<double, Eigen::Dynamic, kSoluteCount, Eigen::RowMajor>;
using SoluteRow = Eigen::Matrix<double, 1, kSoluteCount>;

/// One column of the state: wine of one lot (and, for the clocks `entry` and `wood`, of one day of entry).
struct Parcel {
  std::string lot{};
  int vintage = 0;  // 0 = not known
  bool entered_known = false;
  Date entered{};                    // into a tier; only for the clocks entry and wood
  bool outside = false;              // still in a tank, so that `entry` and `wood` count nothing yet
  double zero_day = kUnknown;        // day number at which its age is zero; unknown for wine of unknown age
  double wood_years_before = 0;      // clock wood: years it had when the book opened
  double older_than_day = kUnknown;  // for unknown age: it was wine on this day, so that it is at least that old
};

/// The sulfur year of a row: what it held when its step began (design decision 13).
struct SulfurStep {
  double total_mg = 0.0;
  double free_mg = 0.0;
  double litres = 0.0;
  double years = 0.0;  // since the step began
};

/// What has happened to all lots of a row alike since its amounts were last written (lots.h): what is left of each
/// amount, and what has gone of it. In a Stock that somebody looks at, nothing is left to write.
struct Unwritten {
  LotFactors left{};
  LotSums drawn{}, evaporated{};  // parts of the amounts as they are written
  double wood_years = 0.0;        // spent in wood by all that is written; what left took its years along
  LotSums sum{};                  // of the amounts as they are written
  bool counted = false;           // the sums are known

  double litres() const { return left.litres * sum.litres; }
  double alcohol() const { return left.alcohol * sum.alcohol; }
  bool nothing() const {
    return left.entered == 1.0 && evaporated.litres == 0.0 && drawn.litres == 0.0 && wood_years == 0.0;
  }
  void leave(double part) { left = left.times(part); }
  void evaporate(double litres_part, double alcohol_part) {
    evaporated.litres += left.litres * litres_part;
    left.litres *= 1.0 - litres_part;
    if (alcohol_part == 0.0) return;  // an unknown strength of which nothing leaves
    evaporated.alcohol += left.alcohol * alcohol_part;
    left.alcohol *= 1.0 - alcohol_part;
  }
  void write(const LotSums& sums) { *this = {.sum = sums, .counted = true}; }
};

/// Row: tier (0 = youngest), then tanks. Column: parcel. All lots move together.
struct Stock {
  /// A stock without wine.
  Stock(const Scenario& scenario, Eigen::Index parcels);

  int day = 0;  // day number (calendar.h)
  Date date;
  RowMajorMatrix litres;       // now, at 20 °C
  RowMajorMatrix entered;      // litres as they entered, not shrunk by evaporation: the weight of what stays behind
  RowMajorMatrix alcohol;      // litres of pure alcohol
  RowMajorMatrix litre_years;  // years in wood x litres; empty unless the clock is `wood`
  SoluteMatrix solutes;        // row x Solute
  Eigen::Index used = 0;       // parcels that have come so far: the columns beyond are empty
  Eigen::VectorXd volume;      // litres of each row, kept beside the lots so that one checks the other
  Levels levels;
  std::vector<double> measured_ph;  // latest analysis; unknown where none
  std::vector<SulfurStep> sulfur;
  std::vector<Unwritten> unwritten;

  double alcohol_l(int row) const;                 // litres of pure alcohol
  double alcohol_pct(int row) const;               // %vol; unknown if empty
  double per_litre(int row, Solute solute) const;  // g/L or mg/L; unknown if empty
  double ph(int row) const;                        // latest measured, else the weighted mean (an estimate)
};

/// What left a row or entered it in one act.
struct Parcelled {
  Amounts litres{}, entered{}, alcohol{}, litre_years{};  // by parcel
  SoluteRow solutes = SoluteRow::Zero();                  // by Solute
};

/// Copies `share` (0..1] of what the row holds.
Parcelled part_of(const Stock& stock, int row, double share);
/// Takes `share` of the row's wine away from its lots (not from its vessels). A share of 1 leaves exactly nothing. This
/// and pour() want rows whose lots are written.
void thin_row(Stock& stock, int row, double share);
/// Moves `share` of one row's wine to another, lots only.
void pour(Stock& stock, int from, int to, double share);
/// The same for what is dissolved alone.
void thin_dissolved(Stock& stock, int row, double share);
void pour_dissolved(Stock& stock, int from, int to, double share);
/// Takes all wine out of the lots of a row.
void empty_lots(Stock& stock, int row);
/// Begins a new sulfur step from what the row holds now.
inline void restart_sulfur_step(Stock& stock, int row) {
  stock.sulfur[static_cast<std::size_t>(row)] = {stock.solutes(row, kSo2Total), stock.solutes(row, kSo2Free),
                                                 stock.volume[row], 0.0};
}

}  // namespace tierce
