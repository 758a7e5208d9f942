// The JSON of a plan that is impossible: what stands where the report would.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "engine/book/value.h"

namespace tierce {

/// `file`: the scenario that it was asked of; empty where there is none.
nlohmann::json impossible_json(const std::string& file, const std::vector<Problem>& why);

}  // namespace tierce
