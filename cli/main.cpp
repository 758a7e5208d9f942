#include <fcntl.h>
#include <unistd.h>

#include <csignal>
#include <cstdio>
#include <exception>
#include <iostream>
#include <string>
#include <vector>

#include "cli/command/commands.h"
#include "cli/command/deliver.h"
#include "cli/command/options.h"
#include "cli/io/messages.h"

namespace {

/// An input or output that the caller has closed stays a number that no file may take: a book opened as number 1 would
/// get the report. Reading or writing there fails, and is told where somebody still listens.
void keep_closed_streams_closed() {
  for (const int stream : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO})
    if (::fcntl(stream, F_GETFD) < 0) ::open("/dev/null", stream == STDIN_FILENO ? O_WRONLY : O_RDONLY);
}

/// What was to be told on standard error and found nobody is no success either.
int with_errors_told(int status) {
  std::cerr << std::flush;
  const bool told = std::cerr.good() && std::ferror(stderr) == 0;
  return told || status != tierce::kFine ? status : tierce::kBadInput;
}

}  // namespace

int main(int argc, char** argv) {
  keep_closed_streams_closed();
  tierce::start_messages();
  std::signal(SIGXFSZ, SIG_IGN);  // a file that may grow no further is an error to report, not a reason to die
  try {
    const tierce::ParsedOptions parsed = tierce::parse_options({argv + 1, argv + argc});
    if (!parsed.show.empty()) return tierce::deliver("", parsed.show, std::cout);
    if (!parsed.error.empty()) {
      tierce::say_error(parsed.error);
      return tierce::kBadInput;
    }
    return with_errors_told(tierce::run_command(parsed.options, std::cout, std::cerr));
  } catch (const std::exception& error) {
    tierce::say_our_fault(error.what());
    return tierce::kOurBug;
  }
}
