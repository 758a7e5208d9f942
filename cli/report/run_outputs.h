// What --json prints of a file's runs. What an output refers to outlives its writing.
#pragma once

#include "cli/report/report.h"
#include "cli/write/field.h"
#include "engine/plan/long_run.h"

namespace tierce {

struct StockOutput {
  const Outlook* outlook;
  const Stock* stock;
};
extern const Shape<StockOutput> kStockOutput;

struct AgeOutput {
  const Outlook* outlook;
  const ChosenWines* wines;
};
extern const Shape<AgeOutput> kAgeOutput;

struct ForecastOutput {
  const Outlook* outlook;
  const LongRun* long_run;
};
extern const Shape<ForecastOutput> kForecastOutput;

}  // namespace tierce
