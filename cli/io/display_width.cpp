#include "cli/io/display_width.h"

#include <algorithm>
#include <iterator>
#include <vector>

namespace tierce {
namespace {

struct Block {
  char32_t first, last;
};

// East_Asian_Width W or F: Unicode Standard Annex 11, by whole blocks (docs/sources.md [display-width]).
constexpr Block kWide[] = {{0x1100, 0x115F},   {0x2E80, 0x303E},   {0x3041, 0x33FF},  {0x3400, 0x4DBF},
                           {0x4E00, 0x9FFF},   {0xA000, 0xA4CF},   {0xA960, 0xA97F},  {0xAC00, 0xD7A3},
                           {0xF900, 0xFAFF},   {0xFE30, 0xFE6F},   {0xFF00, 0xFF60},  {0xFFE0, 0xFFE6},
                           {0x1F300, 0x1F64F}, {0x1F900, 0x1F9FF}, {0x20000, 0x3FFFD}};

// Marks that join the letter before them (general categories Mn, Me) and what is not seen (Cf), by blocks.
constexpr Block kJoining[] = {{0x0300, 0x036F}, {0x0483, 0x0489}, {0x0591, 0x05BD}, {0x0610, 0x061A}, {0x064B, 0x065F},
                              {0x1AB0, 0x1AFF}, {0x1DC0, 0x1DFF}, {0x200B, 0x200F}, {0x20D0, 0x20FF}, {0x302A, 0x302D},
                              {0x3099, 0x309A}, {0xFE00, 0xFE0F}, {0xFE20, 0xFE2F}};

template <std::size_t count>
bool lies_in(const Block (&blocks)[count], char32_t letter) {
  return std::any_of(std::begin(blocks), std::end(blocks),
                     [&](const Block& block) { return block.first <= letter && letter <= block.last; });
}

std::size_t width_of_letter(char32_t letter) {
  if (lies_in(kJoining, letter)) return 0;
  return lies_in(kWide, letter) ? 2 : 1;
}

struct Letter {
  std::size_t from = 0;  // bytes
  std::size_t width = 0;
};

/// The letters of UTF-8 text that was checked when it was read (source.cpp).
std::vector<Letter> letters_of(const std::string& text) {
  std::vector<Letter> letters;
  for (std::size_t at = 0; at < text.size();) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(i < text.size() ? text[i] : 0); };
    const unsigned lead = byte(at);
    const std::size_t bytes = lead < 0xC0u ? 1 : lead < 0xE0u ? 2 : lead < 0xF0u ? 3 : 4;
    char32_t letter = bytes == 1 ? lead : lead & (0xFFu >> (bytes + 1));
    for (std::size_t i = 1; i < bytes; ++i) letter = (letter << 6) | (byte(at + i) & 0x3Fu);
    letters.push_back({at, width_of_letter(letter)});
    at += bytes;
  }
  return letters;
}

}  // namespace

std::size_t display_width(const std::string& text) {
  std::size_t width = 0;
  for (const Letter& letter : letters_of(text)) width += letter.width;
  return width;
}

std::string cut_to_width(const std::string& text, std::size_t columns) {
  constexpr const char* kCut = "...";
  constexpr std::size_t kCutWidth = 3;
  if (display_width(text) <= columns || columns <= kCutWidth) return text;
  const std::size_t kept = columns - kCutWidth, at_the_end = kept / 2;
  const std::vector<Letter> letters = letters_of(text);
  std::size_t head = 0, used = 0;
  while (head < letters.size() && used + letters[head].width <= kept - at_the_end) used += letters[head++].width;
  std::size_t tail = letters.size(), end_used = 0;
  while (tail > head && end_used + letters[tail - 1].width <= at_the_end) end_used += letters[--tail].width;
  while (tail < letters.size() && letters[tail].width == 0) ++tail;  // a mark without its letter
  const std::size_t end = tail < letters.size() ? letters[tail].from : text.size();
  return text.substr(0, head < letters.size() ? letters[head].from : text.size()) + kCut + text.substr(end);
}

}  // namespace tierce
