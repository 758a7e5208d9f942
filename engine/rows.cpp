#include "engine/rows.h"

// GCC's own way to compile a function for several processors; left out where a sanitizer watches, which it disturbs.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__)
#define TIERCE_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define TIERCE_WIDE
#endif

namespace tierce {

TIERCE_WIDE void move_part(double* __restrict from, double* __restrict to, std::ptrdiff_t count, double part) {
  const double keep = 1.0 - part;
  for (std::ptrdiff_t i = 0; i < count; ++i) {
    const double amount = from[i];
    to[i] += part * amount;
    from[i] = keep * amount;
  }
}

TIERCE_WIDE void scale_row(double* amounts, std::ptrdiff_t count, double factor) {
  for (std::ptrdiff_t i = 0; i < count; ++i) amounts[i] *= factor;
}

// Four running sums, in a fixed order: wide enough to keep the adders busy, and the same on every processor.
TIERCE_WIDE double add_part(const double* __restrict from, double* __restrict to, std::ptrdiff_t count, double part) {
  double sums[4] = {0.0, 0.0, 0.0, 0.0};
  std::ptrdiff_t i = 0;
  for (; i + 4 <= count; i += 4)
    for (std::ptrdiff_t j = 0; j < 4; ++j) {
      const double amount = part * from[i + j];
      to[i + j] += amount;
      sums[j] += amount;
    }
  for (; i < count; ++i) {
    const double amount = part * from[i];
    to[i] += amount;
    sums[0] += amount;
  }
  return (sums[0] + sums[1]) + (sums[2] + sums[3]);
}

TIERCE_WIDE double sum_row(const double* amounts, std::ptrdiff_t count) {
  double sums[4] = {0.0, 0.0, 0.0, 0.0};
  std::ptrdiff_t i = 0;
  for (; i + 4 <= count; i += 4)
    for (std::ptrdiff_t j = 0; j < 4; ++j) sums[j] += amounts[i + j];
  for (; i < count; ++i) sums[0] += amounts[i];
  return (sums[0] + sums[1]) + (sums[2] + sums[3]);
}

}  // namespace tierce
