// The engine and its slow twin held against each other.
#pragma once

#include "engine/book/scenario.h"

namespace tierce::test {

/// Runs both, the engine with all its records and with the flows alone, and expects the same faults, draws, refreshes,
/// flows and stock of each.
void expect_agreement(const Scenario& scenario);

}  // namespace tierce::test
