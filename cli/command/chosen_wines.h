// Which draws and bottlings a name or a date on the command line means.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/run/trajectory.h"

namespace tierce {

/// The draws asked for; the last one of the log where nothing is asked.
std::vector<const DrawRecord*> chosen_draws(const std::vector<DrawRecord>& draws,
                                            const std::optional<std::string>& asked);
/// The bottlings of these draws, and those asked for themselves.
std::vector<const BottlingRecord*> chosen_bottlings(const Trajectory& run, const std::vector<const DrawRecord*>& draws,
                                                    const std::optional<std::string>& asked);

}  // namespace tierce
