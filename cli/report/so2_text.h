// SO2 that is not sure, as a reader sees it: every report, sheet and page writes it with these words.
#pragma once

#include <string>

#include "cli/write/table.h"
#include "engine/run/binding.h"

namespace tierce {

/// "15-24"; one figure where both ends print alike; "near none" where even the high end is under 1 mg/L free, or under
/// 0.01 mg/L molecular; "-" where nothing is known, the planned figure where its ends are not.
std::string so2_text(const SulfurRange& range, Figure figure);

std::string free_text(const SulfurNow& now);
/// By the file's pK; by the other one too, in brackets, where the two differ by more than the range.
std::string molecular_text(const Scenario& scenario, const SulfurNow& now);

}  // namespace tierce
