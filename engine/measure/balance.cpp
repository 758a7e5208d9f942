#include "engine/measure/balance.h"

#include <algorithm>
#include <cmath>

namespace tierce {

double Balance::throughput() const { return flow[kOpening] + flow[kIn] + flow[kDosed] + flow[kWater]; }

double Balance::gap() const {
  return throughput() + flow[kAnalysed] + flow[kGained] - held - flow[kDrawn] - flow[kEvaporated] - flow[kGauged] -
         flow[kLost] - flow[kContracted] - flow[kBottled];
}

namespace {
const Stock* last_look(const Trajectory& trajectory) {
  return trajectory.looks.empty() ? nullptr : &trajectory.looks.back();
}

Balance sum_of(const RowMajorMatrix& flows, const RowMajorMatrix* held) {
  Balance balance;
  for (Eigen::Index flow = 0; flow < flows.rows(); ++flow)
    balance.flow[static_cast<std::size_t>(flow)] = flows.row(flow).sum();
  if (held != nullptr) balance.held = held->sum();
  return balance;
}
}  // namespace

Balance balance_of_volume(const Trajectory& trajectory) {
  const Stock* held = last_look(trajectory);
  return sum_of(trajectory.flows.litres, held ? &held->litres : nullptr);
}

Balance balance_of_alcohol(const Trajectory& trajectory) {
  const Stock* held = last_look(trajectory);
  return sum_of(trajectory.flows.alcohol, held ? &held->alcohol : nullptr);
}

Balance balance_of_parcel(const Trajectory& trajectory, int parcel) {
  Balance balance;
  for (std::size_t flow = 0; flow < kFlowCount; ++flow)
    balance.flow[flow] = trajectory.flows.litres(static_cast<Eigen::Index>(flow), parcel);
  if (const Stock* held = last_look(trajectory)) balance.held = held->litres.col(parcel).sum();
  return balance;
}

Balance balance_of(const Trajectory& trajectory, Solute solute) {
  Balance balance;
  for (std::size_t flow = 0; flow < kFlowCount; ++flow)
    balance.flow[flow] = trajectory.flows.solutes(static_cast<Eigen::Index>(flow), solute);
  if (const Stock* held = last_look(trajectory)) balance.held = held->solutes.col(solute).sum();
  return balance;
}

double largest_parcel_gap_l(const Trajectory& trajectory) {
  double largest = 0.0;
  for (Eigen::Index parcel = 0; parcel < trajectory.flows.litres.cols(); ++parcel)
    largest = std::max(largest, std::abs(balance_of_parcel(trajectory, static_cast<int>(parcel)).gap()));
  return largest;
}

}  // namespace tierce
