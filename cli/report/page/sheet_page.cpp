#include "cli/report/page/sheet_page.h"

#include <algorithm>
#include <array>
#include <sstream>

#include "cli/io/display_width.h"

namespace tierce {
namespace {

constexpr std::size_t kHeadLines = 3;  // of a page: its head, a rule, an empty line

/// 0 to 9 on five lines of three characters.
constexpr std::array<const char*, 10> kDigits = {
    "####.##.##.####", "..#..#..#..#..#", "###..#####..###", "###..####..####", "#.##.####..#..#",
    "####..###..####", "####..####.####", "###..#..#..#..#", "####.#####.####", "####.####..####"};
constexpr std::size_t kHigh = 5, kWide = 3;

void cut_spaces(std::string& line) {
  while (!line.empty() && line.back() == ' ') line.pop_back();
}

/// How many lines of the blocks each page takes: whole blocks, or a part of one that is longer than a page.
std::vector<Lines> pages_of(const std::vector<Lines>& blocks, std::size_t most) {
  std::vector<Lines> pages(1);
  for (const Lines& block : blocks) {
    const std::size_t gap = pages.back().empty() ? 0 : 1;
    const bool fits = pages.back().size() + gap + block.size() <= most;
    if (!fits && (block.size() <= most || pages.back().size() + gap >= most)) pages.emplace_back();
    if (!pages.back().empty()) pages.back().emplace_back();
    for (const std::string& line : block) {
      if (pages.back().size() >= most) pages.emplace_back();
      pages.back().push_back(line);
    }
  }
  return pages;
}

}  // namespace

std::size_t width_of_text(const std::string& text) { return display_width(text); }

std::string on_the_left(const std::string& text, std::size_t width) {
  const std::size_t used = width_of_text(text);
  return text + std::string(width > used ? width - used : 0, ' ');
}

std::string on_the_right(const std::string& text, std::size_t width) {
  const std::size_t used = width_of_text(text);
  return std::string(width > used ? width - used : 0, ' ') + text;
}

Lines wrapped(const std::string& text, std::size_t width, std::size_t indent) {
  Lines lines(1);
  std::istringstream words(text);
  bool fresh = true;
  for (std::string word; words >> word; fresh = false) {
    word = cut_to_width(word, width > indent ? width - indent : width);
    if (!fresh && width_of_text(lines.back()) + 1 + width_of_text(word) > width) {
      lines.emplace_back(indent, ' ');
      fresh = true;
    }
    lines.back() += (fresh ? "" : " ") + word;
  }
  return lines;
}

Lines large_figure(const std::string& digits) {
  Lines lines(kHigh);
  for (const char c : digits)
    for (std::size_t i = 0; i < kHigh; ++i) {
      std::string part = c == '-' && i == kHigh / 2 ? "### "
                         : c == '-'                 ? "    "
                         : i + 1 == kHigh           ? "# "
                                                    : "  ";  // or a point
      if (c >= '0' && c <= '9')
        part = std::string(kDigits[static_cast<std::size_t>(c - '0')]).substr(i * kWide, kWide) + ' ';
      for (char& dot : part)
        if (dot == '.') dot = ' ';
      lines[i] += part;
    }
  return lines;
}

Lines side_by_side(const std::vector<Lines>& blocks, std::size_t width) {
  std::size_t height = 0;
  for (const Lines& block : blocks) height = std::max(height, block.size());
  Lines lines(height);
  for (const Lines& block : blocks)
    for (std::size_t i = 0; i < height; ++i) lines[i] += on_the_left(i < block.size() ? block[i] : "", width);
  for (std::string& line : lines) cut_spaces(line);
  return lines;
}

std::string paged(const std::vector<Lines>& blocks, const PageForm& form) {
  const auto pages = pages_of(blocks, form.lines - kHeadLines);
  std::string text;
  for (std::size_t p = 0; p < pages.size(); ++p) {
    const std::string number = "page " + std::to_string(p + 1) + " of " + std::to_string(pages.size());
    const std::size_t room = form.width - std::min(form.width, width_of_text(number) + 1);
    const std::string middle = "   " + form.middle;
    const std::string head = cut_to_width(form.left, room - std::min(room, width_of_text(middle))) + middle;
    std::string line = on_the_left(head, room) + " " + number;
    text += (p > 0 ? "\f" : "") + line + "\n" + std::string(form.width, '=') + "\n\n";
    for (std::string one : pages[p]) {
      cut_spaces(one);
      text += one + "\n";
    }
  }
  return text;
}

}  // namespace tierce
