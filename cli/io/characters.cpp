#include "cli/io/characters.h"

#include <algorithm>
#include <cstdio>
#include <iterator>

namespace tierce {
namespace {

char32_t code_point(const std::string& text, std::size_t at, std::size_t length) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[at + i]); };
  if (length == 1) return byte(0);
  char32_t code = byte(0) & (0xFFu >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) code = code << 6 | (byte(i) & 0x3Fu);
  return code;
}

struct CodePoints {
  char32_t first, last;
  bool holds(char32_t code) const { return code >= first && code <= last; }
};

// Default_Ignorable_Code_Point of the Unicode Character Database (DerivedCoreProperties.txt, version 15): nothing is to
// be seen of them.
constexpr CodePoints kInvisible[] = {
    {0x00AD, 0x00AD}, {0x034F, 0x034F}, {0x061C, 0x061C},   {0x115F, 0x1160},   {0x17B4, 0x17B5},   {0x180B, 0x180F},
    {0x200B, 0x200F}, {0x202A, 0x202E}, {0x2060, 0x206F},   {0x3164, 0x3164},   {0xFE00, 0xFE0F},   {0xFEFF, 0xFEFF},
    {0xFFA0, 0xFFA0}, {0xFFF0, 0xFFF8}, {0x1BCA0, 0x1BCA3}, {0x1D173, 0x1D17A}, {0xE0000, 0xE0FFF},
};
// Of these the ones that words of some scripts and pictures are spelt with: two joiners, the choice of a shape.
constexpr CodePoints kShaping[] = {{0x200C, 0x200D}, {0xFE00, 0xFE0F}};

template <std::size_t N>
bool any_holds(const CodePoints (&spans)[N], char32_t code) {
  return std::any_of(std::begin(spans), std::end(spans), [&](const CodePoints& span) { return span.holds(code); });
}

/// What kind of refused character this is; null if it may stand in a scenario.
const char* refusal_of(char32_t code) {
  if ((code < 0x20 && code != '\t' && code != '\n') || (code >= 0x7F && code <= 0x9F)) return "a control character";
  if (code == 0x2028 || code == 0x2029) return "a hidden line end";
  const bool turns = code == 0x061C || code == 0x200E || code == 0x200F || (code >= 0x202A && code <= 0x202E) ||
                     (code >= 0x2066 && code <= 0x2069);
  if (turns) return "a hidden change of direction";
  return any_holds(kInvisible, code) && !any_holds(kShaping, code) ? "an invisible character" : nullptr;
}

std::string number_of(char32_t code) {
  char number[16];
  std::snprintf(number, sizeof number, "U+%04X", static_cast<unsigned>(code));
  return number;
}

}  // namespace

std::size_t utf8_length(const std::string& text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return at + i < text.size() ? static_cast<unsigned char>(text[at + i]) : 0u; };
  const unsigned first = byte(0);
  if (first < 0x80) return 1;
  const std::size_t length = first >= 0xC2 && first <= 0xDF   ? 2
                             : first >= 0xE0 && first <= 0xEF ? 3
                             : first >= 0xF0 && first <= 0xF4 ? 4
                                                              : 0;
  for (std::size_t i = 1; i < length; ++i)
    if ((byte(i) & 0xC0u) != 0x80u) return 0;
  const unsigned second = byte(1);
  const bool overlong = (first == 0xE0 && second < 0xA0) || (first == 0xF0 && second < 0x90);
  const bool not_a_character = (first == 0xED && second > 0x9F) || (first == 0xF4 && second > 0x8F);
  return overlong || not_a_character ? 0 : length;
}

std::size_t bytes_of_characters(const std::string& text, std::size_t first, std::size_t count) {
  std::size_t end = first;
  for (; end < text.size() && count > 0; --count) end += std::max<std::size_t>(1, utf8_length(text, end));
  return end - first;
}

std::size_t characters_in(const std::string& text) {
  std::size_t count = 0;
  for (std::size_t i = 0; i < text.size(); i += std::max<std::size_t>(1, utf8_length(text, i))) ++count;
  return count;
}

std::optional<Refused> refused_character(const std::string& text, std::size_t from) {
  for (std::size_t i = from; i < text.size();) {
    const std::size_t length = std::max<std::size_t>(1, utf8_length(text, i));
    const char32_t code = code_point(text, i, length);
    if (const char* kind = refusal_of(code)) return Refused{i, kind + (" (" + number_of(code) + ')')};
    i += length;
  }
  return std::nullopt;
}

std::string fit_to_show(const std::string& text) {
  std::string shown;
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t length = utf8_length(text, i);
    const std::string character = text.substr(i, std::max<std::size_t>(1, length));
    if (length == 0) shown += "\xEF\xBF\xBD";
    else if (refused_character(character)) shown += '<' + number_of(code_point(character, 0, length)) + '>';
    else shown += character;
    i += character.size();
  }
  return shown;
}

std::string fit_for_a_line(const std::string& text) {
  std::string line;
  for (const char c : fit_to_show(text))
    line += c == '\n' || c == '\t' ? '<' + number_of(static_cast<char32_t>(c)) + '>' : std::string(1, c);
  return line;
}

std::optional<Refused> hidden_in_name(const std::string& text) {
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t length = std::max<std::size_t>(1, utf8_length(text, i));
    const char32_t code = code_point(text, i, length);
    if (any_holds(kShaping, code)) return Refused{i, "an invisible character (" + number_of(code) + ')'};
    i += length;
  }
  return std::nullopt;
}

}  // namespace tierce
