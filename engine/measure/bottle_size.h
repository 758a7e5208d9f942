// The bottle that a reserve is drawn into.
#pragma once

#include "engine/book/scenario.h"

namespace tierce {

/// The content of the bottles of the habit, else of those that the log filled last; unknown if draws count none.
double bottle_of_file(const Scenario& scenario);

}  // namespace tierce
