#include "cli/yaml_causes.h"

#include <algorithm>
#include <cctype>

namespace tierce {
namespace {

/// What one line opens and closes outside quotes, and where a comment begins.
struct LineShape {
  int braces = 0;                // { [ less } ] before any comment
  std::size_t comment = std::string::npos;
  bool open_quote = false;
  std::size_t inner_brace = std::string::npos;  // a '{' right after text, as in  for: Bottling {year}
  std::size_t second_colon = std::string::npos; // a ': ' inside a value
};

bool begins_quote(const std::string& line, std::size_t i) {
  const auto before = line.find_last_not_of(' ', i == 0 ? 0 : i - 1);
  return i == 0 || before == std::string::npos || std::string(":,[{-").find(line[before]) != std::string::npos;
}

LineShape shape_of(const std::string& line) {
  LineShape shape;
  char quote = 0;
  int colons = 0;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (quote != 0) {
      if (c == '\\' && quote == '"') ++i;
      else if (c == quote) quote = 0;
      continue;
    }
    if ((c == '"' || c == '\'') && begins_quote(line, i)) quote = c;
    else if (c == '#' && (i == 0 || line[i - 1] == ' ' || line[i - 1] == '\t')) { shape.comment = i; break; }
    else if (c == '{' || c == '[') {
      if (i >= 2 && line[i - 1] == ' ' && (std::isalnum(static_cast<unsigned char>(line[i - 2])) != 0)) shape.inner_brace = i;
      ++shape.braces;
    } else if (c == '}' || c == ']') --shape.braces;
    else if (c == ',') colons = 0;
    else if (c == ':' && (i + 1 == line.size() || line[i + 1] == ' ')) {
      if (++colons == 2) shape.second_colon = i;
    }
    if (c == '{' || c == '[') colons = 0;
  }
  shape.open_quote = quote != 0;
  return shape;
}

Problem at_cause(const Source& source, std::size_t row, std::size_t offset, std::string what, std::string hint) {
  return {{static_cast<int>(row) + 1, character_column(source.lines[row], offset)}, std::move(what), "", std::move(hint)};
}

/// The first line, up to the one where the parser stopped, that holds a well-known slip.
std::optional<Problem> slip_before(const Source& source, std::size_t last_row) {
  int depth = 0;
  for (std::size_t row = 0; row <= last_row && row < source.lines.size(); ++row) {
    const std::string& line = source.lines[row];
    const auto text = line.find_first_not_of(" \t");
    if (text == std::string::npos) continue;
    const auto tab = line.find('\t');
    if (tab < text) return at_cause(source, row, tab, "a tab stands in the indentation", "indent with spaces");
    const LineShape shape = shape_of(line);
    if (shape.inner_brace != std::string::npos && (depth > 0 || shape.braces != 0))
      return at_cause(source, row, shape.inner_brace, "a brace stands inside plain text", "text that holds , : # { } [ ] or quotes stands in double quotes, as in for: \"Bottling {year}\"");
    depth = std::max(0, depth + shape.braces);
    if (depth > 0 && shape.comment != std::string::npos && line.find_first_of("}]", shape.comment) != std::string::npos)
      return at_cause(source, row, shape.comment, "the '#' begins a comment, so the closing brace after it is not seen", "text that holds '#' stands in double quotes, as in for: \"Bottling #2\"");
    if (shape.second_colon != std::string::npos && line[text] != '#')
      return at_cause(source, row, shape.second_colon, "a second ': ' stands in one value", "text that holds ': ' stands in double quotes");
  }
  return std::nullopt;
}

std::string plain(const std::string& message) {
  if (message.find("end of map flow") != std::string::npos) return "a brace '{' that was opened is not closed";
  if (message.find("end of sequence flow") != std::string::npos) return "a bracket '[' that was opened is not closed";
  if (message.find("illegal map value") != std::string::npos) return "a key or a ':' stands where none can stand";
  if (message.find("EOF in scalar") != std::string::npos || message.find("end of file") != std::string::npos) return "a quote that was opened is not closed";
  if (message.find("end of map not found") != std::string::npos) return "this line does not fit the indentation of the lines before";
  if (message.find("end of sequence not found") != std::string::npos) return "this line does not fit the list before: a '-' or some indentation is missing";
  return "YAML cannot read this: " + message;
}

/// The line that opened the flow or the quote still open at `last_row`; that row if none is.
std::size_t opening_row(const Source& source, std::size_t last_row) {
  int depth = 0;
  std::size_t opened = last_row;
  for (std::size_t row = 0; row <= last_row && row < source.lines.size(); ++row) {
    const LineShape shape = shape_of(source.lines[row]);
    if (shape.open_quote) return row;
    if (depth == 0 && shape.braces > 0) opened = row;
    depth = std::max(0, depth + shape.braces);
    if (depth == 0) opened = last_row;
  }
  return opened;
}

}  // namespace

std::optional<Problem> directive_line(const Source& source) {
  for (std::size_t row = 0; row < source.lines.size(); ++row)
    if (source.lines[row].starts_with('%'))
      return at_cause(source, row, 0, "a line that begins with '%' is an instruction to YAML, not a value", "put the value behind its key, as in alcohol: 18 %vol");
  return std::nullopt;
}

Problem likely_cause(const Source& source, At parser_at, const std::string& parser_message) {
  const std::size_t rows = source.lines.size();
  const auto stopped = std::min(static_cast<std::size_t>(std::max(parser_at.line, 1) - 1), rows == 0 ? 0 : rows - 1);
  if (auto slip = slip_before(source, stopped)) return *slip;
  const bool unclosed = parser_message.find("flow") != std::string::npos || parser_message.find("EOF") != std::string::npos;
  const std::size_t row = unclosed ? opening_row(source, stopped) : stopped;
  At at{static_cast<int>(row) + 1, 1};
  if (row == stopped && rows > 0) at.column = character_column(source.lines[row], static_cast<std::size_t>(std::max(parser_at.column, 1) - 1));
  else if (row < rows) at.column = character_column(source.lines[row], std::min(source.lines[row].find_first_of("{[\"'"), source.lines[row].size()));
  return {at, plain(parser_message), "", ""};
}

}  // namespace tierce
