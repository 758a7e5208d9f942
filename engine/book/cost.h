// What a file states of costs.
#pragma once

#include <string>
#include <vector>

#include "engine/book/scenario.h"

namespace tierce {

/// The costs that the file states of lots, spirits, opening stocks and refills, in its order.
std::vector<Cost> stated_costs(const Scenario& scenario);
/// The currency of all money of a scenario; empty if it states no cost.
std::string currency_of(const Scenario& scenario);

}  // namespace tierce
