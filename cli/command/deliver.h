// Reports and help leave the program here: to the screen, or to the file of -o.
#pragma once

#include <iosfwd>
#include <string>

namespace tierce {

/// Writes to the file, or where it is empty to `out`. What goes wrong is said; the exit status.
int deliver(const std::string& file, const std::string& text, std::ostream& out);

}  // namespace tierce
