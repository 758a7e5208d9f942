// Text as characters of UTF-8: which may be shown, and how the others are.
#pragma once

#include <cstddef>
#include <optional>
#include <string>

namespace tierce {

/// 0 to 9, whatever the locale.
constexpr bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// Bytes of the UTF-8 character that begins at `at`, or 0 if none does.
std::size_t utf8_length(const std::string& text, std::size_t at);
/// Bytes of the first `count` characters from the byte `first` on; a byte that begins none counts as one.
std::size_t bytes_of_characters(const std::string& text, std::size_t first, std::size_t count);
/// How many characters a text has.
std::size_t characters_in(const std::string& text);

/// A character that no scenario may hold: it steers the screen that shows it (an escape, a change of direction), ends a
/// line unseen, or cannot be seen at all. Tabs and line ends are not among them.
struct Refused {
  std::size_t byte = 0;  // where in the text
  std::string name;      // "a control character (U+001B)"
};
std::optional<Refused> refused_character(const std::string& text, std::size_t from = 0);

/// Text that may be shown on any screen: a character that steers it or cannot be seen is shown by its number, as
/// <U+001B>; what is no UTF-8 becomes U+FFFD.
std::string fit_to_show(const std::string& text);
/// The same for what stands on one line: line ends and tabs are shown by their numbers, too.
std::string fit_for_a_line(const std::string& text);
/// A character of those that no name may hold though a text may: it changes how its neighbours look, and alone it
/// cannot be seen, so that two names with and without it look the same.
std::optional<Refused> hidden_in_name(const std::string& text);

}  // namespace tierce
