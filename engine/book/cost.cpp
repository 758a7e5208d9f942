#include "engine/book/cost.h"

#include <algorithm>
#include <utility>

namespace tierce {

std::vector<Cost> stated_costs(const Scenario& scenario) {
  std::vector<Cost> costs;
  const auto add = [&](const Cost& cost) {
    if (is_known(cost.per_litre)) costs.push_back(cost);
  };
  for (const Lot& lot : scenario.lots)
    if (!lot.elsewhere) add(lot.cost);
  for (const Spirit& spirit : scenario.spirits) add(spirit.cost);
  for (const Opening& opening : scenario.opening) add(opening.cost);
  for (const Routine& routine : scenario.habit) {
    add(routine.usual.refill.cost);
    for (const auto& [year, day] : routine.except) add(day.refill.cost);
  }
  std::stable_sort(costs.begin(), costs.end(), [](const Cost& a, const Cost& b) {
    return std::pair(a.at.line, a.at.column) < std::pair(b.at.line, b.at.column);
  });
  return costs;
}

std::string currency_of(const Scenario& scenario) {
  const std::vector<Cost> costs = stated_costs(scenario);
  return costs.empty() ? "" : costs.front().currency;
}

}  // namespace tierce
