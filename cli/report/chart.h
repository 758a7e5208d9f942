// The vintages of each tier from year to year, drawn with letters.
#pragma once

#include "cli/write/document.h"
#include "engine/run/outlook.h"

namespace tierce {

/// `looked`: a run with a look at the end of every year. CSV: one row for each vintage of a tier at the end of a year.
Document chart_report(const Outlook& looked, Units units);

}  // namespace tierce
