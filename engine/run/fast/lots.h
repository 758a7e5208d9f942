// The lots of a row, which all share one fate between two pours: a draw or a year of evaporation takes the same part of
// each. So such an act only changes a few factors of the row (Unwritten), and the next pour writes them into the
// amounts in the one pass that it needs anyhow. Draws, refills and the passing of time work this way; before any other
// act simulate() writes all rows, so that the act may read and change the matrices of Stock as they stand.
#pragma once

#include "engine/run/run.h"

namespace tierce {

/// Works out the refills that wait (pours.h).
void work_out_pours(Run& run);

/// Writes what is still to be written into a row's amounts and into its flows by lot.
void write_lots(Run& run, int row);
/// The same for all rows; their sums are counted anew when next asked for, since the caller may change the amounts.
void write_lots(Run& run);

/// Sums a row's amounts, if they are not known from its last pass.
void count_lots(Stock& stock, int row);
inline const Unwritten& counted(Stock& stock, int row) {
  if (!stock.unwritten.counted(row)) count_lots(stock, row);
  return stock.unwritten;
}

/// `share` of a row is drawn: by lot, in the year's totals and in the flows of what is dissolved.
void draw_lots(Run& run, int row, double share);
/// `share` of one row goes into another.
void pour_lots(Run& run, int from, int to, double share);
/// Each tier gives the share that the plan of the refill says to the next older one, the oldest first; all in one pass.
/// The caller settles all tiers, which begins new sulfur steps.
void pour_down_lots(Run& run);
/// Writes a refill down, to be worked out later (pours.h). `share`: of kFewRows rows, what each gives to the next.
void let_wait(Run& run, const double* share);
/// True if refills wait already and nothing hinders the next from doing so.
inline bool another_may_wait(const Run& run) { return !run.waiting.empty() && is_known(run.now.unwritten.all_sums()); }
/// New wine of one lot comes into a row whose lots are written, or just after a pour that waits.
void add_lot(Run& run, int row, int parcel, double litres, double alcohol_l);

}  // namespace tierce
