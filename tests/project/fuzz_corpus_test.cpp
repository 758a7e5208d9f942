// The files that the fuzzers kept: those that once went wrong, and a few that reach far. tests/fuzz/run.sh looks for
// more.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <iterator>

#include "tests/fuzz/eat.h"

namespace tierce::fuzz {
namespace {

namespace fs = std::filesystem;

std::string bytes_of(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

// Two seconds are for the optimised program on a machine that does nothing else; see limits_test.
TEST(FuzzCorpus, IsEatenWithoutAnythingBroken) {
  for (const Target& target : targets()) {
    int files = 0;
    for (const auto& entry :
         fs::directory_iterator(fs::path(TIERCE_SOURCE_DIR) / "tests" / "fuzz" / "corpus" / target.name)) {
      SCOPED_TRACE(entry.path().string());
      ++files;
      EXPECT_NO_THROW(target.eat(bytes_of(entry.path())));
    }
    EXPECT_GE(files, 5) << target.name;
  }
}

}  // namespace
}  // namespace tierce::fuzz
