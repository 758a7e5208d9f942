// The nearest allowed word to one that is not known.
#pragma once

#include <string>
#include <vector>

namespace tierce {

/// The candidate that differs least from `word` (letters changed, left out, added, or two swapped), or nothing if none
/// is near enough to be meant. A wrong capital counts half; another digit counts double, since F1 is not meant by F3.
/// Of several equally near the first; but of two that are one letter away the one with the same first letter.
std::string nearest(const std::string& word, const std::vector<std::string>& candidates);

/// How many letters are changed, left out, added or swapped from one word to the other.
std::size_t letters_between(const std::string& a, const std::string& b);

/// "did you mean 'floor'?", or nothing for an empty word.
std::string did_you_mean(const std::string& word);

/// "a, b, c"
std::string listed(const std::vector<std::string>& words);
/// The same for names that may be many: "a, b, c and 40 more"
std::string listed_briefly(const std::vector<std::string>& words);

}  // namespace tierce
