// Runs the program as its user does, and reads what it says.
#pragma once

#include <string>

namespace tierce::test {

struct Said {
  int status = -1;
  std::string out;
  std::string err;
};

/// Runs `tierce ARGUMENTS` through the shell, in the project's folder.
Said run_program(const std::string& arguments);
std::string read_file(const std::string& path);

}  // namespace tierce::test
