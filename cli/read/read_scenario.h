// The scenario file as a Scenario, with every fault found on the way.
#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <vector>

#include "cli/read/limits.h"
#include "cli/read/source.h"
#include "cli/read/yaml_tree.h"
#include "engine/book/scenario.h"

namespace tierce {

/// How far a scenario can be run in spite of its faults. What was read with a fault is left out of it, so a run beyond
/// this would report faults that are not there.
struct Trust {
  bool reserve = true;  // tiers, vessels, tanks, opening stock and chemistry were read
  bool wines = true;    // so was what the lots contain
  bool habit = true;
  std::size_t log_entries = 0;  // entries of Scenario::log, from the first on
};

struct ReadScenario {
  Scenario scenario;
  std::vector<Problem> problems;  // in the order in which they were found
  std::size_t more_problems = 0;  // beyond those, counted only
  bool parsed = false;            // the file is a map; `scenario` holds what could be read of it
  Trust trust;
};

/// Changes the tree of a file before it is read, with what is wrong with the change.
using TreeChange = std::function<void(Node& root, std::vector<Problem>& problems)>;

/// `known_on`: the log without what came into the book after this day.
ReadScenario read_scenario(const Source& source, const Limits& limits = kUsualLimits,
                           const std::optional<Date>& known_on = std::nullopt, const TreeChange& change = {});

}  // namespace tierce
