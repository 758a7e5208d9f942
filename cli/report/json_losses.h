// The JSON of what was lost.
#pragma once

#include <nlohmann/json.hpp>

#include "engine/measure/losses.h"
#include "engine/run/outlook.h"

namespace tierce {

nlohmann::json losses_json(const Outlook& outlook, double allowance);
nlohmann::json year_losses_array(const std::vector<YearLoss>& years, double allowance);
nlohmann::json spirits_array(const Outlook& outlook);
nlohmann::json lots_array(const Outlook& outlook);

}  // namespace tierce
