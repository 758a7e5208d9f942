// Several reserves under one roof: what they hold together on a day, and what they lose.
#pragma once

#include <vector>

#include "cli/report/losses.h"
#include "cli/write/document.h"
#include "cli/write/field.h"

namespace tierce {

using Reserves = std::vector<Outlook>;

/// Each outlook ends on the day asked for.
extern const Shape<Reserves> kPremisesStock;
Document premises_stock_report(const Reserves& reserves, Units units);

/// The losses of all, year by year, beside the allowance (unknown: none).
struct PremisesLosses {
  const Reserves& reserves;
  double allowance;
};
extern const Shape<PremisesLosses> kPremisesLosses;
Document premises_losses_report(const PremisesLosses& of, Units units);

}  // namespace tierce
