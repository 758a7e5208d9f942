// A scenario file as text: read whole, checked to be text, cut into lines for messages.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/limits.h"
#include "engine/scenario.h"

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

/// Bytes of the UTF-8 character that begins at `at`, or 0 if none does.
std::size_t utf8_length(const std::string& text, std::size_t at);
/// Bytes of the first `count` characters from the byte `first` on; a byte that begins none counts as one.
std::size_t bytes_of_characters(const std::string& text, std::size_t first, std::size_t count);
/// How many characters a text has.
std::size_t characters_in(const std::string& text);

/// A character that no scenario may hold: it steers the screen that shows it (an escape, a change of direction), ends a
/// line unseen, or cannot be seen at all. Tabs and line ends are not among them.
struct Refused {
  std::size_t byte = 0;  // where in the text
  std::string name;      // "a control character (U+001B)"
};
std::optional<Refused> refused_character(const std::string& text, std::size_t from = 0);

/// Text that may be shown on any screen: a character that steers it or cannot be seen is shown by its number, as
/// <U+001B>; what is no UTF-8 becomes U+FFFD.
std::string fit_to_show(const std::string& text);
/// The same for what stands on one line: line ends and tabs are shown by their numbers, too.
std::string fit_for_a_line(const std::string& text);
/// A character of those that no name may hold though a text may: it changes how its neighbours look, and alone it
/// cannot be seen, so that two names with and without it look the same.
std::optional<Refused> hidden_in_name(const std::string& text);

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
