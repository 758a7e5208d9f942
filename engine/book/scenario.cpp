#include "engine/book/scenario.h"

#include <numeric>

namespace tierce {

const std::string& Scenario::name_of(int row) const {
  const auto index = static_cast<std::size_t>(row);
  return is_tank(row) ? tanks[index - tiers.size()].name : tiers[index].name;
}

double Scenario::capacity_of(int row) const {
  const auto index = static_cast<std::size_t>(row);
  if (is_tank(row)) return tanks[index - tiers.size()].capacity_l;
  const auto& vessels = tiers[index].vessels;
  return std::accumulate(vessels.begin(), vessels.end(), 0.0,
                         [](double sum, const Vessel& vessel) { return sum + vessel.capacity_l; });
}

}  // namespace tierce
