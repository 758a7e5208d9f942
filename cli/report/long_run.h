// Where a habit leads: its JSON, and in words why it leads nowhere.
#pragma once

#include "cli/write/field.h"
#include "engine/plan/long_run.h"

namespace tierce {

extern const Shape<LongRun> kLongRun;

/// Empty where there is nothing to say.
std::string why_text(const NoLongRun& why);

}  // namespace tierce
