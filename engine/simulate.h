// The heart of the program: the stock ages to each event, the event happens, and what happened is written down.
#pragma once

#include "engine/scenario.h"
#include "engine/timeline.h"
#include "engine/trajectory.h"

namespace tierce {

/// Runs the timeline. Same scenario, same timeline, same answer.
/// A fault in the log becomes a Problem at its line and that entry is left out; a fault in the forecast ends the run
/// and becomes Trajectory::stopped. Nothing is ever clipped.
Trajectory simulate(const Scenario& scenario, const Timeline& timeline, Keep keep = Keep::everything);

}  // namespace tierce
