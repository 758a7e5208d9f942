// The plan of a refresh as a report, and as the sheet that is carried to the cellar.
#pragma once

#include <string>
#include <vector>

#include "cli/report/refresh/refresh_work.h"
#include "cli/write/document.h"

namespace tierce {

Document refresh_report(const Refresh& refresh, Units units);

/// What several reserves order together: `reserves` names them.
Document order_report(const OrderSum& sum, const std::vector<std::string>& reserves, Units units);

/// A4 pages of monospaced text, up to kSheetWidth characters and kSheetLines lines each, with form feeds between.
constexpr std::size_t kSheetWidth = 90;
constexpr std::size_t kSheetLines = 60;
std::string refresh_sheet(const Refresh& refresh, Units units);

/// What to mind on such a day: spirit, sulfur, bad air. Short, for people with wet hands.
const std::vector<std::string>& cellar_cautions();

}  // namespace tierce
