#include "cli/command/deliver.h"

#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <iostream>

#include "cli/io/exit_status.h"
#include "cli/io/messages.h"
#include "cli/read/kept_files.h"
#include "cli/record/write_file.h"

namespace tierce {
namespace {

/// Empty, or why the screen did not take the text.
std::string show(const std::string& text, std::ostream& out) {
  if (&out == &std::cout)  // "tierce stock a.yaml >> a.yaml"
    if (std::string kept = why_kept(STDOUT_FILENO); !kept.empty()) return kept;
  errno = 0;
  out << text << std::flush;
  if (out) return "";
  return errno != 0 ? std::strerror(errno) : "standard output takes no more";
}

}  // namespace

int deliver(const std::string& file, const std::string& text, std::ostream& out) {
  const std::string failure = file.empty() ? show(text, out) : write_file(file, text);
  if (failure.empty()) return kFine;
  say_error(file.empty() ? "the report could not be written: " + failure : file + " was not written: " + failure);
  return kBadInput;
}

}  // namespace tierce
