#include <csignal>
#include <exception>
#include <iostream>
#include <string>
#include <vector>

#include "cli/commands.h"
#include "cli/messages.h"
#include "cli/options.h"

int main(int argc, char** argv) {
  tierce::start_messages();
  std::signal(SIGXFSZ, SIG_IGN);  // a file that may grow no further is an error to report, not a reason to die
  try {
    const tierce::ParsedOptions parsed = tierce::parse_options({argv + 1, argv + argc});
    if (!parsed.show.empty()) {
      std::cout << parsed.show;
      return tierce::kFine;
    }
    if (!parsed.error.empty()) {
      tierce::say_error(parsed.error);
      return tierce::kBadInput;
    }
    return tierce::run_command(parsed.options, std::cout, std::cerr);
  } catch (const std::exception& error) {
    tierce::say_our_fault(error.what());
    return tierce::kOurBug;
  }
}
