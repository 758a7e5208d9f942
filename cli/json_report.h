// The JSON of the commands: metric, full precision, sorted keys, null where unknown. docs/json.md names every field.
#pragma once

#include <nlohmann/json.hpp>

#include "cli/report.h"

namespace tierce {

/// What every report on a reserve begins with.
nlohmann::json report_head(const Outlook& outlook);
nlohmann::json stock_json(const Outlook& outlook, const Stock& stock);
nlohmann::json age_json(const Outlook& outlook, const ChosenWines& wines);
nlohmann::json forecast_json(const Outlook& outlook, const LongRun& long_run);

}  // namespace tierce
