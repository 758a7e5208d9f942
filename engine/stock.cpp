#include "engine/stock.h"

#include <algorithm>
#include <numeric>

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
  stock.solutes = RowMajorMatrix::Zero(rows, kSoluteCount);
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

double Stock::alcohol_pct(int row) const {
  return volume[row] > 0.0 ? 100.0 * alcohol.row(row).sum() / volume[row] : kUnknown;
}

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
  part.litres = share * stock.litres.row(row);
  part.entered = share * stock.entered.row(row);
  part.alcohol = share * stock.alcohol.row(row);
  if (stock.litre_years.size() > 0) part.litre_years = share * stock.litre_years.row(row);
  part.solutes = share * stock.solutes.row(row);
  return part;
}

namespace {
void thin(RowMajorMatrix& matrix, int row, double share) {
  if (matrix.size() == 0) return;
  if (share >= 1.0) matrix.row(row).setZero();  // not a product: unknown x 0 would stay unknown
  else matrix.row(row) *= 1.0 - share;
}

void pour(RowMajorMatrix& matrix, int from, int to, double share) {
  if (matrix.size() > 0) matrix.row(to) += share * matrix.row(from);
}
}  // namespace

void thin_row(Stock& stock, int row, double share) {
  for (RowMajorMatrix* matrix : {&stock.litres, &stock.entered, &stock.alcohol, &stock.litre_years, &stock.solutes})
    thin(*matrix, row, share);
  SulfurStep& step = stock.sulfur[static_cast<std::size_t>(row)];
  if (share >= 1.0) {
    stock.measured_ph[static_cast<std::size_t>(row)] = kUnknown;
    step = {};
  } else {
    step.total_mg *= 1.0 - share;
    step.free_mg *= 1.0 - share;
    step.litres *= 1.0 - share;
  }
}

void pour(Stock& stock, int from, int to, double share) {
  for (RowMajorMatrix* matrix : {&stock.litres, &stock.entered, &stock.alcohol, &stock.litre_years, &stock.solutes})
    pour(*matrix, from, to, share);
  thin_row(stock, from, share);
}

void restart_sulfur_step(Stock& stock, int row) {
  stock.sulfur[static_cast<std::size_t>(row)] = {stock.solutes(row, kSo2Total), stock.solutes(row, kSo2Free),
                                                 stock.volume[row], 0.0};
}

}  // namespace tierce
