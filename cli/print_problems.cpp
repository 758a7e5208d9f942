#include "cli/print_problems.h"

#include <algorithm>
#include <ostream>

namespace tierce {
namespace {

constexpr std::size_t kWidest = 96;  // characters of a quoted line

/// Bytes of the character that begins at `i`.
std::size_t step(const std::string& text, std::size_t i) {
  std::size_t n = 1;
  while (i + n < text.size() && (static_cast<unsigned char>(text[i + n]) & 0xC0u) == 0x80u) ++n;
  return n;
}

/// `count` characters of `line` from the character column `first` (0-based); tabs become one space.
std::string characters(const std::string& line, std::size_t first, std::size_t count) {
  std::string text;
  std::size_t column = 0;
  for (std::size_t i = 0; i < line.size(); i += step(line, i), ++column)
    if (column >= first && column < first + count) text += line[i] == '\t' ? " " : line.substr(i, step(line, i));
  return text;
}

/// Characters to underline: the word, number with unit, or quoted text that begins at the column.
std::size_t marked(const std::string& line, std::size_t column) {
  const std::string rest = characters(line, column, line.size());
  std::size_t bytes = rest.find_first_of(",}]#");
  if (const auto colon = rest.find(": "); colon != std::string::npos) bytes = std::min(bytes, colon);
  if (!rest.empty() && (rest[0] == '{' || rest[0] == '[' || rest[0] == '-')) bytes = 1;
  std::string word = rest.substr(0, bytes);
  while (!word.empty() && (word.back() == ' ' || word.back() == ':')) word.pop_back();
  std::size_t count = 0;
  for (std::size_t i = 0; i < word.size(); i += step(word, i)) ++count;
  return std::max<std::size_t>(1, count);
}

void print_line(const Problem& problem, const Source& source, std::ostream& out) {
  const auto row = static_cast<std::size_t>(problem.at.line - 1);
  if (problem.at.line < 1 || row >= source.lines.size()) return;
  const std::string& line = source.lines[row];
  const auto column = static_cast<std::size_t>(std::max(problem.at.column, 1) - 1);
  const std::size_t first = column > kWidest - 20 ? column - 40 : 0;  // a long line is cut, so that its caret stays on the screen
  const std::string number = std::to_string(problem.at.line);
  const std::string shown = characters(line, first, kWidest);
  out << "  " << number << " | " << (first > 0 ? "..." : "") << shown << '\n';
  out << "  " << std::string(number.size(), ' ') << " | " << std::string(column - first + (first > 0 ? 3 : 0), ' ') << '^'
      << std::string(std::min(marked(line, column), kWidest) - 1, '~') << '\n';
}

}  // namespace

void print_problems(const std::vector<Problem>& problems, const Source& source, std::ostream& out) {
  for (const Problem& problem : problems) {
    out << source.path;
    if (problem.at.line > 0) out << ':' << problem.at.line << ':' << problem.at.column;
    out << ": " << problem.what << '\n';
    print_line(problem, source, out);
    if (!problem.allowed.empty()) out << "  allowed here: " << problem.allowed << '\n';
    if (!problem.hint.empty()) out << "  " << problem.hint << '\n';
  }
  if (problems.size() > 1) out << problems.size() << " faults\n";
}

}  // namespace tierce
