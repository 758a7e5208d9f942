// What the reserve holds at one moment, and the acts that move wine between its rows. Amounts only, never ratios:
// amounts can be added, moved and balanced (design decision 1).
#pragma once

#include <Eigen/Core>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "engine/book/calendar.h"
#include "engine/book/scenario.h"
#include "engine/run/fast/rows.h"
#include "engine/run/levels.h"

namespace tierce {

using RowMajorMatrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
using Amounts = Eigen::RowVectorXd;

/// What travels with the wine, one column each in Stock::solutes. Grams, but SO2 and acetaldehyde in mg, and money in
/// the scenario's currency: what the wine has cost so far, which evaporation leaves behind as it leaves the sugar.
/// Two carry pH as weighted sums (g acid x pH, litres x pH), for the estimate of design decision 14. The last seven are
/// for the low and the high reckoning of free SO2 (binding.h), in mg: the binders are those of the low one.
enum Solute {
  kSugar,
  kAcid,
  kVolatileAcid,
  kSulfate,
  kSo2Total,
  kSo2Free,
  kAldehyde,
  kMoney,
  kPhByAcid,
  kPhByLitres,
  kSo2FreeLow,
  kSo2FreeHigh,
  kAldehydeLow,
  kPyruvic,
  kOxoglutaric,
  kGalacturonic,
  kGlucoseHeld,
  kSoluteCount
};
static_assert(kSoluteCount == kDissolved);

/// What an analysis measures in so much a litre, and the amount in which the state holds it.
struct Measured {
  const char* quantity;
  double Composition::*value;
  Solute solute;
};
constexpr Measured kMeasured[] = {
    {"sugar", &Composition::sugar_g_l, kSugar},
    {"acidity", &Composition::acidity_g_l, kAcid},
    {"va", &Composition::va_g_l, kVolatileAcid},
    {"sulfate", &Composition::sulfate_g_l, kSulfate},
    {"so2 total", &Composition::so2_total_mg_l, kSo2Total},
    {"so2 free", &Composition::so2_free_mg_l, kSo2Free},
    {"acetaldehyde", &Composition::acetaldehyde_mg_l, kAldehyde},
    {"pyruvic", &Composition::pyruvic_mg_l, kPyruvic},
    {"oxoglutaric", &Composition::oxoglutaric_mg_l, kOxoglutaric},
    {"galacturonic", &Composition::galacturonic_mg_l, kGalacturonic},
};

using SoluteMatrix = Eigen::Matrix<double, Eigen::Dynamic, kSoluteCount, Eigen::RowMajor>;
using SoluteRow = Eigen::Matrix<double, 1, kSoluteCount>;

/// One column of the state: wine of one lot (for the clocks `entry` and `wood` of one day of entry, and for `wood` of
/// one time in wood).
struct Parcel {
  std::string lot{};
  int vintage = 0;  // 0 = not known
  bool entered_known = false;
  Date entered{};                     // into a tier; only for the clocks entry and wood
  bool outside = false;               // still in a tank, so that `entry` and `wood` count nothing yet
  double zero_day = kUnknown;         // day number at which its age is zero; unknown for wine of unknown age
  double older_than_day = kUnknown;   // for unknown age: it was wine on this day, so that it is at least that old
  double rests_since_day = kUnknown;  // clock wood, outside wood: its age stays what it was on this day
  bool shared = false;                // by parts whose time in wood differs: a Pool tells their ages
};

/// What the ages of parts that share a column come to. The days are those of each part outside wood while it is in
/// wood, and in wood while it is outside (wood_parts.h): they stay as they are until it turns from one to the other.
struct Pool {
  double day_litres = 0.0;         // litres x days
  double square_day_litres = 0.0;  // litres x days x days
  double least_days = INFINITY;    // of any share above zero
  double most_days = -INFINITY;

  void add(const Pool& other, double share);
  void scale(double factor) {
    day_litres *= factor;
    square_day_litres *= factor;
  }
};
using Pools = std::map<int, Pool>;  // by column

inline void scale(Pools& pools, double factor) {
  for (auto& [column, pool] : pools) pool.scale(factor);
}

/// The sulfur year of a row: what it held when its step began (design decision 13).
struct SulfurStep {
  double total_mg = 0.0;
  double free_mg = 0.0, free_low_mg = 0.0, free_high_mg = 0.0;
  double litres = 0.0;
  double years = 0.0;  // since the step began
};

/// What has happened to all lots of a row alike since its amounts were last written. In a Stock that somebody looks at,
/// nothing is left to write.
class Unwritten {
 public:
  void reset(int rows) {
    fours_.assign(static_cast<std::size_t>((rows + 3) / 4), FourRows{});
    for (int row = 0; row < rows; ++row) forget(row);
  }
  double& at(int row, RowFigure figure) { return four_of(row).figure[figure][row & 3]; }
  double at(int row, RowFigure figure) const {
    return fours_[static_cast<std::size_t>(row) / 4].figure[figure][row & 3];
  }
  FourRows* fours() { return fours_.data(); }

