#include "cli/read/suggest.h"

#include <algorithm>
#include <cctype>

#include "cli/io/characters.h"

namespace tierce {
namespace {

char lower(char c) { return static_cast<char>(std::tolower(static_cast<unsigned char>(c))); }

bool begins_alike(const std::string& a, const std::string& b) {
  return !a.empty() && !b.empty() && lower(a[0]) == lower(b[0]);
}

/// Of the same length, and all letters but one the same: here a digit counts as any letter.
bool one_letter_away(const std::string& a, const std::string& b) {
  std::size_t other = a.size() == b.size() ? 0 : 2;
  for (std::size_t i = 0; other < 2 && i < a.size(); ++i) other += a[i] == b[i] ? 0 : 1;
  return other == 1;
}

/// Half steps between two letters: a wrong capital is half a slip; another digit is two, since digits tell names apart.
std::size_t change(char a, char b) {
  if (a == b) return 0;
  if (lower(a) == lower(b)) return 1;
  return is_digit(a) && is_digit(b) ? 4 : 2;
}

/// Restricted Damerau-Levenshtein distance, in half steps.
std::size_t half_steps(const std::string& a, const std::string& b) {
  const std::size_t columns = b.size() + 1;
  std::vector<std::size_t> d((a.size() + 1) * columns);
  const auto at = [&](std::size_t i, std::size_t j) -> std::size_t& { return d[i * columns + j]; };
  for (std::size_t i = 0; i <= a.size(); ++i) at(i, 0) = 2 * i;
  for (std::size_t j = 0; j <= b.size(); ++j) at(0, j) = 2 * j;
  for (std::size_t i = 1; i <= a.size(); ++i)
    for (std::size_t j = 1; j <= b.size(); ++j) {
      at(i, j) = std::min({at(i - 1, j) + 2, at(i, j - 1) + 2, at(i - 1, j - 1) + change(a[i - 1], b[j - 1])});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        at(i, j) = std::min(at(i, j), at(i - 2, j - 2) + 2);
    }
  return at(a.size(), b.size());
}

}  // namespace

std::string nearest(const std::string& word, const std::vector<std::string>& candidates) {
  constexpr std::size_t kLongestWord = 60;  // longer text is no slip of a key or a name
  if (word.empty() || word.size() > kLongestWord) return "";
  std::string best;
  // Up to a third of its letters, at least one; of a single letter only its capital may be wrong.
  std::size_t least = word.size() == 1 ? 2 : 2 * std::max<std::size_t>(1, word.size() / 3) + 1;
  for (const std::string& candidate : candidates) {
    const std::size_t longer = std::max(word.size(), candidate.size()),
                      shorter = std::min(word.size(), candidate.size());
    if (2 * (longer - shorter) >= least) continue;  // so many letters would have to be added
    const std::size_t distance = half_steps(word, candidate);
    if (distance < least) {
      least = distance;
      best = candidate;
    }
  }
  // T2 for N2 is one slip, and so is T2 for T1: the first letter is that which is seldom wrong.
  if (!begins_alike(best, word) && one_letter_away(best, word))
    for (const std::string& candidate : candidates)
      if (begins_alike(candidate, word) && one_letter_away(candidate, word)) return candidate;
  return best;
}

std::size_t letters_between(const std::string& a, const std::string& b) { return (half_steps(a, b) + 1) / 2; }

std::string did_you_mean(const std::string& word) { return word.empty() ? "" : "did you mean '" + word + "'?"; }

std::string listed(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
  return text;
}

std::string listed_briefly(const std::vector<std::string>& words) {
  constexpr std::size_t kMost = 12;
  if (words.size() <= kMost + 1) return listed(words);
  const std::vector<std::string> first(words.begin(), words.begin() + kMost);
  return listed(first) + " and " + std::to_string(words.size() - kMost) + " more";
}

}  // namespace tierce
