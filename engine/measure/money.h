// What the wine has cost: money that travels with it from row to row (docs/model.md, "Cost").
#pragma once

#include <string>
#include <vector>

#include "engine/book/cost.h"
#include "engine/book/scenario.h"
#include "engine/run/timeline.h"
#include "engine/run/trajectory.h"

namespace tierce {

/// What a litre of a draw or a bottling has cost when it left, in the scenario's currency; unknown if any of its wine
/// is without cost.
double cost_per_l(const DrawRecord& draw);
/// The names of what came into the book without a cost, each once: opening stocks ("the opening stock of floor"), lots
/// and spirits.
std::vector<std::string> without_cost(const Scenario& scenario, const Timeline& line, const Trajectory& run);

}  // namespace tierce
