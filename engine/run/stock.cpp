#include "engine/run/stock.h"

#include <algorithm>
#include <numeric>
#include <utility>

#include "engine/run/fast/rows.h"

namespace tierce {

void Stock::reset(const Scenario& scenario, Eigen::Index parcels) {
  const int rows = scenario.rows();
  const auto count = static_cast<std::size_t>(rows);
  day = 0;
  date = {};
  for (RowMajorMatrix* amounts : {&litres, &entered, &alcohol}) amounts->setZero(rows, parcels);
  pools.clear();
  if (scenario.clock == Clock::wood) pools.resize(count);
  solutes.setZero(rows, kSoluteCount);
  used = 0;
  volume.setZero(rows);
  levels.reset(scenario);
  measured_ph.assign(count, kUnknown);
  sulfur.assign(count, {});
  unwritten.reset(rows);
  acts = nullptr;
}

double Stock::alcohol_l(int row) const {
  if (unwritten.counted(row)) return unwritten.alcohol(row);
  return unwritten.left(row).alcohol * sum_row(alcohol.row(row).data(), used);
}

double Stock::ph(int row) const {
  const double measured = measured_ph[static_cast<std::size_t>(row)];
  if (is_known(measured)) return measured;
  if (!(volume[row] > 0.0)) return kUnknown;
  const double acid = solutes(row, kAcid);
  return is_known(acid) && acid > 0.0 ? solutes(row, kPhByAcid) / acid : solutes(row, kPhByLitres) / volume[row];
}

Parcelled part_of(const Stock& stock, int row, double share) {
  const LotFactors left = stock.unwritten.left(row);
  Parcelled part;
  const auto copy = [&](const RowMajorMatrix& matrix, double factor) {
    Amounts amounts = Amounts::Zero(matrix.cols());
    amounts.head(stock.used) = factor * matrix.row(row).head(stock.used);
    return amounts;
  };
  part.litres = copy(stock.litres, share * left.litres);
  part.entered = copy(stock.entered, share * left.entered);
  part.alcohol = copy(stock.alcohol, share * left.alcohol);
  if (!stock.pools.empty()) {
    part.pools = stock.pools[static_cast<std::size_t>(row)];
    scale(part.pools, share * left.litres);
  }
  part.solutes = share * stock.solutes.row(row);
  return part;
}

namespace {

/// Takes the part out of a row's amounts; a part of 1 leaves zeros, not products: unknown x 0 would stay unknown.
void thin(double* amounts, Eigen::Index count, double part) {
  if (part >= 1.0) std::fill_n(amounts, count, 0.0);
  else scale_row(amounts, count, 1.0 - part);
}

void thin(Pools& pools, double part) {
  if (part >= 1.0) pools.clear();
  else scale(pools, 1.0 - part);
}

void pour(double* from, double* to, Eigen::Index count, double part) {
  move_part(from, to, count, part);
  if (part >= 1.0) std::fill_n(from, count, 0.0);
}

void thin_sulfur_step(Stock& stock, int row, double part) {
  SulfurStep& step = stock.sulfur[static_cast<std::size_t>(row)];
  if (part >= 1.0) {
    stock.measured_ph[static_cast<std::size_t>(row)] = kUnknown;
    step = {};
    return;
  }
  step.total_mg *= 1.0 - part;
  step.free_mg *= 1.0 - part;
  step.free_low_mg *= 1.0 - part;
  step.free_high_mg *= 1.0 - part;
  step.litres *= 1.0 - part;
}

}  // namespace

void Pool::add(const Pool& other, double share) {
  day_litres += share * other.day_litres;
  square_day_litres += share * other.square_day_litres;
  least_days = std::min(least_days, other.least_days);
  most_days = std::max(most_days, other.most_days);
}

void pour_pools(Stock& stock, int from, int to, double share) {
  for (const auto& [column, pool] : stock.pools[static_cast<std::size_t>(from)])
    stock.pools[static_cast<std::size_t>(to)][column].add(pool, share);
}

void thin_dissolved(Stock& stock, int row, double share) {
  stock.note({.kind = DissolvedAct::Kind::thin, .row = row, .share = share, .litres = stock.volume[row]});
  if (share >= 1.0) stock.solutes.row(row).setZero();
  else stock.solutes.row(row) *= 1.0 - share;
  thin_sulfur_step(stock, row, share);
}

void pour_dissolved(Stock& stock, int from, int to, double share) {
  std::vector<DissolvedAct>* const acts = std::exchange(stock.acts, nullptr);  // one act, not two
  stock.solutes.row(to) += share * stock.solutes.row(from);
  thin_dissolved(stock, from, share);
  stock.acts = acts;
  stock.note({.kind = DissolvedAct::Kind::pour, .row = from, .to = to, .share = share});
}

void empty_lots(Stock& stock, int row) {
  std::fill_n(stock.litres.row(row).data(), stock.used, 0.0);
  std::fill_n(stock.entered.row(row).data(), stock.used, 0.0);
  std::fill_n(stock.alcohol.row(row).data(), stock.used, 0.0);
  if (!stock.pools.empty()) stock.pools[static_cast<std::size_t>(row)].clear();
  stock.unwritten.forget(row);
}

void thin_row(Stock& stock, int row, double share) {
  thin(stock.litres.row(row).data(), stock.used, share);
  thin(stock.entered.row(row).data(), stock.used, share);
  thin(stock.alcohol.row(row).data(), stock.used, share);
  if (!stock.pools.empty()) thin(stock.pools[static_cast<std::size_t>(row)], share);
  stock.unwritten.forget_sums(row);
  thin_dissolved(stock, row, share);
}

void pour(Stock& stock, int from, int to, double share) {
  pour(stock.litres.row(from).data(), stock.litres.row(to).data(), stock.used, share);
  pour(stock.entered.row(from).data(), stock.entered.row(to).data(), stock.used, share);
  pour(stock.alcohol.row(from).data(), stock.alcohol.row(to).data(), stock.used, share);
  if (!stock.pools.empty()) {
    pour_pools(stock, from, to, share);
    thin(stock.pools[static_cast<std::size_t>(from)], share);
  }
  for (const int row : {from, to}) stock.unwritten.forget_sums(row);
  pour_dissolved(stock, from, to, share);
}

}  // namespace tierce
