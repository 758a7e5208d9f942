#include "cli/io/messages.h"

#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>

#include "cli/io/characters.h"

namespace tierce {

void start_messages() {
  spdlog::set_default_logger(spdlog::stderr_logger_st("tierce"));
  spdlog::set_pattern("tierce: %l: %v");
}

namespace {

// Arguments and names of files stand in messages. A string_view is taken as it stands: a brace in it is no format.
void say(spdlog::level::level_enum level, const std::string& what) {
  const std::string said = fit_for_a_line(what);
  spdlog::log(level, std::string_view(said));
}

}  // namespace

void say_error(const std::string& what) { say(spdlog::level::err, what); }
void say_warning(const std::string& what) { say(spdlog::level::warn, what); }
void say_progress(const std::string& what) { say(spdlog::level::info, what); }
void say_our_fault(const std::string& what) {
  say(spdlog::level::critical, "a fault of this program, please report it: " + what);
}

}  // namespace tierce
