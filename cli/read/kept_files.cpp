#include "cli/read/kept_files.h"

#include <sys/stat.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <set>

namespace tierce {
namespace {

namespace fs = std::filesystem;

/// What this process has read, as the system knows what it has open: the one thing that is not handed from function to
/// function, so that no option to come can forget to.
struct FilesRead {
  std::set<std::pair<dev_t, ino_t>> files;
  std::set<std::string> paths;
};

FilesRead& files_read() {
  static FilesRead read;
  return read;
}

constexpr const char* kWasRead = "this run reads that file, and no report is written over it; name another file";

bool was_read(const struct stat& file) {
  return S_ISREG(file.st_mode) && files_read().files.contains({file.st_dev, file.st_ino});
}

/// As much of a file as its first key may stand in: books begin with remarks, but not with a million letters of them.
std::string beginning_of(const std::string& path) {
  constexpr std::streamsize kMost = 1'000'000;
  std::ifstream in(path, std::ios::binary);
  std::string text(static_cast<std::size_t>(kMost), '\0');
  in.read(text.data(), kMost);
  text.resize(static_cast<std::size_t>(in.gcount()));
  return text;
}

std::string without_marks(const std::string& line) {
  const std::string blanks = " \t\r";
  std::string rest = line;
  const auto cut = [&](std::size_t count) {
    rest.erase(0, count);
    rest.erase(0, std::min(rest.find_first_not_of(blanks), rest.size()));
  };
  cut(0);
  if (rest.starts_with('%')) return "";
  if (rest.starts_with("---")) cut(3);
  while (rest.starts_with('{') || rest.starts_with("? ")) cut(1);
  return rest.starts_with('#') ? "" : rest;
}

/// The key that begins a line; nothing if none does.
std::optional<std::string> key_of(const std::string& line) {
  const char quote = line[0] == '"' || line[0] == '\'' ? line[0] : '\0';
  const std::size_t end = quote != '\0' ? line.find(quote, 1) : line.find(':');
  if (end == std::string::npos) return std::nullopt;
  const std::string key = quote != '\0' ? line.substr(1, end - 1) : line.substr(0, end);
  const std::size_t colon = line.find_first_not_of(" \t", quote != '\0' ? end + 1 : end);
  if (colon == std::string::npos || line[colon] != ':') return std::nullopt;
  return key.substr(0, key.find_last_not_of(" \t") + 1);
}

}  // namespace

std::string whole_path(const std::string& path) {
  std::error_code error;
  const fs::path whole = fs::weakly_canonical(fs::absolute(path, error), error);
  return error ? path : whole.string();
}

std::optional<std::string> first_key(const std::string& text) {
  for (std::size_t begin = text.starts_with("\xEF\xBB\xBF") ? 3 : 0; begin < text.size();) {
    const std::size_t end = std::min(text.find_first_of("\r\n", begin), text.size());
    const std::string line = without_marks(text.substr(begin, end - begin));
    if (!line.empty()) return key_of(line);
    begin = end + 1;
  }
  return std::nullopt;
}

bool begins_with_key_of(const Section& section, const std::string& text) {
  const auto key = first_key(text);
  return key && section.find(*key) != nullptr;
}

void note_read(const std::string& path) {
  struct stat file {};
  if (::stat(path.c_str(), &file) != 0 || !S_ISREG(file.st_mode)) return;
  files_read().files.insert({file.st_dev, file.st_ino});
  files_read().paths.insert(whole_path(path));
}

std::string why_kept(const std::string& path) {
  struct stat file {};
  const bool there = ::stat(path.c_str(), &file) == 0;
  if (there && !S_ISREG(file.st_mode)) return "";
  if ((there && was_read(file)) || files_read().paths.contains(whole_path(path))) return kWasRead;
  if (!there) return "";
  const std::string text = beginning_of(path);
  if (!begins_with_key_of(keys::scenario(), text)) return "";
  return "it begins as a book does ('" + *first_key(text) +
         ":'), and no report is written over one; name another file, or delete it";
}

std::string why_kept(int open_file) {
  struct stat file {};
  return ::fstat(open_file, &file) == 0 && was_read(file) ? kWasRead : "";
}

}  // namespace tierce
