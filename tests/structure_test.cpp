// The shape that DEVELOPERS.md promises: the engine reads, prints and remembers nothing; files depend one way.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <functional>
#include <map>
#include <regex>
#include <set>

namespace tierce {
namespace {

namespace fs = std::filesystem;

std::vector<fs::path> sources_in(const std::string& folder) {
  std::vector<fs::path> files;
  for (const auto& entry : fs::directory_iterator(fs::path(TIERCE_SOURCE_DIR) / folder))
    if (entry.path().extension() == ".h" || entry.path().extension() == ".cpp") files.push_back(entry.path());
  return files;
}

std::set<std::string> includes_of(const fs::path& file) {
  static const std::regex kInclude(R"(^\s*#\s*include\s*[<"]([^>"]+)[>"])");
  std::set<std::string> names;
  std::ifstream in(file);
  std::smatch match;
  for (std::string line; std::getline(in, line);)
    if (std::regex_search(line, match, kInclude)) names.insert(match[1]);
  return names;
}

TEST(Structure, TheEngineUsesOnlyEigenAndTheQuietPartOfTheStandardLibrary) {
  const std::set<std::string> loud = {"fstream", "iostream", "filesystem", "chrono", "cstdio", "ostream",
                                      "istream", "sstream",  "ctime",      "thread", "random"};
  ASSERT_GT(sources_in("engine").size(), 10u);
  for (const fs::path& file : sources_in("engine"))
    for (const std::string& name : includes_of(file)) {
      const bool own = name.starts_with("engine/"), eigen = name.starts_with("Eigen/");
      const bool standard =
          name.find('/') == std::string::npos && name.find('.') == std::string::npos && !loud.contains(name);
      EXPECT_TRUE(own || eigen || standard) << file.filename() << " includes " << name;
    }
}

TEST(Structure, EngineHeadersFormNoCycle) {
  std::map<std::string, std::set<std::string>> uses;
  for (const fs::path& file : sources_in("engine"))
    if (file.extension() == ".h") uses["engine/" + file.filename().string()] = includes_of(file);
  std::set<std::string> done, open;
  const std::function<void(const std::string&)> visit = [&](const std::string& name) {
    if (done.contains(name) || !uses.contains(name)) return;
    ASSERT_TRUE(open.insert(name).second) << "a cycle runs through " << name;
    for (const std::string& used : uses.at(name)) visit(used);
    open.erase(name);
    done.insert(name);
  };
  for (const auto& [name, used] : uses) visit(name);
}

TEST(Structure, SourceFilesStayUnderFourHundredLines) {
  for (const std::string folder : {"engine", "cli"})
    for (const fs::path& file : sources_in(folder)) {
      std::ifstream in(file);
      const auto lines = std::count(std::istreambuf_iterator<char>(in), {}, '\n');
      EXPECT_LE(lines, 400) << file.filename();
    }
}

}  // namespace
}  // namespace tierce
