// Faults as a person reads them: file:line:column, what is wrong, the line with a caret, what is allowed, what was
// meant.
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "cli/source.h"

namespace tierce {

void print_problems(const std::vector<Problem>& problems, const Source& source, std::ostream& out);

/// Text that may be shown on any screen: a character that steers it, or is no UTF-8, becomes U+FFFD.
std::string fit_to_show(const std::string& text);

}  // namespace tierce
