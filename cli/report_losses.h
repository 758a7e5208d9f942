// What was lost, and what is allowed.
#pragma once

#include "cli/report.h"
#include "engine/losses.h"

namespace tierce {

/// `allowance`: part of the mean stock a year; unknown where none is stated.
Report losses_report(const Outlook& outlook, double allowance, Units units);
Table year_loss_table(const std::vector<YearLoss>& years, double allowance);

}  // namespace tierce
