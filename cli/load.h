// A file, read, checked and run through its log: everything that can be wrong with it, found at once.
#pragma once

#include <string>
#include <vector>

#include "cli/source.h"
#include "engine/scenario.h"

namespace tierce {

struct LoadedScenario {
  Source source;
  Scenario scenario;
  std::vector<Problem> problems;  // sorted by place; empty = the file is sound
};

LoadedScenario load_scenario(const std::string& path);
/// The same from text already read.
LoadedScenario check_source(Source source);

}  // namespace tierce
