// A scenario file as text: read whole, checked to be text, cut into lines for messages.
#pragma once

#include <string>
#include <vector>

#include "engine/scenario.h"

namespace tierce {

struct Source {
  std::string path;
  std::string text;                // UTF-8, line ends as \n, no byte-order mark
  std::vector<std::string> lines;  // of `text`
};

/// Reads the file. Problems: missing, a directory, not readable, too large, empty, not UTF-8 text, a NUL or control character.
Source load_source(const std::string& path, std::vector<Problem>& problems);
/// The same from bytes, for tests and for text that is not in a file.
Source source_from(const std::string& path, std::string bytes, std::vector<Problem>& problems);

/// Column in characters (1-based) of a byte offset in a line.
int character_column(const std::string& line, std::size_t byte_offset);

}  // namespace tierce
