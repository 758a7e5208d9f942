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
/// Sum of the amounts.
double sum_row(const double* amounts, std::ptrdiff_t count);

}  // namespace tierce
