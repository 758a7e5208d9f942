// The braces, quotes and comments of a YAML text, line by line, without understanding it: where a slip of the pen turns
// it into something else than was meant. The parser reports the consequence of a slip; this finds its cause.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "cli/read/source.h"

namespace tierce {

struct Slip {
  enum class Kind {
    unclosed_quote,     // at the quote
    unclosed_brace,     // at the brace or bracket
    missing_comma,      // at the first text of a line, behind a value in braces of the line above
    wrong_closer,       // at a closing brace or bracket that closes nothing, or the other kind
    inner_brace,        // at a brace in the middle of plain text
    comment_in_braces,  // at a '#' that hides the closing brace
    second_colon,       // at a second ': ' in one value
    text_after_value,   // at what follows a closing quote or brace
    item_behind_key,    // at a '- ' behind a key in the same line
    tab_indent,         // at a tab in the indentation
    no_space_after_dash,
    bare_line,  // a line of plain text without ': ' where a key belongs
  };
  Kind kind;
  std::size_t row = 0;   // 0-based
  std::size_t byte = 0;  // 0-based
  char within = 0;       // the brace or bracket that it stands in; 0 = none
};

struct Shape {
  std::vector<Slip> slips;  // in the order in which a reader stumbles over them
};

Shape shape_of(const Source& source);

/// A quote that is open at the end of its block: YAML would swallow what follows, and may not object.
std::optional<Slip> swallowing_quote(const Shape& shape);

}  // namespace tierce
