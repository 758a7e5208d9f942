// What would have to change for a claim to hold: the draw, the refill, the lots, or what is printed.
#pragma once

#include <string>
#include <vector>

#include "cli/report/label.h"

namespace tierce {

/// One sentence for each claim that does not hold for the last draw that it covers, where an answer was found.
std::vector<std::pair<std::size_t, std::string>> changes_wanted(const LabelView& view, Units units);

}  // namespace tierce
