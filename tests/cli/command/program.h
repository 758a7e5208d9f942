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
/// Whether this run rewrites what the manual quotes instead of comparing it: ./tests/run.sh --update.
bool updating();
/// Replaces a file of the project, such as docs/label.md.
void rewrite(const std::string& file, const std::string& text);

}  // namespace tierce::test
