// `tierce label`: from options and a scenario to its answer.
#pragma once

#include <iosfwd>
#include <nlohmann/json.hpp>

#include "cli/command/options.h"
#include "cli/read/load.h"
#include "cli/report/label.h"
#include "cli/write/table.h"

namespace tierce {

struct LabelAnswer {
  int status = kFine;
  std::string error{};  // what is wrong with the arguments
  Report report{};
  nlohmann::json json{};
};

/// Faults of rule files, claims and rule names are printed to `err`.
LabelAnswer answer_label(const Options& options, const LoadedScenario& loaded, const Span& span, Units units,
                         std::ostream& err);

}  // namespace tierce
