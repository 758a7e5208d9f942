// The inner loops of the yearly loop: a row of amounts, one for each lot, moved or counted in one pass.
// Each is compiled twice where the processor allows it, plain and with wider instructions, and the program picks at its
// start; both give the same digits, since no multiplication is fused with an addition.
#pragma once

#include <cstddef>

namespace tierce {

/// to += part x from, from *= 1 - part. The two must not overlap.
void move_part(double* from, double* to, std::ptrdiff_t count, double part);
/// amounts *= factor.
void scale_row(double* amounts, std::ptrdiff_t count, double factor);
/// to += part x from; returns the sum of what was added.
double add_part(const double* from, double* to, std::ptrdiff_t count, double part);
/// to += part x from.
void add_scaled(const double* from, double* to, std::ptrdiff_t count, double part);
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

}  // namespace tierce
