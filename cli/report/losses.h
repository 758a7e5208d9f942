// `tierce losses`: what was lost, and what the rules of the file say of it.
#pragma once

#include <vector>

#include "cli/report/label/label.h"
#include "cli/write/document.h"
#include "cli/write/field.h"
#include "engine/measure/losses.h"

namespace tierce {

/// A year of losses beside an allowance: part of the mean stock a year; unknown where none is stated.
struct YearLossRow : YearLoss {
  double allowance = kUnknown;
};
extern const Shape<YearLossRow> kYearLoss;
std::vector<YearLossRow> year_loss_rows(const std::vector<YearLoss>& years, double allowance);
/// `with_days`: also how many days of each year the book covers, where that is not all of them.
Table year_loss_table(const std::vector<YearLoss>& years, double allowance, bool with_days = false);

struct LossesView {
  const Outlook& outlook;
  double allowance;
};
extern const Shape<LossesView> kLossesOutput;
Document losses_report(const LossesView& of, Units units);

}  // namespace tierce
