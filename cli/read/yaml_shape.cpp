#include "cli/read/yaml_shape.h"

#include <algorithm>
#include <string>

namespace tierce {
namespace {

bool is_space(char c) { return c == ' ' || c == '\t'; }
bool opens(char c) { return c == '{' || c == '['; }
bool closes(char c) { return c == '}' || c == ']'; }

class Scanner {
 public:
  explicit Scanner(const Source& source) : source_(source) {}

  Shape scan() {
    for (row_ = 0; row_ < source_.lines.size(); ++row_) scan_line();
    if (quote_ != 0) slip(Slip::Kind::unclosed_quote, quote_at_.row, quote_at_.byte);
    else if (!open_.empty()) slip(Slip::Kind::unclosed_brace, open_.back().row, open_.back().byte);
    return std::move(shape_);
  }

 private:
  enum class Mode { start, plain, done };  // a value may begin; in plain text; after a closing quote or brace
  struct Mark {
    std::size_t row = 0, byte = 0;
    char opener = 0;
  };

  const std::string& line() const { return source_.lines[row_]; }
  bool at_end(std::size_t i) const { return i >= line().size(); }
  bool space_or_end(std::size_t i) const { return at_end(i) || is_space(line()[i]); }
  bool in_braces() const { return !open_.empty(); }
  void slip(Slip::Kind kind, std::size_t row, std::size_t byte) {
    shape_.slips.push_back({kind, row, byte, in_braces() ? open_.back().opener : char{}});
  }
  void slip_here(Slip::Kind kind) { slip(kind, row_, i_); }

  void scan_line() {
    const auto text = line().find_first_not_of(" \t");
    if (text == std::string::npos) return;
    if (block_text_) {
      if (text > base_) return;
      block_text_ = false;
    }
    leave_what_is_unclosed(text);
    if (quote_ == 0 && !in_braces() && !begin_block_line(text)) return;
    for (i_ = 0; !at_end(i_) && !block_text_; ++i_)
      if (!step(line()[i_])) break;
    if (quote_ == 0 && !in_braces() && mode_ == Mode::plain && colons_ == 0) slip(Slip::Kind::bare_line, row_, entry_);
  }

  /// What is in quotes or braces is indented below the key or the '-' before it, or it is not closed.
  void leave_what_is_unclosed(std::size_t text) {
    if (whole_file_in_braces_ || text > base_) return;
    if (quote_ != 0) slip(Slip::Kind::unclosed_quote, quote_at_.row, quote_at_.byte);
    else if (in_braces() && !closes(line()[text]) && line()[text] != '#')
      slip(Slip::Kind::unclosed_brace, open_.back().row, open_.back().byte);
    else return;
    quote_ = 0;
    open_.clear();
  }

  /// False if the line begins with a dash that YAML takes for plain text: what follows then means nothing.
  bool begin_block_line(std::size_t text) {
    base_ = entry_ = text;
    whole_file_in_braces_ = opens(line()[text]);
    mode_ = Mode::start;
    colons_ = 0;
    if (const auto tab = line().find('\t'); tab < text) slip(Slip::Kind::tab_indent, row_, tab);
    if (line()[text] != '-' || space_or_end(text + 1)) return true;
    if (std::string("-0123456789.").find(line()[text + 1]) != std::string::npos) return true;  // a number, or '---'
    slip(Slip::Kind::no_space_after_dash, row_, text);
    return false;
  }

  /// One character; false if the rest of the line is a comment.
  bool step(char c) {
    if (quote_ != 0) return in_quote(c), true;
    if (is_space(c)) return true;
    if (c == '#' && (i_ == 0 || is_space(line()[i_ - 1]))) {
      if (in_braces() && line().find_first_of("}]", i_) != std::string::npos) slip_here(Slip::Kind::comment_in_braces);
      return false;
    }
    if (colon(c)) return true;
    if (mode_ == Mode::start) at_start(c);
    else if (mode_ == Mode::plain) in_plain(c);
    else after_value(c);
    return true;
  }

  void in_quote(char c) {
    if (c == '\\' && quote_ == '"') ++i_;
    else if (c == quote_ && quote_ == '\'' && !at_end(i_ + 1) && line()[i_ + 1] == '\'') ++i_;
    else if (c == quote_) {
      quote_ = 0;
      mode_ = Mode::done;
    }
  }

