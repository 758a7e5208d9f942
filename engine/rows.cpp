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

TIERCE_WIDE void add_scaled(const double* __restrict from, double* __restrict to, std::ptrdiff_t count, double part) {
  for (std::ptrdiff_t i = 0; i < count; ++i) to[i] += part * from[i];
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

namespace {

/// Four neighbours of a row; the compiler makes of each operation one or two instructions, as the processor allows.
using Four [[gnu::vector_size(32), gnu::aligned(8), gnu::may_alias]] = double;

[[gnu::always_inline]] inline Four& four(double* amounts, std::ptrdiff_t i) {
  return *reinterpret_cast<Four*>(amounts + i);
}

}  // namespace

TIERCE_WIDE LotSums keep_lots(const Lots& lots, const LotFactors& left, const Gone& gone, std::ptrdiff_t count) {
  double *const litres = lots.litres, *const entered = lots.entered, *const alcohol = lots.alcohol;
  double *const gone_litres = gone.litres, *const gone_alcohol = gone.alcohol;
  const LotFactors keep = left;  // copies, so that no store in the loop seems to change them
  const LotSums part = gone.part;
  Four litres_sum{}, alcohol_sum{};
  std::ptrdiff_t i = 0;
  for (; i + 4 <= count; i += 4) {
    const Four l = four(litres, i), a = four(alcohol, i);
    four(gone_litres, i) += part.litres * l;
    four(gone_alcohol, i) += part.alcohol * a;
    four(entered, i) *= keep.entered;
    litres_sum += four(litres, i) = keep.litres * l;
    alcohol_sum += four(alcohol, i) = keep.alcohol * a;
  }
  for (; i < count; ++i) {
    const double l = litres[i], a = alcohol[i];
    gone_litres[i] += part.litres * l;
    gone_alcohol[i] += part.alcohol * a;
    entered[i] *= keep.entered;
    litres_sum[0] += litres[i] = keep.litres * l;
    alcohol_sum[0] += alcohol[i] = keep.alcohol * a;
  }
  return {(litres_sum[0] + litres_sum[1]) + (litres_sum[2] + litres_sum[3]),
          (alcohol_sum[0] + alcohol_sum[1]) + (alcohol_sum[2] + alcohol_sum[3])};
}

TIERCE_WIDE LotSums keep_and_add_lots(const Lots& to, const LotFactors& left, const Gone& gone, const Lots& from,
                                      const LotFactors& given, std::ptrdiff_t count) {
  double *const litres = to.litres, *const entered = to.entered, *const alcohol = to.alcohol;
  double *const gone_litres = gone.litres, *const gone_alcohol = gone.alcohol;
  double *const from_litres = from.litres, *const from_entered = from.entered, *const from_alcohol = from.alcohol;
  const LotFactors keep = left, give = given;
  const LotSums part = gone.part;
  Four litres_sum{}, alcohol_sum{};
  std::ptrdiff_t i = 0;
  for (; i + 4 <= count; i += 4) {
    const Four l = four(litres, i), a = four(alcohol, i);
    four(gone_litres, i) += part.litres * l;
    four(gone_alcohol, i) += part.alcohol * a;
    four(entered, i) = keep.entered * four(entered, i) + give.entered * four(from_entered, i);
    litres_sum += four(litres, i) = keep.litres * l + give.litres * four(from_litres, i);
    alcohol_sum += four(alcohol, i) = keep.alcohol * a + give.alcohol * four(from_alcohol, i);
  }
  for (; i < count; ++i) {
    const double l = litres[i], a = alcohol[i];
    gone_litres[i] += part.litres * l;
    gone_alcohol[i] += part.alcohol * a;
    entered[i] = keep.entered * entered[i] + give.entered * from_entered[i];
    litres_sum[0] += litres[i] = keep.litres * l + give.litres * from_litres[i];
    alcohol_sum[0] += alcohol[i] = keep.alcohol * a + give.alcohol * from_alcohol[i];
  }
  return {(litres_sum[0] + litres_sum[1]) + (litres_sum[2] + litres_sum[3]),
          (alcohol_sum[0] + alcohol_sum[1]) + (alcohol_sum[2] + alcohol_sum[3])};
}

}  // namespace tierce
