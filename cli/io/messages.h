// What the program says beside its reports, on stderr: `tierce: error: ...`. The only file that knows spdlog, whose
// templates take seconds to compile wherever they are used.
#pragma once

#include <string>

namespace tierce {

void start_messages();
void say_error(const std::string& what);
void say_warning(const std::string& what);
void say_progress(const std::string& what);  // of what takes longer than a second
void say_our_fault(const std::string& what);

}  // namespace tierce
