#include "engine/lots.h"

#include <algorithm>

#include "engine/rows.h"

namespace tierce {
namespace {

Unwritten& unwritten(Stock& stock, int row) { return stock.unwritten[static_cast<std::size_t>(row)]; }

/// How many columns a pass covers: whole groups of four, for the columns beyond `used` hold zeros and stay zeros. Only
/// an unknown factor would make them unknown.
Eigen::Index columns_for(const Stock& stock, double a_factor) {
  if (!is_known(a_factor)) return stock.used;
  return std::min<Eigen::Index>((stock.used + 3) / 4 * 4, stock.litres.cols());
}

void write_wood_years(Stock& stock, int row, const Unwritten& to) {
  if (stock.litre_years.size() == 0) return;
  const Eigen::Index used = stock.used;
  stock.litre_years.row(row).head(used) += to.wood_years * stock.litres.row(row).head(used);
  stock.litre_years.row(row).head(used) *= to.left.litres;
}

/// What was drawn since the row was written joins the flows by lot. A pass of its own: few rows are drawn from.
void write_drawn(Run& run, int row) {
  const Unwritten& to = unwritten(run.now, row);
  if (to.drawn.litres == 0.0) return;
  Flows& flows = run.out.flows;
  add_scaled(run.now.litres.row(row).data(), flows.litres.row(kDrawn).data(), run.now.used, to.drawn.litres);
  add_scaled(run.now.alcohol.row(row).data(), flows.alcohol.row(kDrawn).data(), run.now.used, to.drawn.alcohol);
}

/// Where a pass writes what evaporated. Nothing of an unknown amount is still nothing, but 0 x unknown would not be: it
/// goes into a row that nobody reads.
Gone evaporated(Run& run, const Unwritten& to) {
  Flows& flows = run.out.flows;
  return {to.evaporated.litres == 0.0 ? run.nowhere.data() : flows.litres.row(kEvaporated).data(),
          to.evaporated.alcohol == 0.0 ? run.nowhere.data() : flows.alcohol.row(kEvaporated).data(), to.evaporated};
}

Lots lots_of(Stock& stock, int row) {
  return {stock.litres.row(row).data(), stock.entered.row(row).data(), stock.alcohol.row(row).data()};
}

}  // namespace

void write_lots(Run& run, int row) {
  Unwritten& to = unwritten(run.now, row);
  if (to.nothing()) return;
  write_drawn(run, row);
  write_wood_years(run.now, row, to);
  const Eigen::Index columns = columns_for(run.now, to.left.alcohol);
  to.write(keep_lots(lots_of(run.now, row), to.left, evaporated(run, to), columns));
}

void write_lots(Run& run) {
  for (int row = 0; row < run.scenario.rows(); ++row) {
    write_lots(run, row);
    unwritten(run.now, row).counted = false;
  }
}

void count_lots(Stock& stock, int row) {
  Unwritten& to = unwritten(stock, row);
  to.sum.litres = sum_row(stock.litres.row(row).data(), stock.used);
  to.sum.alcohol = sum_row(stock.alcohol.row(row).data(), stock.used);
  to.counted = true;
}

void draw_lots(Run& run, int row, double share) {
  Unwritten& to = unwritten(run.now, row);
  counted(run.now, row);
  run.year().litres[kDrawn] += share * to.litres();
  run.year().alcohol[kDrawn] += share * to.alcohol();
  run.out.flows.solutes.row(kDrawn) += share * run.now.solutes.row(row);
  to.drawn.litres += share * to.left.litres;
  to.drawn.alcohol += share * to.left.alcohol;
  if (share >= 1.0) write_lots(run, row);  // a row that is emptied holds zeros, not products
  else to.leave(1.0 - share);
  thin_dissolved(run.now, row, share);
  if (share >= 1.0) empty_lots(run.now, row);
}

void pour_lots(Run& run, int from, int to, double share) {
  Stock& now = run.now;
  if (share >= 1.0) write_lots(run, from);
  Unwritten& giving = unwritten(now, from);
  Unwritten& taking = unwritten(now, to);
  write_drawn(run, to);
  if (now.litre_years.size() > 0) {
    write_wood_years(now, to, taking);
    now.litre_years.row(to) +=
        share * giving.left.litres * (now.litre_years.row(from) + giving.wood_years * now.litres.row(from));
  }
  const Eigen::Index columns = columns_for(now, giving.left.alcohol + taking.left.alcohol);
  taking.write(keep_and_add_lots(lots_of(now, to), taking.left, evaporated(run, taking), lots_of(now, from),
                                 giving.left.times(share), columns));
  giving.leave(1.0 - share);
  pour_dissolved(now, from, to, share);
  if (share >= 1.0) empty_lots(now, from);
}

void add_lot(Stock& stock, int row, int parcel, double litres, double alcohol_l) {
  stock.used = std::max<Eigen::Index>(stock.used, parcel + 1);
  stock.litres(row, parcel) += litres;
  stock.entered(row, parcel) += litres;
  stock.alcohol(row, parcel) += alcohol_l;
  Unwritten& to = unwritten(stock, row);
  to.sum.litres += litres;
  to.sum.alcohol += alcohol_l;
}

}  // namespace tierce
