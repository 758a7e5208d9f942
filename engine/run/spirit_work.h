// Spirit or water into wine: the one act that needs a mass balance, since the mixture takes less room than its parts.
#pragma once

#include <optional>

#include "engine/run/run.h"

namespace tierce {

std::optional<Fault> apply(Run& run, const Event& event, const Fortify& fortify);
std::optional<Fault> apply(Run& run, const Event& event, const Reduce& reduce);

}  // namespace tierce
