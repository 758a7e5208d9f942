// Free and molecular SO2 in the JSON: planned, and the ends they lie between.
#pragma once

#include <nlohmann/json.hpp>

#include "engine/run/binding.h"

namespace tierce {

nlohmann::json sulfur_object(const Scenario& scenario, const SulfurNow& now);

}  // namespace tierce
