// `tierce refresh`.
#pragma once

#include <iosfwd>

#include "cli/command/options.h"

namespace tierce {

int run_refresh(const Options& options, std::ostream& out, std::ostream& err);

}  // namespace tierce
