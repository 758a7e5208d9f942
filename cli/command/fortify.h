// `tierce fortify`: when to arrest a ferment, how much spirit, what comes out.
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

namespace tierce {

/// Runs the command with the arguments that follow its name. The report goes to `out` or to the file of -o, faults to
/// `err`. Returns the exit status: kFine, kFails for a wish that cannot be met, kBadInput for bad arguments.
int run_fortify(const std::vector<std::string>& arguments, std::ostream& out, std::ostream& err);

}  // namespace tierce
