#include "engine/money.h"

#include <algorithm>

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

double cost_per_l(const DrawRecord& draw) { return draw.wine.solutes[kMoney] / draw.volume_l; }

std::vector<std::string> without_cost(const Scenario& scenario, const Timeline& line, const Trajectory& run) {
  std::vector<std::string> names;
  const auto add = [&](const std::string& name, const Cost& cost) {
    if (!is_known(cost.per_litre) && std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
  };
  for (const Opening& opening : scenario.opening)
    add("the opening stock of " + scenario.name_of(opening.row), opening.cost);
  for (std::size_t i = 0; i < run.lot_used_l.size(); ++i)
    if (run.lot_used_l[i] > 0.0) add(line.lots[i].name, line.lots[i].cost);
  for (const FortifyRecord& done : run.fortifications)
    for (const Spirit& spirit : scenario.spirits)
      if (spirit.name == done.spirit) add(spirit.name, spirit.cost);
  return names;
}

}  // namespace tierce
