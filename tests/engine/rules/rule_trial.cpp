#include "tests/engine/rules/rule_trial.h"

#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "tests/cli/command/program.h"

namespace tierce::test {

File::File(const std::string& text, const std::string& name) {
  const auto* test = testing::UnitTest::GetInstance()->current_test_info();  // the tests run side by side
  const auto folder = std::filesystem::temp_directory_path() / (std::string("tierce-rules-") + test->name());
  std::filesystem::create_directories(folder);
  path_ = folder / name;
  std::ofstream(path_) << text;
}

File::~File() { std::filesystem::remove(path_); }

nlohmann::json json_of(const std::string& command, const File& file) {
  const auto said = run_program(command + " --json " + file.path());
  EXPECT_LE(said.status, 1) << said.err;
  return said.out.empty() ? nlohmann::json() : nlohmann::json::parse(said.out);
}

std::string flowing(const std::string& page) {
  std::istringstream words(page);
  std::string text;
  for (std::string word; words >> word;) text += (text.empty() ? "" : " ") + word;
  return text;
}

}  // namespace tierce::test
