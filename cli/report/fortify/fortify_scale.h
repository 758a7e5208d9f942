// Hydrometer readings as text.
#pragma once

#include <string>

#include "engine/wine/hydrometer.h"

namespace tierce {

const char* unit_of(Scale scale);
int known_decimals_of(Scale scale);  // of a reading that is reckoned: known to some 0.002 SG (docs/fortify.md)

/// "1.0450 SG"
std::string mark_text(double mark, Scale scale);

}  // namespace tierce
