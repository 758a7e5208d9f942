#include "cli/read/yaml_causes.h"

#include <algorithm>

namespace tierce {
namespace {

constexpr const char* kQuoted = "text that holds , : # { } [ ] or quotes stands in double quotes";

At place(const Source& source, std::size_t row, std::size_t byte) {
  if (row >= source.lines.size()) return {static_cast<int>(row) + 1, 1};
  Columns columns(source);
  return {static_cast<int>(row) + 1, columns.column_of(row, byte)};
}

char char_at(const Source& source, std::size_t row, std::size_t byte) {
  return row < source.lines.size() && byte < source.lines[row].size() ? source.lines[row][byte] : ' ';
}

std::string quoted_char(char c) { return std::string("'") + c + "'"; }

Problem after_value(At at, char c, char before) {
  const std::string closed = before == '"' || before == '\'' ? "the closing quote" : "the closing brace";
  if (c == ':') return {at, "no space stands after this ':'", "a space after ':'", ""};
  if (c == ',') return {at, "a comma stands after " + closed, "a comma only inside braces or brackets", "remove it"};
  return {at, "text stands after " + closed, "nothing more, or a comma inside braces",
          closed == "the closing quote" ? "a quote inside text: put the whole text in double quotes" : ""};
}

Problem wrong_closer(At at, char c, char within) {
  if (within == 0) return {at, "this " + quoted_char(c) + " closes nothing", "", "remove it, or open what it closes"};
  const std::string wanted = quoted_char(within == '{' ? '}' : ']');
  return {at, "this " + quoted_char(c) + " stands where the " + quoted_char(within) + " before it is still open",
          wanted, ""};
}

Problem item_behind(At at) {
  return {at, "a list item '- ' stands behind something else in this line", "each item on a line of its own", ""};
}

Problem of_slip(const Source& source, const Slip& slip) {
  const At at = place(source, slip.row, slip.byte);
  const char c = char_at(source, slip.row, slip.byte);
  const auto before = [&] {
    const auto last =
        slip.byte == 0 ? std::string::npos : source.lines[slip.row].find_last_not_of(" \t", slip.byte - 1);
    return last == std::string::npos ? ' ' : source.lines[slip.row][last];
  };
  switch (slip.kind) {
    case Slip::Kind::unclosed_quote:
      return {at, "the quote opened here is not closed", "a closing quote on this line",
              "text that goes on in the next line is indented below its key"};
    case Slip::Kind::unclosed_brace:
      return {at, "the " + quoted_char(c) + " opened here is not closed",
              "a closing " + quoted_char(c == '{' ? '}' : ']'),
              "if more follows in the next line, a comma is missing before it"};
    case Slip::Kind::missing_comma:
      return {at, "a comma is missing before this", "a comma between values in braces", ""};
    case Slip::Kind::wrong_closer: return wrong_closer(at, c, slip.within);
    case Slip::Kind::inner_brace:
      return {at, "a brace stands inside plain text", kQuoted, "as in for: \"Bottling {year}\""};
    case Slip::Kind::comment_in_braces:
      return {at, "the '#' begins a comment, so the closing brace behind it is not seen", kQuoted,
              "as in for: \"Bottling #2\"; a comment goes behind the closing brace"};
    case Slip::Kind::second_colon:
      return {at, "a second ': ' stands in one value", kQuoted,
              std::string("as in note: \"leak: mended\"") +
                  (slip.within != 0 ? "; before the name of a key a comma is missing" : "")};
    case Slip::Kind::text_after_value: return after_value(at, c, before());
    case Slip::Kind::item_behind_key: return item_behind(at);
    case Slip::Kind::tab_indent: return {at, "a tab stands in the indentation", "spaces", ""};
    case Slip::Kind::no_space_after_dash: return {at, "no space stands after this '-'", "a space after '-'", ""};
    case Slip::Kind::bare_line: break;
  }
  const bool colon = source.lines[slip.row].find(':') != std::string::npos;
  return {at, colon ? "no space stands after the ':' of this line" : "this line has no ':'", "key: value", ""};
}

/// These need not be an error, so they are blamed only for one in their own line or the next.
bool may_be_meant(Slip::Kind kind) {
  return kind == Slip::Kind::tab_indent || kind == Slip::Kind::no_space_after_dash || kind == Slip::Kind::bare_line;
}

std::optional<std::size_t> indent_of(const Source& source, std::size_t row) {
  if (row >= source.lines.size()) return std::nullopt;
  const auto text = source.lines[row].find_first_not_of(" \t");
  return text == std::string::npos || source.lines[row][text] == '#' ? std::nullopt : std::optional(text);
}

/// The last row above that holds more than a comment.
std::optional<std::size_t> row_above(const Source& source, std::size_t row) {
  for (std::size_t above = std::min(row, source.lines.size()); above-- > 0;)
    if (indent_of(source, above)) return above;
  return std::nullopt;
}

std::optional<Slip> blamed(const Source& source, const Shape& shape, std::size_t row) {
  for (const Slip& slip : shape.slips)
    if (slip.row <= row && !may_be_meant(slip.kind)) return slip;
  const auto above = row_above(source, row);
  for (const Slip& slip : shape.slips)
    if (may_be_meant(slip.kind) && (slip.row == row || slip.row == above)) return slip;
  return std::nullopt;
}

/// A line whose indentation does not fit the lines above.
Problem indentation(const Source& source, std::size_t row, std::size_t byte) {
  const std::size_t indent = indent_of(source, row).value_or(byte);
  const At at = place(source, row, indent);
  const auto above = row_above(source, row);
  if (above && indent > indent_of(source, *above).value_or(0))
    return {at, "this line is indented deeper than the line above, which has its value already",
            "the indentation of the lines it belongs to", ""};
  for (auto higher = above; higher; higher = row_above(source, *higher)) {
    if (indent_of(source, *higher).value_or(0) > indent) continue;
    if (indent_of(source, *higher) == indent && source.lines[*higher][indent] == '-')
      return {at, "this line stands among list items and does not begin with '- '",
              "'- ' before the next item, or the indentation of the item it belongs to", ""};
    break;
  }
  return {at, "the indentation of this line fits none of the lines above", "the indentation of the lines it belongs to",
          ""};
}

Problem unknown_token(At at, char c) {
  if (c == '%') return {at, "a value cannot begin with '%'", "a number before its unit, as in 18 %vol", ""};
  return {at, "a value cannot begin with " + quoted_char(c), "",
          "text that begins with " + quoted_char(c) + " stands in double quotes"};
}

}  // namespace

Problem alias_problem(At at) {
  return {at, "an alias (*name) stands here", "values written out",
          "repeat the value; text that begins with '*' stands in double quotes"};
}

std::optional<Problem> silent_loss(const Source& source, const Shape& shape) {
  for (std::size_t row = 0; row < source.lines.size(); ++row)
    if (source.lines[row].starts_with('%'))
      return Problem{place(source, row, 0), "YAML takes a line that begins with '%' for an instruction and drops it",
                     "a value behind its key, as in alcohol: 18 %vol", ""};
  if (const auto quote = swallowing_quote(shape)) return of_slip(source, *quote);
  return std::nullopt;
}

Problem likely_cause(const Source& source, const Shape& shape, std::size_t row, std::size_t byte,
                     const std::string& parser_message) {
  if (row >= source.lines.size() && !source.lines.empty()) {  // the parser went on to the end
    row = source.lines.size() - 1;
    byte = source.lines[row].size();
  }
  const auto says = [&](const char* words) { return parser_message.find(words) != std::string::npos; };
  const At at = place(source, row, byte);
  if (says("bad file")) return {at, "lists and maps stand too deep inside one another", "a few levels", ""};
  if (says("anchor is not defined")) return alias_problem(at);
  if (const auto slip = blamed(source, shape, row)) return of_slip(source, *slip);
  if (says("unknown token")) return unknown_token(at, char_at(source, row, byte));
  if (says("escape"))
    return {at, "no such character can be written with a backslash", "",
            "in double quotes a backslash is written \\\\; in single quotes it stands for itself"};
  if (says("illegal block entry")) return item_behind(at);
  if (says("end of map") || says("end of sequence") || says("illegal map value")) return indentation(source, row, byte);
  return {at, "this is no YAML: " + parser_message, "", ""};
}

Problem stray_line(const Source& source, const Shape& shape, std::size_t row, std::size_t byte) {
  if (const auto slip = blamed(source, shape, row)) return of_slip(source, *slip);
  return indentation(source, row, byte);
}

}  // namespace tierce
