// The screen that a report is printed on.
#pragma once

#include <cstddef>
#include <optional>

namespace tierce {

/// Characters in a line of the terminal that standard output goes to; nothing where it goes elsewhere.
std::optional<std::size_t> terminal_columns();

}  // namespace tierce
