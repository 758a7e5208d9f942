// Which draws and bottlings a name or a date on the command line means.
#pragma once

#include <optional>
#include <string>

#include "cli/report/report.h"
#include "engine/run/trajectory.h"

namespace tierce {

/// The draws of that name or day, with their bottlings, and the bottlings of that name or day; where nothing is asked,
/// this bottling.
ChosenWines chosen_wines(const Trajectory& run, const std::optional<std::string>& asked);

}  // namespace tierce
