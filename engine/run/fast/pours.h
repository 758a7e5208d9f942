// Refills that wait. A refill moves all lots of a row by the same parts, so that nobody needs the lots before somebody
// looks at them. Until then the parts are written down, and the sums of the rows carried along; in the end they are
// worked out for all lots at once, from the last pour back to the first: a product of small matrices, rows x rows. A
// year then costs the same, however many lots the reserve holds. For small reserves in which everything is known.
#pragma once

#include <cstddef>
#include <span>

#include "engine/run/fast/rows.h"

namespace tierce {

/// As many rows as one instruction takes.
constexpr int kFewRows = 4;

/// One refill, oldest first.
struct Poured {
  Poured() {}                    // leaves its figures as they are: whoever makes one fills it in
  double figure[kSumLitres][4];  // RowFigure by row: what had happened to the rows since the pour before
  double share[4];               // by row: what it gives to the next
  int parcel;                    // new wine into row 0 just after the pours: its column, -1 = none
  double litres;
  double alcohol_l;
};

/// Writes a pour down and carries the sums of the rows along; after it nothing is left to write into them. `share`: of
/// kFewRows rows, zero for those that give nothing. All sums must be known.
void note_pour(FourRows& rows, const double* share, Poured& pour);

/// Where the pours are worked out to: the rows from 0 to `last`, and what was drawn and evaporated of each lot.
struct WorkedOut {
  Lots lots;               // of row 0, as they stood before the first pour
  std::ptrdiff_t columns;  // from a row to the next
  std::ptrdiff_t before;   // how many columns held wine before the first pour; new wine comes into others
  Lots drawn;              // litres and alcohol alone
  Lots evaporated;
  int last;
};
void work_out(std::span<const Poured> pours, const WorkedOut& to);

}  // namespace tierce
