// What is remarked on beside the figures: entries that lie ahead, wine beyond what the model was made for, a vapour
// that does not go with its loss. Nothing stops for a remark. Reports say them through assumptions() (outlook.h).
#pragma once

#include <string>
#include <vector>

#include "cli/report/assumptions.h"
#include "engine/run/outlook.h"

namespace tierce {

/// Entries after today keep the habit from running before them; adds the remark to those of the file.
void remark_on_days_ahead(Scenario& scenario, const Date& today);

/// Those of the file and those of the run, in this order.
std::vector<Remark> remarks_on(const Outlook& outlook);

/// "Remark: no wine is that strong."
std::string as_sentence(const Remark& remark);

/// Those that every report says.
std::vector<std::string> remarks_beside_figures(const Outlook& outlook);

}  // namespace tierce
