// Acts of a random cellar that need more than a place and an amount.
#pragma once

#include <optional>
#include <random>

#include "engine/book/scenario.h"
#include "tests/twin/slow_twin.h"

namespace tierce::test {

/// Something that is done with the wine of a tank: it is bottled, or refills the tiers. Empty if there is none.
std::optional<Action> work_on_tank(std::mt19937& rng, const twin::Cellar& cellar, int tank);
/// A vessel that comes or goes, or the tier set anew.
Action work_on_vessels(std::mt19937& rng, const Scenario& scenario, const twin::Cellar& cellar, int row);
/// A draw of a tier that goes into a tank with room for it; left as it is if there is none.
Draw into_a_tank(std::mt19937& rng, const twin::Cellar& cellar, Draw draw);
/// Costs for lots, opening stock and the habit's refills, most of them known, and often interest. By chances of their
/// own, so that the cellar is the same without them.
void state_costs(unsigned seed, bool all_known, Scenario& scenario);
/// Every amount and place of an entry stands in its line.
void point_at(Action& action, const At& at);

}  // namespace tierce::test
