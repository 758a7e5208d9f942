// Rules between the values of a scenario that a run does not need to find: names, order, harvests, capacities.
#pragma once

#include <vector>

#include "engine/book/scenario.h"

namespace tierce {

/// Every rule that is broken, in the order of the file. A scenario without problems can be run.
std::vector<Problem> validate(const Scenario& scenario);

}  // namespace tierce
