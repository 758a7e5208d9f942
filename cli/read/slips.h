// What a file states that is sound but probably a slip of the pen: remarks, for whoever asks `tierce check`.
#pragma once

#include "cli/read/reading.h"

namespace tierce {

/// The same entry written twice, notes apart.
void remark_if_double(Draft& draft, const Node& entry);
/// A wine's sugar in mg/L, where g/L is meant nearly always.
void remark_if_sugar_in_mg(Draft& draft, Fields& wine);
/// What the values of the whole file show.
void remark_on_slips(Scenario& scenario);

}  // namespace tierce
