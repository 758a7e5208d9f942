// A tree of values as JSON: one item a line, names sorted, numbers in the fewest digits that are read back the same.
#pragma once

#include <string>

#include "cli/write/value.h"

namespace tierce {

/// With a line end.
std::string json_text(const Value& value);
/// On one line, and so that it may stand inside an element of HTML: no character in it can end the element or begin
/// another.
std::string json_inside_html(const Value& value);

}  // namespace tierce
