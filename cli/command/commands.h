// One short function for each command: load, compute, report.
#pragma once

#include <iosfwd>

#include "cli/command/options.h"

namespace tierce {

/// Runs the command over its files. Reports go to `out`, faults in files to `err`. Returns the exit status.
int run_command(const Options& options, std::ostream& out, std::ostream& err);

}  // namespace tierce
