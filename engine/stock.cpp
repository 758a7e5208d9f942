#include "engine/stock.h"

#include <algorithm>
#include <numeric>

#include "engine/rows.h"

namespace tierce {

std::span<double> Levels::of(int row) {
  const auto r = static_cast<std::size_t>(row);
  return {litres.data() + first[r], first[r + 1] - first[r]};
}

std::span<const double> Levels::of(int row) const {
  const auto r = static_cast<std::size_t>(row);
  return {litres.data() + first[r], first[r + 1] - first[r]};
}

std::span<const double> Levels::capacities_of(int row) const {
  const auto r = static_cast<std::size_t>(row);
  return {capacity_l.data() + first[r], first[r + 1] - first[r]};
}

void Levels::scale(int row, double keep) {
  for (double& level : of(row)) level *= keep;
}

void Levels::fill(int row, double litres_in) {
  const auto levels = of(row);
  const auto capacities = capacities_of(row);
  double ullage = 0.0, capacity = 0.0;
  for (std::size_t i = 0; i < levels.size(); ++i) {
    ullage += std::max(0.0, capacities[i] - levels[i]);
    capacity += capacities[i];
  }
  const double share_of_ullage = ullage > 0.0 ? std::min(1.0, litres_in / ullage) : 0.0;
  const double over = litres_in - share_of_ullage * ullage;
  for (std::size_t i = 0; i < levels.size(); ++i)
    levels[i] += share_of_ullage * std::max(0.0, capacities[i] - levels[i]) + over * capacities[i] / capacity;
}

Stock Stock::empty(const Scenario& scenario, Eigen::Index parcels) {
  Stock stock;
  const Eigen::Index rows = scenario.rows();
  stock.litres = stock.entered = stock.alcohol = RowMajorMatrix::Zero(rows, parcels);
  if (scenario.clock == Clock::wood) stock.litre_years = RowMajorMatrix::Zero(rows, parcels);
  stock.solutes = SoluteMatrix::Zero(rows, kSoluteCount);
  stock.volume = Eigen::VectorXd::Zero(rows);
  stock.measured_ph.assign(static_cast<std::size_t>(rows), kUnknown);
  stock.sulfur.resize(static_cast<std::size_t>(rows));
  for (const Tier& tier : scenario.tiers) {
    stock.levels.first.push_back(stock.levels.capacity_l.size());
    for (const Vessel& vessel : tier.vessels) stock.levels.capacity_l.push_back(vessel.capacity_l);
  }
  for (const Tank& tank : scenario.tanks) {
    stock.levels.first.push_back(stock.levels.capacity_l.size());
    stock.levels.capacity_l.push_back(tank.capacity_l);
  }
  stock.levels.first.push_back(stock.levels.capacity_l.size());
  stock.levels.litres.assign(stock.levels.capacity_l.size(), 0.0);
  return stock;
}

double Stock::alcohol_l(int row) const { return sum_row(alcohol.row(row).data(), used); }

double Stock::alcohol_pct(int row) const { return volume[row] > 0.0 ? 100.0 * alcohol_l(row) / volume[row] : kUnknown; }

double Stock::per_litre(int row, Solute solute) const {
  return volume[row] > 0.0 ? solutes(row, solute) / volume[row] : kUnknown;
}

double Stock::ph(int row) const {
  const double measured = measured_ph[static_cast<std::size_t>(row)];
  if (is_known(measured)) return measured;
  if (!(volume[row] > 0.0)) return kUnknown;
  const double acid = solutes(row, kAcid);
  return is_known(acid) && acid > 0.0 ? solutes(row, kPhByAcid) / acid : solutes(row, kPhByLitres) / volume[row];
}

Parcelled part_of(const Stock& stock, int row, double share) {
  Parcelled part;
  const auto copy = [&](const RowMajorMatrix& matrix) {
    Amounts amounts = Amounts::Zero(matrix.cols());
    amounts.head(stock.used) = share * matrix.row(row).head(stock.used);
    return amounts;
  };
  part.litres = copy(stock.litres);
  part.entered = copy(stock.entered);
  part.alcohol = copy(stock.alcohol);
  if (stock.litre_years.size() > 0) part.litre_years = copy(stock.litre_years);
  part.solutes = share * stock.solutes.row(row);
  return part;
}

namespace {

/// Takes the part out of a row's amounts; a part of 1 leaves zeros, not products: unknown x 0 would stay unknown.
void thin(double* amounts, Eigen::Index count, double part) {
  if (part >= 1.0) std::fill_n(amounts, count, 0.0);
  else scale_row(amounts, count, 1.0 - part);
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
  step.litres *= 1.0 - part;
}

}  // namespace

void thin_row(Stock& stock, int row, double share) {
  thin(stock.litres.row(row).data(), stock.used, share);
  thin(stock.entered.row(row).data(), stock.used, share);
  thin(stock.alcohol.row(row).data(), stock.used, share);
  if (stock.litre_years.size() > 0) thin(stock.litre_years.row(row).data(), stock.used, share);
  thin(stock.solutes.row(row).data(), kSoluteCount, share);
  thin_sulfur_step(stock, row, share);
}

void pour(Stock& stock, int from, int to, double share) {
  pour(stock.litres.row(from).data(), stock.litres.row(to).data(), stock.used, share);
  pour(stock.entered.row(from).data(), stock.entered.row(to).data(), stock.used, share);
  pour(stock.alcohol.row(from).data(), stock.alcohol.row(to).data(), stock.used, share);
  if (stock.litre_years.size() > 0)
    pour(stock.litre_years.row(from).data(), stock.litre_years.row(to).data(), stock.used, share);
  pour(stock.solutes.row(from).data(), stock.solutes.row(to).data(), kSoluteCount, share);
  thin_sulfur_step(stock, from, share);
}

void restart_sulfur_step(Stock& stock, int row) {
  stock.sulfur[static_cast<std::size_t>(row)] = {stock.solutes(row, kSo2Total), stock.solutes(row, kSo2Free),
                                                 stock.volume[row], 0.0};
}

}  // namespace tierce
