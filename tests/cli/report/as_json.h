// What --json prints of a run, read again.
#pragma once

#include <nlohmann/json.hpp>

#include "cli/report/run_outputs.h"
#include "cli/write/json.h"

namespace tierce::test {

inline nlohmann::json forecast_as_json(const Scenario& scenario) {
  const Outlook outlook = run_scenario(scenario, {});
  const LongRun settled = long_run(scenario);
  return nlohmann::json::parse(json_text(object_of({&outlook, &settled}, kForecastOutput)));
}

}  // namespace tierce::test
