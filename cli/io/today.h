// The only reader of the clock.
#pragma once

#include "engine/book/calendar.h"

namespace tierce {

/// What the help of every command says of --today.
constexpr const char* kTodayMeaning = "what counts as today, as 2027-02-10 (default: by the clock)";

/// The day on the clock of this machine, where it stands.
Date today();

}  // namespace tierce
