// `tierce target`: one file, its report and its JSON.
#pragma once

#include <iosfwd>
#include <nlohmann/json.hpp>

#include "cli/command/options.h"
#include "cli/read/load.h"
#include "cli/write/table.h"

namespace tierce {

struct TargetOutcome {
  int status = kFine;
  Report report;  // nothing to print where the status is kBadInput
  nlohmann::json json;
};

/// Faults go to `err`. The status is kFails where an age or a value that is wanted cannot be had.
TargetOutcome answer_target(const Options& options, const LoadedScenario& loaded, const Span& span, Units units,
                            std::ostream& err);

}  // namespace tierce
