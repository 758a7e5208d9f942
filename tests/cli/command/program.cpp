#include "tests/cli/command/program.h"

#include <sys/wait.h>
#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace tierce::test {

std::string read_file(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

bool updating() { return std::getenv("TIERCE_UPDATE") != nullptr; }

void rewrite(const std::string& file, const std::string& text) {
  std::ofstream(std::string(TIERCE_SOURCE_DIR) + "/" + file, std::ios::binary) << text;
}

Said run_program(const std::string& arguments) {
  namespace fs = std::filesystem;
  const fs::path folder = fs::temp_directory_path() / ("tierce-test-" + std::to_string(::getpid()));
  fs::create_directories(folder);
  const std::string out = (folder / "out").string(), err = (folder / "err").string();
  const std::string command = std::string("cd '") + TIERCE_SOURCE_DIR + "' && '" + TIERCE_PROGRAM + "' " + arguments +
                              " >'" + out + "' 2>'" + err + "'";
  const int status = std::system(command.c_str());
  Said said{WIFEXITED(status) ? WEXITSTATUS(status) : -1, read_file(out), read_file(err)};
  fs::remove_all(folder);
  return said;
}

}  // namespace tierce::test
