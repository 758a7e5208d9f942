#include "engine/run/fast/lots.h"

#include <algorithm>

#include "engine/run/fast/rows.h"

namespace tierce {
namespace {

/// How many columns a pass covers: whole groups of four, for the columns beyond `used` hold zeros and stay zeros. Only
/// an unknown factor would make them unknown.
Eigen::Index columns_for(const Stock& stock, double a_factor) {
  if (!is_known(a_factor)) return stock.used;
  return std::min<Eigen::Index>((stock.used + 3) / 4 * 4, stock.litres.cols());
}

void write_pools(Stock& stock, int row) {
  if (!stock.pools.empty()) scale(stock.pools[static_cast<std::size_t>(row)], stock.unwritten.left(row).litres);
}

Lots lots_of(Stock& stock, int row) {
  return {stock.litres.row(row).data(), stock.entered.row(row).data(), stock.alcohol.row(row).data()};
}

/// What was drawn since the row was written joins the flows by lot. A pass of its own: few rows are drawn from.
void write_drawn(Run& run, int row) {
  const LotSums drawn = run.now.unwritten.drawn(row);
  if (drawn.litres == 0.0) return;
  Flows& flows = run.out.flows;
  count_gone(lots_of(run.now, row), {flows.litres.row(kDrawn).data(), flows.alcohol.row(kDrawn).data(), drawn},
             run.now.used);
}

/// Where a pass writes what evaporated. Nothing of an unknown amount is still nothing, but 0 x unknown would not be: it
/// goes into a row that nobody reads.
Gone evaporated(Run& run, int row) {
  const LotSums part = run.now.unwritten.evaporated(row);
  Flows& flows = run.out.flows;
  return {part.litres == 0.0 ? run.nowhere.data() : flows.litres.row(kEvaporated).data(),
          part.alcohol == 0.0 ? run.nowhere.data() : flows.alcohol.row(kEvaporated).data(), part};
}

}  // namespace

void work_out_pours(Run& run) {
  if (run.waiting.empty()) return;
  Flows& flows = run.out.flows;
  work_out(run.waiting,
           {.lots = lots_of(run.now, 0),
            .columns = run.now.litres.cols(),
            .before = run.used_before_waiting,
            .drawn = {flows.litres.row(kDrawn).data(), nullptr, flows.alcohol.row(kDrawn).data()},
            .evaporated = {flows.litres.row(kEvaporated).data(), nullptr, flows.alcohol.row(kEvaporated).data()},
            .last = run.rows() - 1});
  run.waiting.clear();
}

void write_lots(Run& run, int row) {
  work_out_pours(run);
  Unwritten& to = run.now.unwritten;
  if (to.nothing(row)) return;
  write_drawn(run, row);
  write_pools(run.now, row);
  const LotFactors left = to.left(row);
  to.write(row, keep_lots(lots_of(run.now, row), left, evaporated(run, row), columns_for(run.now, left.alcohol)));
}

void write_lots(Run& run) {
  for (int row = 0; row < run.scenario.rows(); ++row) {
    write_lots(run, row);
    run.now.unwritten.forget_sums(row);
  }
}

void count_lots(Stock& stock, int row) {
  stock.unwritten.count(
      row, {sum_row(stock.litres.row(row).data(), stock.used), sum_row(stock.alcohol.row(row).data(), stock.used)});
}

void draw_lots(Run& run, int row, double share) {
  Unwritten& to = run.now.unwritten;
  counted(run.now, row);
  run.year().litres[kDrawn] += share * to.litres(row);
  run.year().alcohol[kDrawn] += share * to.alcohol(row);
  run.out.flows.solutes.row(kDrawn) += share * run.now.solutes.row(row);
  to.draw(row, share);
  if (share >= 1.0) write_lots(run, row);  // a row that is emptied holds zeros, not products
  else to.leave(row, 1.0 - share);
  thin_dissolved(run.now, row, share);
  if (share >= 1.0) empty_lots(run.now, row);
}

void pour_lots(Run& run, int from, int to, double share) {
  work_out_pours(run);
  Stock& now = run.now;
  if (share >= 1.0) write_lots(run, from);
  const LotFactors giving = now.unwritten.left(from), taking = now.unwritten.left(to);
  write_drawn(run, to);
  write_pools(now, to);
  if (!now.pools.empty()) pour_pools(now, from, to, share * giving.litres);
  const Eigen::Index columns = columns_for(now, giving.alcohol + taking.alcohol);
  now.unwritten.write(to, keep_and_add_lots(lots_of(now, to), taking, evaporated(run, to), lots_of(now, from),
                                            giving.times(share), columns));
  now.unwritten.leave(from, 1.0 - share);
  pour_dissolved(now, from, to, share);
  if (share >= 1.0) empty_lots(now, from);
}

namespace {

/// Nobody will look at the lots of this refill, and everything in the reserve is known.
bool may_wait(Run& run) {
  if (run.keep != Keep::flows || run.rows() > kFewRows) return false;
  if (is_known(run.now.unwritten.all_sums())) return true;  // the usual case, in a few additions
  for (int row = 0; row < run.rows(); ++row)
    if (!is_known(counted(run.now, row).at(row, kSumAlcohol))) return false;
  return true;
}

}  // namespace

namespace {

/// What is dissolved, from the last tier back to the first.
void pour_dissolved_down(Run& run, const double* share) {
  const int last = run.scenario.tier_count() - 1;
  tierce::pour_dissolved_down(run.now.solutes.data(), share, last);
  for (int row = last - 1; row >= 0; --row)
    run.now.note({.kind = DissolvedAct::Kind::pour, .row = row, .to = row + 1, .share = share[row]});
}

}  // namespace

void let_wait(Run& run, const double* share) {
  if (run.waiting.empty()) {
    run.used_before_waiting = run.now.used;
    run.waiting.reserve(64);
  }
  note_pour(*run.now.unwritten.fours(), share, run.waiting.emplace_back());
  pour_dissolved_down(run, share);
}

void pour_down_lots(Run& run) {
  if (may_wait(run)) return let_wait(run, run.plan.share.data());
  work_out_pours(run);
  const int last = run.scenario.tier_count() - 1;
  Stock& now = run.now;
  Flows& flows = run.out.flows;
  double alcohol_left = 0.0;  // unknown if that of any row is
  for (int row = 0; row <= last; ++row) alcohol_left += now.unwritten.at(row, kLeftAlcohol);
  const Chain chain{
      .lots = lots_of(now, 0),
      .columns = now.litres.cols(),
      .figures = now.unwritten.fours(),
      .share = run.plan.share.data(),
      .drawn = {flows.litres.row(kDrawn).data(), nullptr, flows.alcohol.row(kDrawn).data()},
      .evaporated = {flows.litres.row(kEvaporated).data(), nullptr, flows.alcohol.row(kEvaporated).data()},
      .nowhere = run.nowhere.data(),
      .last = last};
  pour_down(chain, columns_for(now, alcohol_left));
  pour_dissolved_down(run, run.plan.share.data());
}

void add_lot(Run& run, int row, int parcel, double litres, double alcohol_l) {
  Stock& now = run.now;
  now.used = std::max<Eigen::Index>(now.used, parcel + 1);
  now.unwritten.at(row, kSumLitres) += litres;  // a sum that is not known stays so
  now.unwritten.at(row, kSumAlcohol) += alcohol_l;
  if (!run.waiting.empty()) {
    Poured& pour = run.waiting.back();
    if (row == 0 && pour.parcel < 0 && parcel >= run.used_before_waiting && is_known(alcohol_l)) {
      pour.parcel = parcel;
      pour.litres = litres;
      pour.alcohol_l = alcohol_l;
      return;
    }
    work_out_pours(run);
  }
  now.litres(row, parcel) += litres;
  now.entered(row, parcel) += litres;
  now.alcohol(row, parcel) += alcohol_l;
}

}  // namespace tierce
