// The nearest allowed word to one that is not known.
#pragma once

#include <string>
#include <vector>

namespace tierce {

/// The candidate that differs least from `word` (letters changed, left out, added, or two swapped; capitals count
/// half), or nothing if none is near enough to be meant.
std::string nearest(const std::string& word, const std::vector<std::string>& candidates);

/// "a, b, c"
std::string listed(const std::vector<std::string>& words);

}  // namespace tierce
