#include "engine/run/fast/pours.h"

#include "engine/run/fast/wide.h"

namespace tierce {
namespace {

/// How much of an amount that stands in a row at some moment is found at the end in each row, or had gone: by row then.
/// At the end itself, before any pour is looked at, everything is where it is.
struct Reach {
  double litres[kFewRows][4] = {{1, 0, 0, 0}, {0, 1, 0, 0}, {0, 0, 1, 0}, {0, 0, 0, 1}};  // row then, row at the end
  double entered[kFewRows][4] = {{1, 0, 0, 0}, {0, 1, 0, 0}, {0, 0, 1, 0}, {0, 0, 0, 1}};
  double alcohol[kFewRows][4] = {{1, 0, 0, 0}, {0, 1, 0, 0}, {0, 0, 1, 0}, {0, 0, 0, 1}};
  double drawn_litres[4] = {};
  double drawn_alcohol[4] = {};
  double evaporated_litres[4] = {};
  double evaporated_alcohol[4] = {};
};

/// By row: which part of what stood in it before a pour stays in it, and which goes on to the next.
struct Parts {
  double stays[4];
  double goes[4];
};

[[gnu::always_inline]] inline Parts parts_of(const Poured& pour, RowFigure left_figure) {
  const Four &left = four(pour.figure[left_figure], 0), &share = four(pour.share, 0);
  Parts parts;
  four(parts.stays, 0) = left * (1.0 - share);
  four(parts.goes, 0) = left * share;
  return parts;
}

/// From just after a pour to just before it.
[[gnu::always_inline]] inline void held_before(const Parts& parts, double (&reach)[kFewRows][4]) {
  for (int row = 0; row + 1 < kFewRows; ++row)
    four(reach[row], 0) = parts.stays[row] * four(reach[row], 0) + parts.goes[row] * four(reach[row + 1], 0);
  four(reach[kFewRows - 1], 0) *= parts.stays[kFewRows - 1];
}
[[gnu::always_inline]] inline void gone_before(const Parts& parts, const Poured& pour, RowFigure gone,
                                               double (&reach)[4]) {
  const Four after = four(reach, 0);
  const Four after_in_next = __builtin_shufflevector(after, Four{}, 1, 2, 3, 4);
  four(reach, 0) = four(pour.figure[gone], 0) + four(parts.stays, 0) * after + four(parts.goes, 0) * after_in_next;
}

[[gnu::always_inline]] inline void go_back(const Poured& pour, Reach& reach) {
  const Parts litres = parts_of(pour, kLeftLitres), alcohol = parts_of(pour, kLeftAlcohol);
  held_before(litres, reach.litres);
  held_before(parts_of(pour, kLeftEntered), reach.entered);
  held_before(alcohol, reach.alcohol);
  gone_before(litres, pour, kDrawnLitres, reach.drawn_litres);
  gone_before(alcohol, pour, kDrawnAlcohol, reach.drawn_alcohol);
  gone_before(litres, pour, kEvaporatedLitres, reach.evaporated_litres);
  gone_before(alcohol, pour, kEvaporatedAlcohol, reach.evaporated_alcohol);
}

/// New wine in row 0, where it has come to.
[[gnu::always_inline]] inline void spread_new_wine(const Poured& pour, const Reach& reach, const WorkedOut& to) {
  if (pour.parcel < 0) return;
  const double litres = pour.litres, alcohol_l = pour.alcohol_l;
  std::ptrdiff_t at = pour.parcel;
  to.drawn.litres[at] += litres * reach.drawn_litres[0];
  to.drawn.alcohol[at] += alcohol_l * reach.drawn_alcohol[0];
  to.evaporated.litres[at] += litres * reach.evaporated_litres[0];
  to.evaporated.alcohol[at] += alcohol_l * reach.evaporated_alcohol[0];
  for (int row = 0; row <= to.last; ++row, at += to.columns) {
    to.lots.litres[at] += litres * reach.litres[0][row];
    to.lots.entered[at] += litres * reach.entered[0][row];
    to.lots.alcohol[at] += alcohol_l * reach.alcohol[0][row];
  }
}

/// One lot that was there before the first pour, in the amounts of one kind: `lot` is its amount in row 0, and `before`
/// what it was in each row.
[[gnu::always_inline]] inline void spread(double* lot, const double (&reach)[kFewRows][4], const WorkedOut& to,
                                          Four& before) {
  Four after{};
  before = Four{};
  for (int row = 0; row <= to.last; ++row) {
    const double amount = lot[row * to.columns];
    before[row] = amount;
    after += amount * four(reach[row], 0);
  }
  for (int row = 0; row <= to.last; ++row) lot[row * to.columns] = after[row];
}

[[gnu::always_inline]] inline void spread_old_wine(const Reach& reach, const WorkedOut& to) {
  Four litres, entered, alcohol_l;
  for (std::ptrdiff_t i = 0; i < to.before; ++i) {
    spread(to.lots.litres + i, reach.litres, to, litres);
    spread(to.lots.entered + i, reach.entered, to, entered);
    spread(to.lots.alcohol + i, reach.alcohol, to, alcohol_l);
    to.drawn.litres[i] += sum(litres * four(reach.drawn_litres, 0));
    to.drawn.alcohol[i] += sum(alcohol_l * four(reach.drawn_alcohol, 0));
    to.evaporated.litres[i] += sum(litres * four(reach.evaporated_litres, 0));
    to.evaporated.alcohol[i] += sum(alcohol_l * four(reach.evaporated_alcohol, 0));
  }
}

/// Takes a sum by row through one pour: each row gives its share to the next.
[[gnu::always_inline]] inline void take_through(const Four& left, const Four& share, Four& sums) {
  const Four before = left * sums, given = before * share;
  sums = before * (1.0 - share) + __builtin_shufflevector(given, Four{}, 4, 0, 1, 2);
}

}  // namespace

TIERCE_WIDE void note_pour(FourRows& rows, const double* share, Poured& pour) {
  const Four all{1.0, 1.0, 1.0, 1.0}, none{}, shares = four(share, 0);
  const auto figure = [&](int which) -> Four& { return four(rows.figure[which], 0); };
  four(pour.share, 0) = shares;
  pour.parcel = -1;
  for (int which = 0; which < kSumLitres; ++which) four(pour.figure[which], 0) = figure(which);
  take_through(figure(kLeftLitres), shares, figure(kSumLitres));
  take_through(figure(kLeftAlcohol), shares, figure(kSumAlcohol));
  for (int left = kLeftLitres; left <= kLeftAlcohol; ++left) figure(left) = all;
  for (int gone = kDrawnLitres; gone <= kEvaporatedAlcohol; ++gone) figure(gone) = none;
}

TIERCE_WIDE void work_out(std::span<const Poured> pours, const WorkedOut& to) {
  Reach reach;
  for (std::size_t i = pours.size(); i-- > 0;) {
    spread_new_wine(pours[i], reach, to);
    go_back(pours[i], reach);
  }
  spread_old_wine(reach, to);
}

}  // namespace tierce
