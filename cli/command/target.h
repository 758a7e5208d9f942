// The arguments of `tierce target` beyond those of every command: one row for each says its form and its meaning.
#pragma once

#include <vector>

#include "cli/command/refresh_options.h"

namespace tierce {

const std::vector<OptionRow>& target_option_rows();

}  // namespace tierce
