// The scenario file as a Scenario, with every fault found on the way.
#pragma once

#include <string>
#include <vector>

#include "cli/source.h"
#include "engine/scenario.h"

namespace tierce {

struct ReadScenario {
  Scenario scenario;
  std::vector<Problem> problems;   // sorted by place
  bool parsed = false;             // the file is a map; `scenario` holds what could be read of it
  bool whole = false;              // every value that a run needs was read; faults are at most unknown keys
};

ReadScenario read_scenario(const Source& source);

}  // namespace tierce
