// The only reader of the clock.
#pragma once

#include "engine/calendar.h"

namespace tierce {

/// The day on the clock of this machine, where it stands.
Date today();

}  // namespace tierce
