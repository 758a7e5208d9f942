#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>

#include <csignal>
#include <exception>
#include <iostream>
#include <string>
#include <vector>

#include "cli/commands.h"
#include "cli/options.h"

int main(int argc, char** argv) {
  spdlog::set_default_logger(spdlog::stderr_logger_st("tierce"));
  spdlog::set_pattern("tierce: %l: %v");
  std::signal(SIGXFSZ, SIG_IGN);  // a file that may grow no further is an error to report, not a reason to die
  try {
    const tierce::ParsedOptions parsed = tierce::parse_options({argv + 1, argv + argc});
    if (!parsed.show.empty()) {
      std::cout << parsed.show;
      return tierce::kFine;
    }
    if (!parsed.error.empty()) {
      spdlog::error("{}", parsed.error);
      return tierce::kBadInput;
    }
    return tierce::run_command(parsed.options, std::cout, std::cerr);
  } catch (const std::exception& error) {
    spdlog::critical("a fault of this program, please report it: {}", error.what());
    return tierce::kOurBug;
  }
}
