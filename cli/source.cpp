#include "cli/source.h"

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "cli/kept_files.h"
#include "cli/suggest.h"

namespace tierce {
namespace {

namespace fs = std::filesystem;

bool continues_character(char c) { return (static_cast<unsigned char>(c) & 0xC0u) == 0x80u; }

void drop_windows_marks(std::string& text) {
  if (text.starts_with("\xEF\xBB\xBF")) text.erase(0, 3);
  std::string plain;
  plain.reserve(text.size());
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '\r' && i + 1 < text.size() && text[i + 1] == '\n') continue;
    plain.push_back(text[i] == '\r' ? '\n' : text[i]);
  }
  text = std::move(plain);
}

void cut_lines(Source& source) {
  for (std::size_t begin = 0; begin < source.text.size();) {
    const std::size_t end = std::min(source.text.find('\n', begin), source.text.size());
    source.lines.push_back(source.text.substr(begin, end - begin));
    begin = end + 1;
  }
}

/// What is too much text; empty where it is not.
std::string too_much(const std::string& text, const Limits& limits) {
  const std::string lifts = limits.bytes < kLargeLimits.bytes ? "; --large lifts this limit" : "";
  if (text.size() > limits.bytes)
    return "the file is larger than " + std::to_string(limits.bytes / 1'000'000) + " MB" + lifts;
  const auto lines = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
  return lines > limits.lines ? "the file has more than " + std::to_string(limits.lines) + " lines" + lifts : "";
}

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

/// The first byte of a line that is no UTF-8.
std::optional<std::size_t> not_utf8(const std::string& line) {
  for (std::size_t i = 0; i < line.size();) {
    const std::size_t length = utf8_length(line, i);
    if (length == 0) return i;
    i += length;
  }
  return std::nullopt;
}

void check_characters(const Source& source, std::vector<Problem>& problems) {
  Columns columns(source);
  for (std::size_t row = 0; row < source.lines.size(); ++row) {
    const std::string& line = source.lines[row];
    const auto at = [&](std::size_t byte) { return At{static_cast<int>(row) + 1, columns.column_of(row, byte)}; };
    if (const auto zero = line.find('\0'); zero != std::string::npos) {
      problems.push_back({at(zero), "a zero byte stands here, so this is not a text file", "a text file in UTF-8", ""});
      return;
    }
    if (const auto byte = not_utf8(line)) {
      problems.push_back({at(*byte), "this is not UTF-8 text", "a text file in UTF-8",
                          "the file was saved in another encoding (Latin-1, Windows): save it as UTF-8"});
      return;
    }
    for (auto refused = refused_character(line); refused;
         refused = refused_character(line, refused->byte + utf8_length(line, refused->byte)))
      problems.push_back({at(refused->byte), refused->name + " stands here", "text that can be seen", "delete it"});
  }
}

void check_content(const Source& source, std::vector<Problem>& problems) {
  bool comments = false;
  for (const std::string& line : source.lines) {
    const auto text = line.find_first_not_of(" \t");
    if (text == std::string::npos) continue;
    if (line[text] != '#') return;
    comments = true;
  }
  problems.push_back({comments ? At{1, 1} : At{},
                      comments ? "the file holds nothing but comments" : "the file is empty",
                      "a scenario: reserve, tiers, lots", ""});
}

/// The file in the same folder whose name is nearest: a hint for one that does not exist.
std::string file_meant(const fs::path& path) {
  std::error_code error;
  std::vector<std::string> names;
  const fs::path folder = path.has_parent_path() ? path.parent_path() : fs::path(".");
  for (fs::directory_iterator it(folder, error), end; !error && it != end; it.increment(error))
    if (it->path().filename() != path.filename()) names.push_back(it->path().filename().string());
  std::sort(names.begin(), names.end());
  return did_you_mean(nearest(path.filename().string(), names));
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

void Columns::go_to(std::size_t row) {
  if (row == row_) return;
  row_ = row;
  byte_ = 0;
  column_ = 1;
}

void Columns::forward() {
  const std::string& line = source_.lines[row_];
  for (++byte_; byte_ < line.size() && continues_character(line[byte_]);) ++byte_;
  ++column_;
}

int Columns::column_of(std::size_t row, std::size_t byte) {
  go_to(row);
  const std::string& line = source_.lines[row_];
  while (byte_ < byte && byte_ < line.size()) forward();
  while (byte_ > byte)
    if (!continues_character(line[--byte_])) --column_;
  return column_;
}

std::size_t Columns::byte_of(std::size_t row, int column) {
  go_to(row);
  const std::string& line = source_.lines[row_];
  while (column_ < column && byte_ < line.size()) forward();
  while (column_ > column && byte_ > 0)
    if (!continues_character(line[--byte_])) --column_;
  return byte_;
}

Source source_from(const std::string& path, std::string bytes, std::vector<Problem>& problems, const Limits& limits) {
  Source source{fit_to_show(path), std::move(bytes), {}};
  if (source.text.starts_with("\xFF\xFE") || source.text.starts_with("\xFE\xFF")) {
    problems.push_back({{}, "this is UTF-16, not UTF-8 text", "a text file in UTF-8", "save the file as UTF-8"});
    return source;
  }
  drop_windows_marks(source.text);
  if (const std::string much = too_much(source.text, limits); !much.empty()) {
    problems.push_back({{}, much, "a scenario file (YAML text)", ""});
    return source;
  }
  cut_lines(source);
  const std::size_t before = problems.size();
  check_characters(source, problems);
  if (problems.size() == before) check_content(source, problems);
  return source;
}

std::optional<std::string> load_bytes(const std::string& path, std::vector<Problem>& problems, const Limits& limits) {
  std::error_code error;
  const auto refuse = [&](const std::string& what, const std::string& hint = "") {
    problems.push_back({{}, what, "a scenario file (YAML text)", hint});
    return std::nullopt;
  };
  const fs::file_status status = fs::status(path, error);
  if (status.type() == fs::file_type::not_found && fs::is_symlink(fs::symlink_status(path, error)))
    return refuse("this is a link to '" + fs::read_symlink(path, error).string() + "', and nothing stands there",
                  file_meant(path));
  if (status.type() == fs::file_type::not_found) return refuse("there is no such file", file_meant(path));
  if (fs::is_directory(status)) return refuse("this is a folder, not a file");
  std::ifstream in(path, std::ios::binary);
  if (!in) return refuse(std::string("the file cannot be read: ") + std::strerror(errno));
  std::string bytes;
  for (char block[65536]; in.read(block, sizeof block) || in.gcount() > 0;) {
    bytes.append(block, static_cast<std::size_t>(in.gcount()));
    if (bytes.size() > limits.bytes) break;  // source_from refuses it
  }
  if (in.bad()) return refuse(std::string("the file cannot be read: ") + std::strerror(errno));
  note_read(path);
  return bytes;
}

Source load_source(const std::string& path, std::vector<Problem>& problems, const Limits& limits) {
  auto bytes = load_bytes(path, problems, limits);
  return bytes ? source_from(path, std::move(*bytes), problems, limits) : Source{fit_to_show(path), "", {}};
}

}  // namespace tierce
