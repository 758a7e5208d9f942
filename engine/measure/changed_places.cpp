#include "engine/measure/changed_places.h"

#include <algorithm>
#include <cmath>

#include "engine/run/outlook.h"

namespace tierce {
namespace {

std::vector<double> held_on(const Scenario& scenario, const Date& day) {
  std::vector<double> litres(static_cast<std::size_t>(scenario.rows()), 0.0);
  const Outlook outlook = run_scenario(scenario, {.until_year = 0, .habit = false, .end_on = day});
  if (!outlook.run.looks.empty())
    for (std::size_t row = 0; row < litres.size(); ++row)
      litres[row] = outlook.run.looks.back().volume[static_cast<Eigen::Index>(row)];
  return litres;
}

}  // namespace

std::vector<ChangedPlace> changed_places(const Scenario& before, const Scenario& after, const Date& day) {
  const auto was = held_on(before, day), is = held_on(after, day);
  std::vector<ChangedPlace> list;
  for (std::size_t row = 0; row < std::min(was.size(), is.size()); ++row) {
    const auto index = static_cast<int>(row);
    if (std::abs(is[row] - was[row]) > 1e-9 * after.capacity_of(index))
      list.push_back({after.name_of(index), was[row], is[row]});
  }
  return list;
}

}  // namespace tierce
