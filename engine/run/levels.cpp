#include "engine/run/levels.h"

#include <algorithm>

namespace tierce {

void Levels::reset(const Scenario& scenario) {
  all_there_ = true;
  rows_.clear();
  filled_.clear();
  capacity_l_.clear();
  litres_.clear();
  std::size_t vessels = scenario.tanks.size();
  for (const Tier& tier : scenario.tiers) vessels += tier.vessels.size();
  capacity_l_.reserve(vessels);
  filled_.reserve(scenario.tiers.size() + scenario.tanks.size());
  rows_.reserve(scenario.tiers.size() + scenario.tanks.size());
  for (const Tier& tier : scenario.tiers) {
    for (const Vessel& vessel : tier.vessels) {
      capacity_l_.push_back(vessel.later ? 0.0 : vessel.capacity_l);
      all_there_ = all_there_ && !vessel.later;
    }
    add_row(tier.vessels.size());
  }
  for (const Tank& tank : scenario.tanks) {
    capacity_l_.push_back(tank.capacity_l);
    add_row(1);
  }
}

void Levels::add_row(std::size_t vessels) {
  Row row{.first = capacity_l_.size() - vessels, .count = vessels};
  for (std::size_t i = row.first; i < capacity_l_.size(); ++i) {
    row.capacity_l += capacity_l_[i];
    row.one_size = row.one_size && capacity_l_[i] == capacity_l_[row.first];
  }
  rows_.push_back(row);
  filled_.push_back(0.0);
}

void Levels::set_capacity(int row, int vessel, double litres) {
  change(row);  // the wine stays where it is
  Row& known = at(row);
  capacity_l_[known.first + static_cast<std::size_t>(vessel)] = litres;
  all_there_ = false;
  known.capacity_l = 0.0;
  known.one_size = true;
  for (std::size_t i = known.first; i < known.first + known.count; ++i) {
    known.capacity_l += capacity_l_[i];
    known.one_size = known.one_size && capacity_l_[i] == capacity_l_[known.first];
  }
}

std::span<const double> Levels::capacities_of(int row) const {
  return {capacity_l_.data() + at(row).first, at(row).count};
}

double Levels::of(int row, int vessel) const {
  const Row& known = at(row);
  const std::size_t i = known.first + static_cast<std::size_t>(vessel);
  return known.alike ? filled(row) * capacity_l_[i] : litres_[i];
}

const std::vector<double> Levels::of(int row) const {
  std::vector<double> levels;
  levels.reserve(at(row).count);
  for (std::size_t i = 0; i < at(row).count; ++i) levels.push_back(of(row, static_cast<int>(i)));
  return levels;
}

std::span<double> Levels::change(int row) {
  if (litres_.empty()) litres_.resize(capacity_l_.size());
  Row& known = at(row);
  const std::span<double> levels{litres_.data() + known.first, known.count};
  if (known.alike)
    for (std::size_t i = 0; i < known.count; ++i) levels[i] = filled(row) * capacity_l_[known.first + i];
  known.alike = false;
  return levels;
}

void Levels::scale_each(int row, double keep) {
  if (keep == 0.0) {  // empty vessels are alike again
    at(row).alike = true;
    filled(row) = 0.0;
    return;
  }
  for (double& level : change(row)) level *= keep;
}

void Levels::fill_each(int row, double litres_in) {
  Row& known = at(row);
  const auto levels = change(row);
  const auto capacities = capacities_of(row);
  double ullage = 0.0;
  bool any_overfull = false;
  for (std::size_t i = 0; i < levels.size(); ++i) {
    ullage += std::max(0.0, capacities[i] - levels[i]);
    any_overfull = any_overfull || levels[i] > capacities[i];
  }
  const double share_of_ullage = ullage > 0.0 ? std::min(1.0, litres_in / ullage) : 0.0;
  const double over = litres_in - share_of_ullage * ullage;
  if (share_of_ullage == 1.0 && !any_overfull) {  // full vessels are alike again
    known.alike = true;
    filled(row) = 1.0 + over / known.capacity_l;
    return;
  }
  for (std::size_t i = 0; i < levels.size(); ++i)
    levels[i] += share_of_ullage * std::max(0.0, capacities[i] - levels[i]) + over * capacities[i] / known.capacity_l;
}

double Levels::loss_of_each(int row, double each_l) const {
  const Row& known = at(row);
  if (known.alike && known.one_size && known.count > 0)
    return static_cast<double>(known.count) * std::min(of(row, 0), each_l);
  double loss_l = 0.0;
  for (std::size_t i = 0; i < known.count; ++i) loss_l += std::min(of(row, static_cast<int>(i)), each_l);
  return loss_l;
}

void Levels::take_from_each(int row, double each_l) {
  Row& known = at(row);
  if (known.alike && known.one_size && known.count > 0)
    filled(row) -= std::min(filled(row), each_l / capacity_l_[known.first]);
  else
    for (double& level : change(row)) level -= std::min(level, each_l);
}

}  // namespace tierce
