// The JSON of the commands: metric, full precision, sorted keys, null where unknown. docs/json.md names every field.
#pragma once

#include <nlohmann/json.hpp>

#include "cli/report/report.h"
#include "engine/plan/long_run.h"

namespace tierce {

/// Draws hold a share of every lot: those of a thousand years take little memory while they are packed (packed_json.h),
/// and only json_text() can read them then.
enum class Draws { plain, packed };

/// What every report on a reserve begins with.
nlohmann::json report_head(const Outlook& outlook);
nlohmann::json stock_json(const Outlook& outlook, const Stock& stock);
nlohmann::json age_json(const Outlook& outlook, const ChosenWines& wines, Draws draws = Draws::plain);
/// Of `check`, of a file with faults.
nlohmann::json problems_json(const std::string& path, const std::vector<Problem>& problems);
nlohmann::json forecast_json(const Outlook& outlook, const LongRun& long_run, Draws draws = Draws::plain);

/// Objects that several commands print under the same names.
namespace json_parts {
nlohmann::json head(const Outlook& outlook);
nlohmann::json draw(const Outlook& outlook, const DrawRecord& record);
nlohmann::json refresh(const Outlook& outlook, const RefreshRecord& record);
nlohmann::json rows(const Outlook& outlook, const Stock& stock);  // tiers, then tanks
nlohmann::json balances(const Trajectory& run);
nlohmann::json long_run(const LongRun& long_run);
nlohmann::json stopped(const Stop& stop, const std::string& tier);  // `tier`: the name of the row where it stops
}  // namespace json_parts

}  // namespace tierce
