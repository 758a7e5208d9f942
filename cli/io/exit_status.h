// How a run ended, as scripts read it.
#pragma once

namespace tierce {

// Exit status; README.md and the help text name them.
constexpr int kFine = 0;
constexpr int kFails = 1;  // a claim fails, or a plan is impossible
constexpr int kBadInput = 2;
constexpr int kOurBug = 3;

}  // namespace tierce
