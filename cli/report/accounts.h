// What there was of the lots and spirits that the file keeps account of, and what is left of them.
#pragma once

#include <vector>

#include "cli/write/field.h"
#include "engine/measure/losses.h"
#include "engine/run/outlook.h"

namespace tierce {

/// Its lot is one of the outlook's line.
struct LotRow : LotAccount {
  const Scenario& scenario;
};
extern const Shape<LotRow> kLotAccount;
std::vector<LotRow> lot_rows(const Outlook& outlook);

extern const Shape<SpiritAccount> kSpiritAccount;

}  // namespace tierce
