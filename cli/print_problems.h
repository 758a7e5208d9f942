// Faults as a person reads them: file:line:column, what is wrong, the line with a caret, what is allowed, what was
// meant.
#pragma once

#include <iosfwd>
#include <vector>

#include "cli/source.h"

namespace tierce {

void print_problems(const std::vector<Problem>& problems, const Source& source, std::ostream& out);

}  // namespace tierce
