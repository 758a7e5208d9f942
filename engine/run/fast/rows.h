// The inner loops of the yearly loop: a row of amounts, one for each lot, moved or counted in one pass.
// Each is compiled twice where the processor allows it, plain and with wider instructions, and the program picks at its
// start; both give the same digits, since no multiplication is fused with an addition.
#pragma once

#include <cstddef>
#include <initializer_list>

namespace tierce {

/// to += part x from, from *= 1 - part. The two must not overlap.
void move_part(double* from, double* to, std::ptrdiff_t count, double part);
/// amounts *= factor.
void scale_row(double* amounts, std::ptrdiff_t count, double factor);
/// to += part x from; returns the sum of what was added.
double add_part(const double* from, double* to, std::ptrdiff_t count, double part);
/// Sum of the amounts.
double sum_row(const double* amounts, std::ptrdiff_t count);

/// The amounts of a row that are kept by lot: litres now, litres as they entered, litres of pure alcohol.
struct Lots {
  double* litres;
  double* entered;
  double* alcohol;
};
/// A factor for each.
struct LotFactors {
  double litres = 1.0;
  double entered = 1.0;
  double alcohol = 1.0;
  LotFactors times(double part) const { return {part * litres, part * entered, part * alcohol}; }
};
struct LotSums {
  double litres = 0.0;
  double alcohol = 0.0;
};
/// Where what has gone of each lot is added up, and which part of it that is.
struct Gone {
  double* litres;
  double* alcohol;
  LotSums part;
};

/// gone += part x lots, lots = left x lots; returns the sums of what is left.
LotSums keep_lots(const Lots& lots, const LotFactors& left, const Gone& gone, std::ptrdiff_t count);
/// gone += part x to, to = left x to + given x from, in one pass over all amounts; returns the sums of `to`.
LotSums keep_and_add_lots(const Lots& to, const LotFactors& left, const Gone& gone, const Lots& from,
                          const LotFactors& given, std::ptrdiff_t count);

/// What has happened to all lots of a row alike since its amounts were last written (lots.h).
enum RowFigure {
  kLeftLitres,  // parts of the amounts as they are written
  kLeftEntered,
  kLeftAlcohol,
  kDrawnLitres,
  kDrawnAlcohol,
  kEvaporatedLitres,
  kEvaporatedAlcohol,
  kSumLitres,  // of the amounts as they are written; unknown = not counted
  kSumAlcohol,
  kRowFigures
};
/// The figures of four neighbouring rows side by side, so that one instruction ages four rows.
struct FourRows {
  double figure[kRowFigures][4];
};
/// A row whose amounts are just written.
inline void set_written(FourRows& rows, int of_four, const LotSums& sums) {
  const auto set = [&](RowFigure figure, double value) { rows.figure[figure][of_four] = value; };
  for (const RowFigure left : {kLeftLitres, kLeftEntered, kLeftAlcohol}) set(left, 1.0);
  for (const RowFigure gone : {kDrawnLitres, kDrawnAlcohol, kEvaporatedLitres, kEvaporatedAlcohol}) set(gone, 0.0);
  set(kSumLitres, sums.litres);
  set(kSumAlcohol, sums.alcohol);
}

constexpr int kDissolved = 17;  // as many as there are in Solute (stock.h)

/// Rows that each give `share` of what they hold to the next; the last gives nothing, the first gets nothing.
struct Chain {
  Lots lots;               // of row 0
  std::ptrdiff_t columns;  // from a row to the next
  FourRows* figures;
  const double* share;  // by row
  Lots drawn;           // flows by lot; litres and alcohol alone
  Lots evaporated;
  double* nowhere;  // a row that nobody reads
  int last;
};
/// Writes all rows of the chain and pours, `count` lots of each, in one pass over all amounts. The last row first, so
/// that each still finds what the row before it held.
void pour_down(const Chain& chain, std::ptrdiff_t count);
/// The same for what is dissolved, kDissolved amounts a row, from row 0 to `last`.
void pour_dissolved_down(double* dissolved, const double* share, int last);

/// Figures of rows that lose one share of their wine, by row.
struct Evaporating {
  FourRows* figures;
  double* volume_l;
  double* filled;     // part of the capacity
  double* by_litres;  // a dissolved weight by litres, which follows them; kDissolved apart
  const double* tolerance_l;
  const double* vapour_fraction;
};
/// Lets whole groups of four rows evaporate until `kept` of their wine is left, and adds up what goes. Stops before a
/// group with a row that is empty, not counted, dries up, holds less alcohol than would go, or would be left with more
/// alcohol than wine; answers how many rows it has done.
int evaporate_rows(const Evaporating& rows, int count, double kept, LotSums& lost);
/// gone += part x lots.
void count_gone(const Lots& lots, const Gone& gone, std::ptrdiff_t count);

}  // namespace tierce
