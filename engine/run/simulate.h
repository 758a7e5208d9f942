// The heart of the program: the stock ages to each event, the event happens, and what happened is written down.
#pragma once

#include <memory>

#include "engine/book/scenario.h"
#include "engine/run/timeline.h"
#include "engine/run/trajectory.h"

namespace tierce {

/// Runs the timeline. Same scenario, same timeline, same answer.
/// A fault in the log becomes a Problem at its line and that entry is left out; a fault in the forecast ends the run
/// and becomes Trajectory::stopped. Nothing is ever clipped.
Trajectory simulate(const Scenario& scenario, const Timeline& timeline, Keep keep = Keep::everything);

/// The same for the many runs of a search: each works in the memory of the one before.
class Simulator {
 public:
  Simulator();
  ~Simulator();
  /// The answer stands until the next run.
  const Trajectory& run(const Scenario& scenario, const Timeline& timeline, Keep keep = Keep::flows);

 private:
  std::unique_ptr<struct RunMemory> memory_;
  Trajectory answer_;
};

}  // namespace tierce
