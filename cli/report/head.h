// What every report on a reserve begins with in its JSON.
#pragma once

#include "cli/write/field.h"
#include "engine/run/outlook.h"

namespace tierce {

extern const Shape<Outlook> kHead;

}  // namespace tierce
