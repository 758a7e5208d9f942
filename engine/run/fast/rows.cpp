#include "engine/run/fast/rows.h"

#include "engine/run/fast/wide.h"

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

namespace {

// The passes stand in inline functions, so that each wide copy of what calls them has a wide copy of its own.
[[gnu::always_inline]] inline LotSums keep(const Lots& lots, const LotFactors& left, const Gone& gone,
                                           std::ptrdiff_t count) {
  double *const litres = lots.litres, *const entered = lots.entered, *const alcohol = lots.alcohol;
  double *const gone_litres = gone.litres, *const gone_alcohol = gone.alcohol;
  const LotFactors kept = left;  // copies, so that no store in the loop seems to change them
  const LotSums part = gone.part;
  Four litres_sum{}, alcohol_sum{};
  std::ptrdiff_t i = 0;
  for (; i + 4 <= count; i += 4) {
    const Four l = four(litres, i), a = four(alcohol, i);
    four(gone_litres, i) += part.litres * l;
    four(gone_alcohol, i) += part.alcohol * a;
    four(entered, i) *= kept.entered;
    litres_sum += four(litres, i) = kept.litres * l;
    alcohol_sum += four(alcohol, i) = kept.alcohol * a;
  }
  for (; i < count; ++i) {
    const double l = litres[i], a = alcohol[i];
    gone_litres[i] += part.litres * l;
    gone_alcohol[i] += part.alcohol * a;
    entered[i] *= kept.entered;
    litres_sum[0] += litres[i] = kept.litres * l;
    alcohol_sum[0] += alcohol[i] = kept.alcohol * a;
  }
  return {sum(litres_sum), sum(alcohol_sum)};
}

[[gnu::always_inline]] inline LotSums keep_and_add(const Lots& to, const LotFactors& left, const Gone& gone,
                                                   const Lots& from, const LotFactors& given, std::ptrdiff_t count) {
  double *const litres = to.litres, *const entered = to.entered, *const alcohol = to.alcohol;
  double *const gone_litres = gone.litres, *const gone_alcohol = gone.alcohol;
  double *const from_litres = from.litres, *const from_entered = from.entered, *const from_alcohol = from.alcohol;
  const LotFactors kept = left, give = given;
  const LotSums part = gone.part;
  Four litres_sum{}, alcohol_sum{};
  std::ptrdiff_t i = 0;
  for (; i + 4 <= count; i += 4) {
    const Four l = four(litres, i), a = four(alcohol, i);
    four(gone_litres, i) += part.litres * l;
    four(gone_alcohol, i) += part.alcohol * a;
    four(entered, i) = kept.entered * four(entered, i) + give.entered * four(from_entered, i);
    litres_sum += four(litres, i) = kept.litres * l + give.litres * four(from_litres, i);
    alcohol_sum += four(alcohol, i) = kept.alcohol * a + give.alcohol * four(from_alcohol, i);
  }
  for (; i < count; ++i) {
    const double l = litres[i], a = alcohol[i];
    gone_litres[i] += part.litres * l;
    gone_alcohol[i] += part.alcohol * a;
    entered[i] = kept.entered * entered[i] + give.entered * from_entered[i];
    litres_sum[0] += litres[i] = kept.litres * l + give.litres * from_litres[i];
    alcohol_sum[0] += alcohol[i] = kept.alcohol * a + give.alcohol * from_alcohol[i];
  }
  return {sum(litres_sum), sum(alcohol_sum)};
}

[[gnu::always_inline]] inline void add_gone(const Lots& lots, const Gone& gone, std::ptrdiff_t count) {
  double *const litres = lots.litres, *const alcohol = lots.alcohol;
  double *const gone_litres = gone.litres, *const gone_alcohol = gone.alcohol;
  const LotSums part = gone.part;
  std::ptrdiff_t i = 0;
  for (; i + 4 <= count; i += 4) {
    four(gone_litres, i) += part.litres * four(litres, i);
    four(gone_alcohol, i) += part.alcohol * four(alcohol, i);
  }
  for (; i < count; ++i) {
    gone_litres[i] += part.litres * litres[i];
    gone_alcohol[i] += part.alcohol * alcohol[i];
  }
}

/// Where a pass writes what evaporated. Nothing of an unknown amount is still nothing, but 0 x unknown would not be: it
/// goes into a row that nobody reads.
[[gnu::always_inline]] inline Gone gone_of(const Chain& chain, double litres_part, double alcohol_part) {
  return {litres_part == 0.0 ? chain.nowhere : chain.evaporated.litres,
          alcohol_part == 0.0 ? chain.nowhere : chain.evaporated.alcohol,
          {litres_part, alcohol_part}};
}

[[gnu::always_inline]] inline Lots row_of(const Lots& lots, std::ptrdiff_t at) {
  return {lots.litres + at, lots.entered + at, lots.alcohol + at};
}

}  // namespace

TIERCE_WIDE LotSums keep_lots(const Lots& lots, const LotFactors& left, const Gone& gone, std::ptrdiff_t count) {
  return keep(lots, left, gone, count);
}

TIERCE_WIDE LotSums keep_and_add_lots(const Lots& to, const LotFactors& left, const Gone& gone, const Lots& from,
                                      const LotFactors& given, std::ptrdiff_t count) {
  return keep_and_add(to, left, gone, from, given, count);
}

