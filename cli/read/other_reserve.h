// Wine of another reserve: a lot that is a draw in another file.
#pragma once

#include "cli/read/load.h"

namespace tierce {

/// Fills every lot with `from` with what its draw is, and adds the lots of that file which are in it. Files that cannot
/// be read, are faulty, have no such draw or name one another in a ring are faults of the lot.
void bring_from_other_files(LoadedScenario& loaded, const Limits& limits, const ReadBefore& before);

}  // namespace tierce
