// Pages of monospaced text: figures that can be read across a cellar, blocks that are not torn apart, form feeds.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace tierce {

using Lines = std::vector<std::string>;

/// Characters of UTF-8 text.
std::size_t width_of_text(const std::string& text);
std::string on_the_left(const std::string& text, std::size_t width);  // padded with spaces to the width
std::string on_the_right(const std::string& text, std::size_t width);
/// Broken at spaces; all lines but the first begin with `indent` spaces.
Lines wrapped(const std::string& text, std::size_t width, std::size_t indent = 0);

/// Digits, '.' and '-', five lines high.
Lines large_figure(const std::string& digits);

/// Blocks set side by side, each `width` characters wide.
Lines side_by_side(const std::vector<Lines>& blocks, std::size_t width);

struct PageForm {
  std::size_t width = 90;
  std::size_t lines = 60;
  std::string left, middle;  // the head of each page; the page's number stands on its right
};

/// Blocks one under the other, an empty line between them, on as many pages as they need. A block goes whole onto one
/// page if it fits on any.
std::string paged(const std::vector<Lines>& blocks, const PageForm& form);

}  // namespace tierce
