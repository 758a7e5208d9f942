#include "cli/messages.h"

#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>

namespace tierce {

void start_messages() {
  spdlog::set_default_logger(spdlog::stderr_logger_st("tierce"));
  spdlog::set_pattern("tierce: %l: %v");
}

// A string_view is taken as it stands: a brace in it is no format.
void say_error(const std::string& what) { spdlog::error(std::string_view(what)); }
void say_warning(const std::string& what) { spdlog::warn(std::string_view(what)); }
void say_progress(const std::string& what) { spdlog::info(std::string_view(what)); }
void say_our_fault(const std::string& what) {
  const std::string said = "a fault of this program, please report it: " + what;
  spdlog::critical(std::string_view(said));
}

}  // namespace tierce
