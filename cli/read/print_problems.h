// Faults as a person reads them: file:line:column, what is wrong, the line with a caret, what is allowed, what was
// meant.
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "cli/read/source.h"

namespace tierce {

void print_problems(const std::vector<Problem>& problems, const Source& source, std::ostream& out);
/// Faults of arguments and refused plans, which have no place in a file: `where`, what is wrong, what is allowed (or
/// with kFails possible), what was meant.
void print_refusals(const std::vector<Problem>& problems, const std::string& where, int status, std::ostream& out);

}  // namespace tierce
