// Which harvests are in which bottling, side by side.
#pragma once

#include "cli/write/document.h"
#include "engine/run/outlook.h"

namespace tierce {

/// Harvests down, bottlings across: those last in the book, of a book without any the first of the habit; all with
/// --all. CSV: one row for each harvest in a bottling.
Document harvests_report(const Outlook& outlook, Units units);

}  // namespace tierce
