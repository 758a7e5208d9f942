#include "engine/measure/money.h"

#include <algorithm>

namespace tierce {

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
