// A scenario file as text: read whole, checked to be text, cut into lines for messages.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/io/characters.h"
#include "cli/read/limits.h"
#include "engine/book/scenario.h"

namespace tierce {

struct Source {
  std::string path;                // as messages show it
  std::string text;                // UTF-8, line ends as \n, no byte-order mark
  std::vector<std::string> lines;  // of `text`
};

/// Reads the file. Problems: missing, a directory, not readable, too large, empty, nothing but comments, not UTF-8
/// text, characters that control a screen or cannot be seen.
Source load_source(const std::string& path, std::vector<Problem>& problems, const Limits& limits = kUsualLimits);
/// The file as it stands on the disk; nothing, and a problem, if it cannot be read.
std::optional<std::string> load_bytes(const std::string& path, std::vector<Problem>& problems,
                                      const Limits& limits = kUsualLimits);
/// The same from bytes, for tests and for text that is not in a file.
Source source_from(const std::string& path, std::string bytes, std::vector<Problem>& problems,
                   const Limits& limits = kUsualLimits);

/// Columns in characters (1-based) and bytes (0-based) of the lines of a source. It remembers where it stood, so that
/// asking in the order of the file costs one pass over the text, however long its lines are.
class Columns {
 public:
  explicit Columns(const Source& source) : source_(source) {}
  int column_of(std::size_t row, std::size_t byte);
  std::size_t byte_of(std::size_t row, int column);

 private:
  void go_to(std::size_t row);
  void forward();

  const Source& source_;
  std::size_t row_ = 0;
  std::size_t byte_ = 0;
  int column_ = 1;
};

}  // namespace tierce
