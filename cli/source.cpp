#include "cli/source.h"

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace tierce {
namespace {

constexpr std::uintmax_t kLargestFile = 64u << 20;  // bytes; a book of 50,000 entries needs about 5

/// Bytes of the UTF-8 character that begins at `at`, or 0 if there is none.
std::size_t utf8_length(const std::string& text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return at + i < text.size() ? static_cast<unsigned char>(text[at + i]) : 0u; };
  const unsigned first = byte(0);
  if (first < 0x80) return 1;
  const std::size_t length = first >= 0xC2 && first <= 0xDF ? 2 : first >= 0xE0 && first <= 0xEF ? 3 : first >= 0xF0 && first <= 0xF4 ? 4 : 0;
  for (std::size_t i = 1; i < length; ++i)
    if ((byte(i) & 0xC0u) != 0x80u) return 0;
  const unsigned second = byte(1);
  const bool overlong = (first == 0xE0 && second < 0xA0) || (first == 0xF0 && second < 0x90);
  const bool not_a_character = (first == 0xED && second > 0x9F) || (first == 0xF4 && second > 0x8F);
  return overlong || not_a_character ? 0 : length;
}

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
  std::istringstream in(source.text);
  for (std::string line; std::getline(in, line);) source.lines.push_back(line);
}

void check_characters(const Source& source, std::vector<Problem>& problems) {
  for (std::size_t row = 0; row < source.lines.size(); ++row) {
    const std::string& line = source.lines[row];
    for (std::size_t i = 0; i < line.size();) {
      const std::size_t length = utf8_length(line, i);
      const auto byte = static_cast<unsigned char>(line[i]);
      const At at{static_cast<int>(row) + 1, character_column(line, i)};
      if (length == 0) {
        problems.push_back({at, "this is not UTF-8 text", "a text file in UTF-8", "save the file as UTF-8; a byte here belongs to another encoding"});
        return;
      }
      if (byte < 0x20 && byte != '\t') {
        problems.push_back({at, byte == 0 ? "this file holds a zero byte, so it is not a text file" : "a control character stands here",
                            "printable text", ""});
        return;
      }
      i += length;
    }
  }
}

}  // namespace

int character_column(const std::string& line, std::size_t byte_offset) {
  int column = 1;
  for (std::size_t i = 0; i < byte_offset && i < line.size(); ++i)
    if ((static_cast<unsigned char>(line[i]) & 0xC0u) != 0x80u) ++column;
  return column;
}

Source source_from(const std::string& path, std::string bytes, std::vector<Problem>& problems) {
  Source source{path, std::move(bytes), {}};
  if (source.text.starts_with("\xFF\xFE") || source.text.starts_with("\xFE\xFF")) {
    problems.push_back({{1, 1}, "this is UTF-16, not UTF-8 text", "a text file in UTF-8", "save the file as UTF-8"});
    return source;
  }
  drop_windows_marks(source.text);
  cut_lines(source);
  check_characters(source, problems);
  if (problems.empty() && source.text.find_first_not_of(" \t\n") == std::string::npos)
    problems.push_back({{1, 1}, "the file is empty", "a scenario: reserve, tiers, lots", "docs/scenario.md shows the smallest one"});
  return source;
}

Source load_source(const std::string& path, std::vector<Problem>& problems) {
  namespace fs = std::filesystem;
  std::error_code error;
  const auto refuse = [&](const std::string& what) {
    problems.push_back({{}, what, "a scenario file (YAML text)", ""});
    return Source{path, "", {}};
  };
  const fs::file_status status = fs::status(path, error);
  if (!fs::exists(status)) return refuse("there is no such file");
  if (fs::is_directory(status)) return refuse("this is a directory");
  if (fs::is_regular_file(status) && fs::file_size(path, error) > kLargestFile) return refuse("the file is larger than 64 MB");
  std::ifstream in(path, std::ios::binary);
  if (!in) return refuse(std::string("the file cannot be read: ") + std::strerror(errno));
  std::string bytes;
  for (char block[65536]; in.read(block, sizeof block) || in.gcount() > 0;) {
    bytes.append(block, static_cast<std::size_t>(in.gcount()));
    if (bytes.size() > kLargestFile) return refuse("the file is larger than 64 MB");
  }
  if (in.bad()) return refuse(std::string("the file cannot be read: ") + std::strerror(errno));
  return source_from(path, std::move(bytes), problems);
}

}  // namespace tierce
