// A number of the JSON: null where it is not known.
#pragma once

#include <cmath>
#include <nlohmann/json.hpp>

namespace tierce {

inline nlohmann::json json_number(double value) {
  return std::isfinite(value) ? nlohmann::json(value) : nlohmann::json(nullptr);
}

}  // namespace tierce