TIERCE_WIDE void count_gone(const Lots& lots, const Gone& gone, std::ptrdiff_t columns) {
  add_gone(lots, gone, columns);
}

/// After a pass over rows 0 to `last`, which has set their sums: nothing is left to write. A group of four is set at
/// once; in the last group there may be tanks, which the pass has not touched.
[[gnu::always_inline]] inline void forget_written(FourRows* figures, int last) {
  const Four all{1.0, 1.0, 1.0, 1.0}, none{};
  for (int row = 0; row <= last;) {
    FourRows& rows = figures[row / 4];
    if (row + 3 > last) {
      set_written(rows, row % 4, {rows.figure[kSumLitres][row % 4], rows.figure[kSumAlcohol][row % 4]});
      ++row;
      continue;
    }
    for (int left = kLeftLitres; left <= kLeftAlcohol; ++left) four(rows.figure[left], 0) = all;
    for (int gone = kDrawnLitres; gone <= kEvaporatedAlcohol; ++gone) four(rows.figure[gone], 0) = none;
    row += 4;
  }
}

TIERCE_WIDE void pour_down(const Chain& of, std::ptrdiff_t columns) {
  const Chain chain = of;  // a copy, so that no store seems to change it
  Lots lots = row_of(chain.lots, chain.last * chain.columns);
  for (int row = chain.last; row >= 0; --row) {
    FourRows& rows = chain.figures[row / 4];
    const int at = row % 4;
    const auto figure = [&](RowFigure which) { return rows.figure[which][at]; };
    if (figure(kDrawnLitres) != 0.0)
      add_gone(lots, {chain.drawn.litres, chain.drawn.alcohol, {figure(kDrawnLitres), figure(kDrawnAlcohol)}}, columns);
    const double kept = 1.0 - chain.share[row], part = row == 0 ? 0.0 : chain.share[row - 1];
    const LotFactors left = LotFactors{figure(kLeftLitres), figure(kLeftEntered), figure(kLeftAlcohol)}.times(kept);
    const Gone gone = gone_of(chain, figure(kEvaporatedLitres), figure(kEvaporatedAlcohol));
    LotSums sums;
    if (row == 0) {
      sums = keep(lots, left, gone, columns);
    } else {
      const FourRows& before = chain.figures[(row - 1) / 4];
      const auto given = [&](RowFigure which) { return part * before.figure[which][(row - 1) % 4]; };
      const Lots lots_before = row_of(lots, -chain.columns);
      sums = keep_and_add(lots, left, gone, lots_before, {given(kLeftLitres), given(kLeftEntered), given(kLeftAlcohol)},
                          columns);
      lots = lots_before;
    }
    rows.figure[kSumLitres][at] = sums.litres;
    rows.figure[kSumAlcohol][at] = sums.alcohol;
  }
  forget_written(chain.figures, chain.last);
}

TIERCE_WIDE void pour_dissolved_down(double* dissolved, const double* share, int last) {
  for (int row = last; row >= 0; --row) {
    double* const to = dissolved + row * kDissolved;
    const double kept = 1.0 - share[row];
    if (row == 0)
      for (int i = 0; i < kDissolved; ++i) to[i] *= kept;
    else {
      const double part = share[row - 1];
      for (int i = 0; i < kDissolved; ++i) to[i] = kept * to[i] + part * to[i - kDissolved];
    }
  }
}

TIERCE_WIDE int evaporate_rows(const Evaporating& rows, int count, double kept, LotSums& lost) {
  const double gone = 1.0 - kept;
  int row = 0;
  for (; row + 4 <= count; row += 4) {
    const auto figure = [&](RowFigure which) -> Four& { return four(rows.figures[row / 4].figure[which], 0); };
    const Four held_l = four(rows.volume_l, row);
    const Four held_alcohol_l = figure(kLeftAlcohol) * figure(kSumAlcohol);
    const Four lost_l = gone * held_l, lost_alcohol_l = lost_l * four(rows.vapour_fraction, row);
    // Comparisons give -1 where they hold. An unknown amount of alcohol is not less than any; an unknown sum is not
    // itself.
    const auto usual = (lost_l < held_l - four(rows.tolerance_l, row)) & ~(lost_alcohol_l > held_alcohol_l) &
                       ~(held_alcohol_l - lost_alcohol_l > held_l - lost_l) &
                       (figure(kSumLitres) == figure(kSumLitres));  // NOLINT(misc-redundant-expression)
    if ((usual[0] & usual[1] & usual[2] & usual[3]) == 0) return row;
    const Four alcohol_part = lost_alcohol_l / held_alcohol_l;
    figure(kEvaporatedLitres) += gone * figure(kLeftLitres);
    figure(kLeftLitres) *= kept;
    figure(kEvaporatedAlcohol) += alcohol_part * figure(kLeftAlcohol);
    figure(kLeftAlcohol) *= 1.0 - alcohol_part;
    four(rows.volume_l, row) = held_l - lost_l;
    four(rows.filled, row) *= kept;
    for (int i = row; i < row + 4; ++i) rows.by_litres[i * kDissolved] *= kept;
    lost.litres += sum(lost_l);
    lost.alcohol += sum(lost_alcohol_l);
  }
  return row;
}

}  // namespace tierce
