// Wine that leaves: draws, out of the book or into a tank, and the bottling of what stands there.
#pragma once

#include <optional>

#include "engine/run/run.h"

namespace tierce {

// Each returns a fault and changes nothing, or does the whole act.
std::optional<Fault> apply(Run& run, const Event& event, const Draw& draw);
std::optional<Fault> apply(Run& run, const Event& event, const Bottle& bottle);

}  // namespace tierce