  LotFactors left(int row) const { return {at(row, kLeftLitres), at(row, kLeftEntered), at(row, kLeftAlcohol)}; }
  LotSums drawn(int row) const { return {at(row, kDrawnLitres), at(row, kDrawnAlcohol)}; }
  LotSums evaporated(int row) const { return {at(row, kEvaporatedLitres), at(row, kEvaporatedAlcohol)}; }
  /// Of litres and alcohol, of the first four rows; unknown if any of them is, and zero where there is no row.
  double all_sums() const {
    double sum = 0.0;
    for (const RowFigure which : {kSumLitres, kSumAlcohol})
      for (int row = 0; row < 4; ++row) sum += fours_.front().figure[which][row];
    return sum;
  }
  bool counted(int row) const { return is_known(at(row, kSumLitres)); }
  double litres(int row) const { return at(row, kLeftLitres) * at(row, kSumLitres); }
  double alcohol(int row) const { return at(row, kLeftAlcohol) * at(row, kSumAlcohol); }
  bool nothing(int row) const {
    return at(row, kLeftEntered) == 1.0 && at(row, kEvaporatedLitres) == 0.0 && at(row, kDrawnLitres) == 0.0;
  }
  void draw(int row, double part) {  // it is counted as drawn; leave() takes it away
    at(row, kDrawnLitres) += part * at(row, kLeftLitres);
    at(row, kDrawnAlcohol) += part * at(row, kLeftAlcohol);
  }
  void leave(int row, double part) {
    for (const RowFigure left : {kLeftLitres, kLeftEntered, kLeftAlcohol}) at(row, left) *= part;
  }
  void evaporate(int row, double litres_part, double alcohol_part) {
    at(row, kEvaporatedLitres) += at(row, kLeftLitres) * litres_part;
    at(row, kLeftLitres) *= 1.0 - litres_part;
    if (alcohol_part == 0.0) return;  // an unknown strength of which nothing leaves
    at(row, kEvaporatedAlcohol) += at(row, kLeftAlcohol) * alcohol_part;
    at(row, kLeftAlcohol) *= 1.0 - alcohol_part;
  }
  void write(int row, const LotSums& sums) { set_written(four_of(row), row & 3, sums); }
  void count(int row, const LotSums& sums) {
    at(row, kSumLitres) = sums.litres;
    at(row, kSumAlcohol) = sums.alcohol;
  }
  void forget_sums(int row) { at(row, kSumLitres) = kUnknown; }
  void forget(int row) { write(row, {kUnknown, kUnknown}); }

 private:
  FourRows& four_of(int row) { return fours_[static_cast<std::size_t>(row) / 4]; }
  std::vector<FourRows> fours_;
};

/// One thing that happened to what is dissolved, written down so that it can be gone through again with other doses
/// (sulfur_path.h).
struct DissolvedAct {
  enum class Kind { thin, pour, bring, dose, age, restart, year };
  Kind kind;
  int row;              // of a year's close: the year
  int to = -1;          // of a pour; of wine brought, once it is on a path: which of its wines
  double share = 0.0;   // of a thin or a pour
  double litres = 0.0;  // in the row, or brought
  double years = 0.0;   // of an age; `in_step` since its step began
  double in_step = 0.0;
  double mg_l = 0.0;                   // of a dose: as given,
  double wanted_free_mg_l = kUnknown;  // or the free SO2 it aims at,
  double at_most_mg_l = 0.0;           // up to this total
  const Composition* wine = nullptr;   // brought
};

/// Row: tier (0 = youngest), then tanks. Column: parcel. All lots move together.
struct Stock {
  Stock() = default;
  Stock(const Scenario& scenario, Eigen::Index parcels) { reset(scenario, parcels); }
  /// A stock without wine, in the same memory.
  void reset(const Scenario& scenario, Eigen::Index parcels);

  int day = 0;  // day number (calendar.h)
  Date date;
  RowMajorMatrix litres;     // now, at 20 °C
  RowMajorMatrix entered;    // litres as they entered, not shrunk by evaporation: the weight of what stays behind
  RowMajorMatrix alcohol;    // litres of pure alcohol
  std::vector<Pools> pools;  // by row; empty unless the clock is `wood`
  SoluteMatrix solutes;      // row x Solute
  Eigen::Index used = 0;     // parcels that have come so far: the columns beyond are empty
  Eigen::VectorXd volume;    // litres of each row, kept beside the lots so that one checks the other
  Levels levels;
  std::vector<double> measured_ph;  // latest analysis; unknown where none
  std::vector<SulfurStep> sulfur;
  Unwritten unwritten;
  std::vector<DissolvedAct>* acts = nullptr;  // where they are written down, if anywhere

  void note(const DissolvedAct& act) {
    if (acts != nullptr) acts->push_back(act);
  }
  double alcohol_l(int row) const;     // litres of pure alcohol
  double alcohol_pct(int row) const {  // %vol; unknown if empty
    return volume[row] > 0.0 ? 100.0 * alcohol_l(row) / volume[row] : kUnknown;
  }
  double per_litre(int row, Solute solute) const {  // g/L or mg/L; unknown if empty
    return volume[row] > 0.0 ? solutes(row, solute) / volume[row] : kUnknown;
  }
  double ph(int row) const;  // latest measured, else the weighted mean (an estimate)
};

/// What left a row or entered it in one act.
struct Parcelled {
  Amounts litres{}, entered{}, alcohol{};  // by parcel
  SoluteRow solutes = SoluteRow::Zero();   // by Solute
  Pools pools{};
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
/// Adds `share` of what the pools of one row hold to another.
void pour_pools(Stock& stock, int from, int to, double share);
/// Takes all wine out of the lots of a row.
void empty_lots(Stock& stock, int row);
/// Begins a new sulfur step from what the row holds now.
inline void restart_sulfur_step(Stock& stock, int row) {
  stock.note({.kind = DissolvedAct::Kind::restart, .row = row, .litres = stock.volume[row]});
  stock.sulfur[static_cast<std::size_t>(row)] = {stock.solutes(row, kSo2Total),
                                                 stock.solutes(row, kSo2Free),
                                                 stock.solutes(row, kSo2FreeLow),
                                                 stock.solutes(row, kSo2FreeHigh),
                                                 stock.volume[row],
                                                 0.0};
}

}  // namespace tierce
