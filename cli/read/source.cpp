#include "cli/read/source.h"

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "cli/read/kept_files.h"
#include "cli/read/suggest.h"

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
