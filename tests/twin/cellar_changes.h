// What an entry touches, and the same cellar in another size.
#pragma once

#include <set>

#include "engine/book/scenario.h"
#include "engine/run/timeline.h"

namespace tierce::test {

/// All litres of a scenario times a factor.
Scenario scaled(Scenario scenario, double factor);
/// The rows that an action touches.
std::set<int> rows_of(const Scenario& scenario, const Action& action);
/// The rows into which anything is put on a day.
std::set<int> rows_filled(const Scenario& scenario, const Event& event);

}  // namespace tierce::test
