// The sulfur dioxide of every refresh: what to weigh, what it does, which limits it keeps, where the habit leads.
#pragma once

#include "cli/report/dose_rows.h"
#include "cli/write/document.h"

namespace tierce {

/// By the rule sets that the file names, or by all where it names none.
DoseSchedule dose_schedule(const Outlook& outlook);

/// Says so, and how to state one, where the file holds no dose.
Document dose_report(const Outlook& outlook, Units units);
Value dose_json(const Outlook& outlook);

}  // namespace tierce
