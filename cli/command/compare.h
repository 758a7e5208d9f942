// `tierce compare`: variants read, checked against the file, run and compared.
#pragma once

#include <iosfwd>
#include <nlohmann/json.hpp>

#include "cli/command/options.h"
#include "cli/read/load.h"
#include "cli/report/compare.h"

namespace tierce {

struct CompareAnswer {
  int status = kFine;  // kFails: a plan cannot be kept to its end
  Report report;
  nlohmann::json json;
};

/// kBadInput, with everything said on `err`, if an option, a variant or what it makes of the file is faulty. `loaded`:
/// the file, sound.
CompareAnswer answer_compare(const Options& options, const LoadedScenario& loaded, Units units, std::ostream& err);

}  // namespace tierce
