// Runs become reports: which rows, columns and sentences a reader gets. No rounding, no formatting of numbers.
#pragma once

#include <vector>

#include "cli/outlook.h"
#include "cli/table.h"

namespace tierce {

/// `why_this_day`: why the stock is shown on its day, in a few words.
Report stock_report(const Outlook& outlook, const Stock& stock, const std::string& why_this_day, Units units);
Report age_report(const Outlook& outlook, const std::vector<const DrawRecord*>& draws, const std::string& why_this_draw,
                  Units units);
Report forecast_report(const Outlook& outlook, const LongRun& long_run, Units units);

/// The line that closes every report, and what the reader has to know.
void close_report(Report& report, const Outlook& outlook, Units units);

}  // namespace tierce
