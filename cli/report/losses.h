// `tierce losses`: what was lost, as a report, and what the rules of the file say of it.
#pragma once

#include <vector>

#include "cli/report/label.h"
#include "cli/report/report.h"
#include "engine/measure/losses.h"

namespace tierce {

/// What the rules of a file's sets say of the losses of each annual period; `rows` point into `years`.
struct RulesOnLosses {
  std::vector<LossYears> years{};
  std::vector<Judgement> rows{};
};
RulesOnLosses rules_on_losses(const Outlook& outlook);

/// `allowance`: part of the mean stock a year; unknown where none is stated.
Report losses_report(const Outlook& outlook, double allowance, Units units);
Table year_loss_table(const std::vector<YearLoss>& years, double allowance);

}  // namespace tierce
