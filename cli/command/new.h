// `tierce new FILE`: a first scenario, commented, from options or from a few questions.
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "engine/book/calendar.h"

namespace tierce {

/// Runs the command; questions are asked on `out` and answered from `in`. Returns the exit status.
int run_new(const std::vector<std::string>& arguments, const Date& today, std::istream& in, std::ostream& out);

}  // namespace tierce
