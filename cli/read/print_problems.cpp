#include "cli/read/print_problems.h"

#include <algorithm>
#include <ostream>

#include "cli/io/exit_status.h"
#include "cli/read/quantity_text.h"

namespace tierce {
namespace {

constexpr std::size_t kWidest = 96;        // characters of a quoted line
constexpr std::size_t kLongestText = 400;  // characters of a message; more is a value that fills the screen

/// Up to `count` characters from the byte `first`.
std::string characters(const std::string& text, std::size_t first, std::size_t count) {
  return text.substr(std::min(first, text.size()), bytes_of_characters(text, first, count));
}

std::string shortened(const std::string& text) {
  if (text.size() <= kLongestText) return text;
  const std::string begin = characters(text, 0, kLongestText);
  return begin.size() < text.size() ? begin + " ..." : text;
}

/// A line of a message, without what steers a screen or would begin a line of its own.
std::string in_one_line(const std::string& text) {
  std::string line = fit_to_show(shortened(text));
  for (char& c : line)
    if (c == '\n' || c == '\t') c = ' ';
  return line;
}

bool digit_at(const std::string& text, std::size_t at) {
  return at < text.size() && text[at] >= '0' && text[at] <= '9';
}

/// Where a value that begins `text` ends: at a comma, but not at one inside a number.
std::size_t end_of_value(const std::string& text) {
  std::size_t end = text.find_first_of(",}]");
  while (end != std::string::npos && end > 0 && text[end] == ',' && digit_at(text, end - 1) && digit_at(text, end + 1))
    end = text.find_first_of(",}]", end + 1);
  return end;
}

/// What a caret underlines: the word, number with unit, or quoted text that begins the text.
std::string marked(const std::string& text) {
  if (text.empty() || text.starts_with("- ") || std::string("{}[]#,: ").find(text[0]) != std::string::npos)
    return text.substr(0, 1);
  if (std::string("&*!").find(text[0]) != std::string::npos) return text.substr(0, text.find_first_of(" ,}]"));
  if (text[0] == '"' || text[0] == '\'') return text.substr(0, std::min(text.find(text[0], 1), text.size() - 1) + 1);
  std::string word = text.substr(0, end_of_value(text));
  word = word.substr(0, word.find(": "));
  word = word.substr(0, word.find(" #"));
  word.resize(word.find_last_not_of(" \t:") + 1);
  return word;
}

void print_line(const Problem& problem, const Source& source, Columns& columns, std::ostream& out) {
  const auto row = static_cast<std::size_t>(problem.at.line - 1);
  if (problem.at.line < 1 || row >= source.lines.size()) return;
  const std::string& line = source.lines[row];
  const int column = std::max(problem.at.column, 1);
  // A long line is cut, so that its caret stays on the screen.
  const bool cut = column > static_cast<int>(kWidest) - 20;
  const int first = cut ? column - 40 : 1;
  const std::size_t begin = columns.byte_of(row, first);
  const std::size_t at = columns.byte_of(row, column);
  const std::string number = std::to_string(problem.at.line);
  const std::string before = in_one_line(line.substr(begin, at - begin));
  const std::string rest = in_one_line(characters(line, at, kWidest - characters_in(before)));
  const std::size_t width = std::max<std::size_t>(1, characters_in(marked(rest)));
  const std::size_t left = characters_in(before) + (cut ? 3 : 0);
  const bool goes_on = at + characters(line, at, kWidest - characters_in(before)).size() < line.size();
  out << "  " << number << " | " << (cut ? "..." : "") << before << rest << (goes_on ? "..." : "") << '\n';
  out << "  " << std::string(number.size(), ' ') << " | " << std::string(left, ' ') << '^'
      << std::string(width - 1, '~') << '\n';
}

}  // namespace

void print_refusals(const std::vector<Problem>& problems, const std::string& where, int status, std::ostream& out) {
  const char* allowed = status == kFails ? "possible" : "allowed here";
  const auto line = [](const std::string& text) { return fit_for_a_line(with_plain_spaces(text)); };
  for (const Problem& problem : problems) {
    out << "tierce: error: " << (where.empty() ? "" : line(where) + ": ") << line(problem.what) << '\n';
    if (!problem.allowed.empty()) out << "  " << allowed << ": " << line(problem.allowed) << '\n';
    if (!problem.hint.empty()) out << "  " << line(problem.hint) << '\n';
  }
  if (problems.size() > 1) out << problems.size() << " faults\n";
}

void print_problems(const std::vector<Problem>& problems, const Source& source, std::ostream& out) {
  Columns columns(source);
  const std::string path = in_one_line(source.path);
  for (const Problem& problem : problems) {
    out << path;
    if (problem.at.line > 0) out << ':' << problem.at.line << ':' << problem.at.column;
    out << ": " << in_one_line(problem.what) << '\n';
    print_line(problem, source, columns, out);
    if (!problem.allowed.empty()) out << "  allowed here: " << in_one_line(problem.allowed) << '\n';
    if (!problem.hint.empty()) out << "  " << in_one_line(problem.hint) << '\n';
  }
  if (problems.size() > 1) out << problems.size() << " faults\n";
}

}  // namespace tierce
