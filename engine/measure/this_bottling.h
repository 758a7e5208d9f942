// Which wine is meant where nobody says which.
#pragma once

#include "engine/run/trajectory.h"

namespace tierce {

/// "This bottling", the same in every report: of what the log holds the last bottling, out of a tank or drawn straight
/// into bottles; else its last draw; else the first draw of the habit. A bottling out of a tank is told by its wine.
/// Null where nothing is drawn.
const DrawRecord* this_bottling(const Trajectory& run);

/// The bottling whose wine this is; null for a draw.
const BottlingRecord* bottling_with(const Trajectory& run, const DrawRecord& wine);

}  // namespace tierce