  bool colon(char c) {
    if (c != ':') return false;
    const bool before_closer = in_braces() && !at_end(i_ + 1) && (closes(line()[i_ + 1]) || line()[i_ + 1] == ',');
    const bool after_quote = mode_ == Mode::done && in_braces();  // "key":value, as in JSON
    if (!space_or_end(i_ + 1) && !before_closer && !after_quote) return false;
    if (++colons_ == 2) {
      if (began_above()) parted_lines();
      else slip_here(Slip::Kind::second_colon);
    }
    if (!in_braces()) base_ = entry_;
    mode_ = Mode::start;
    return true;
  }

  void at_start(char c) {
    value_row_ = row_;
    if (c == '"' || c == '\'') {
      quote_ = c;
      quote_at_ = {row_, i_};
    } else if (opens(c) || closes(c) || (c == ',' && in_braces())) {
      punctuation(c);
    } else if (!in_braces() && (c == '|' || c == '>') && is_block_header()) {
      block_text_ = true;
    } else if (!in_braces() && c == '-' && space_or_end(i_ + 1)) {
      dash();
    } else {
      mode_ = Mode::plain;
    }
  }

  /// A list item. Its own keys, if it has any, begin behind the dash.
  void dash() {
    if (colons_ > 0) slip_here(Slip::Kind::item_behind_key);
    base_ = i_;
    entry_ = std::min(line().find_first_not_of(" \t", i_ + 1), line().size());
    colons_ = 0;
  }

  void in_plain(char c) {
    if (!in_braces()) return;
    if (opens(c)) {
      if (began_above()) parted_lines();
      else slip_here(Slip::Kind::inner_brace);
    }
    if (opens(c) || closes(c) || c == ',') punctuation(c);
  }

  void after_value(char c) {
    if (in_braces() && (closes(c) || c == ',')) return punctuation(c);
    if (began_above()) parted_lines();
    else slip_here(closes(c) ? Slip::Kind::wrong_closer : Slip::Kind::text_after_value);
    mode_ = Mode::plain;
  }

  void punctuation(char c) {
    if (c == ',') mode_ = Mode::start, colons_ = 0;
    else if (opens(c)) {
      open_.push_back({row_, i_, c});
      mode_ = Mode::start;
      colons_ = 0;
    } else {
      const bool fits = in_braces() && open_.back().opener == (c == '}' ? '{' : '[');
      if (!fits) slip_here(Slip::Kind::wrong_closer);
      if (in_braces()) open_.pop_back();
      mode_ = Mode::done;
      colons_ = 1;
      value_row_ = row_;
    }
  }

  /// What stands in a line above and here does not fit together: where the braces have gone on over lines before, a
  /// comma is missing, else they should have been closed.
  void parted_lines() {
    if (open_.back().row < value_row_) slip(Slip::Kind::missing_comma, row_, line().find_first_not_of(" \t"));
    else slip(Slip::Kind::unclosed_brace, open_.back().row, open_.back().byte);
  }
  /// In braces, and what stands before began in a line above.
  bool began_above() const { return in_braces() && value_row_ < row_; }

  bool is_block_header() const {
    const auto end = line().find_first_not_of("|>+-0123456789", i_);
    return end == std::string::npos || is_space(line()[end]);
  }

  const Source& source_;
  Shape shape_;
  std::size_t row_ = 0, i_ = 0;
  Mode mode_ = Mode::start;
  std::vector<Mark> open_;
  char quote_ = 0;
  Mark quote_at_;
  std::size_t value_row_ = 0;  // where the value that stands before began
  int colons_ = 0;             // in the value under way
  std::size_t base_ = 0;       // column of the key or dash that the value belongs to
  std::size_t entry_ = 0;      // column of the line's first key or text
  bool whole_file_in_braces_ = false;
  bool block_text_ = false;  // in the text after '|' or '>'
};

}  // namespace

Shape shape_of(const Source& source) { return Scanner(source).scan(); }

std::optional<Slip> swallowing_quote(const Shape& shape) {
  for (const Slip& slip : shape.slips)
    if (slip.kind == Slip::Kind::unclosed_quote) return slip;
  return std::nullopt;
}

}  // namespace tierce
