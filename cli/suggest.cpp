#include "cli/suggest.h"

#include <algorithm>
#include <cctype>

namespace tierce {
namespace {

char lower(char c) { return static_cast<char>(std::tolower(static_cast<unsigned char>(c))); }

/// Restricted Damerau-Levenshtein distance, in half steps, so that a wrong capital counts half a letter.
std::size_t half_steps(const std::string& a, const std::string& b) {
  const std::size_t columns = b.size() + 1;
  std::vector<std::size_t> d((a.size() + 1) * columns);
  const auto at = [&](std::size_t i, std::size_t j) -> std::size_t& { return d[i * columns + j]; };
  for (std::size_t i = 0; i <= a.size(); ++i) at(i, 0) = 2 * i;
  for (std::size_t j = 0; j <= b.size(); ++j) at(0, j) = 2 * j;
  for (std::size_t i = 1; i <= a.size(); ++i)
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t differs = a[i - 1] == b[j - 1] ? 0 : lower(a[i - 1]) == lower(b[j - 1]) ? 1 : 2;
      at(i, j) = std::min({at(i - 1, j) + 2, at(i, j - 1) + 2, at(i - 1, j - 1) + differs});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) at(i, j) = std::min(at(i, j), at(i - 2, j - 2) + 2);
    }
  return at(a.size(), b.size());
}

}  // namespace

std::string nearest(const std::string& word, const std::vector<std::string>& candidates) {
  constexpr std::size_t kLongestWord = 60;  // longer text is no slip of a key or a name
  if (word.empty() || word.size() > kLongestWord) return "";
  std::string best;
  std::size_t least = 2 * std::max<std::size_t>(1, word.size() / 3) + 1;  // up to a third of its letters, at least one
  for (const std::string& candidate : candidates) {
    const std::size_t distance = half_steps(word, candidate);
    if (distance < least) {
      least = distance;
      best = candidate;
    }
  }
  return best;
}

std::string listed(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
  return text;
}

}  // namespace tierce
