// The sulfur dioxide of every refresh: what to weigh, what it does, which limits it keeps, where the habit leads.
#pragma once

#include <nlohmann/json.hpp>
#include <vector>

#include "cli/report/sulfur_limits.h"
#include "cli/write/table.h"
#include "engine/measure/sulfur_plan.h"
#include "engine/plan/sulfur_years.h"
#include "engine/run/outlook.h"

namespace tierce {

/// What both reports show.
struct DoseSchedule {
  std::vector<PlannedDose> doses{};     // of the last year of the book with a dose, and of the forecast
  std::vector<TestedMoment> moments{};  // of the same time
  SulfurLongRun long_run{};
  std::vector<SulfurVerdict> limits{};
};
DoseSchedule dose_schedule(const Outlook& outlook);

/// Says so, and how to state one, where the file holds no dose.
enum class Rows { that_fit, all };
Report dose_report(const Outlook& outlook, Units units, Rows rows = Rows::that_fit);
nlohmann::json dose_json(const Outlook& outlook);

}  // namespace tierce
