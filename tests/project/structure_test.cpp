// The shape that DEVELOPERS.md promises: the engine reads, prints and remembers nothing; files depend one way.
#include <gtest/gtest.h>

#include <algorithm>
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
  for (const auto& entry : fs::recursive_directory_iterator(fs::path(TIERCE_SOURCE_DIR) / folder))
    if (entry.path().extension() == ".h" || entry.path().extension() == ".cpp") files.push_back(entry.path());
  return files;
}

/// As an include names it: "engine/run/stock.h".
std::string name_of(const fs::path& file) { return fs::relative(file, TIERCE_SOURCE_DIR).generic_string(); }

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
  // The room of plans searches and chooses with libraries for that.
  const auto of_plans = [](const fs::path& file, const std::string& name) {
    return name_of(file).starts_with("engine/plan/") &&
           (name.starts_with("boost/math/") || name == "coin/ClpSimplex.hpp");
  };
  const std::set<std::string> loud = {"fstream", "iostream", "filesystem", "chrono", "cstdio", "ostream",
                                      "istream", "sstream",  "ctime",      "thread", "random"};
  ASSERT_GT(sources_in("engine").size(), 10u);
  for (const fs::path& file : sources_in("engine"))
    for (const std::string& name : includes_of(file)) {
      const bool own = name.starts_with("engine/"), eigen = name.starts_with("Eigen/");
      const bool standard =
          name.find('/') == std::string::npos && name.find('.') == std::string::npos && !loud.contains(name);
      EXPECT_TRUE(own || eigen || standard || of_plans(file, name)) << name_of(file) << " includes " << name;
    }
}

// From the lowest to the highest: each room uses only those before it, and itself.
const std::vector<std::string> kRooms = {"engine/wine",  "engine/book", "engine/run", "engine/measure",
                                         "engine/rules", "engine/plan", "cli/io",     "cli/read",
                                         "cli/write",    "cli/report",  "cli/record", "cli/command"};

/// Which room a file stands in; one past the last where it stands in none, as main.cpp.
std::size_t room_of(const std::string& file) {
  std::size_t room = 0;
  while (room < kRooms.size() && !file.starts_with(kRooms[room] + "/")) ++room;
  return room;
}

TEST(Structure, EachRoomUsesOnlyTheRoomsBelowIt) {
  std::set<std::size_t> seen;
  for (const std::string folder : {"engine", "cli"})
    for (const fs::path& file : sources_in(folder)) {
      const std::string name = name_of(file);
      seen.insert(room_of(name));
      if (room_of(name) == kRooms.size() && name != "cli/data/rules/pack.cpp") {  // a step of the build
        EXPECT_EQ(name, "cli/main.cpp") << "stands in no room";
      }
      for (const std::string& used : includes_of(file)) {
        if (!used.starts_with("engine/") && !used.starts_with("cli/")) continue;
        EXPECT_LE(room_of(used), room_of(name)) << name << " uses " << used << ", which lies above it";
      }
    }
  EXPECT_EQ(seen.size(), kRooms.size() + 1) << "a room is empty";
}

TEST(Structure, NoRoomHasMoreThanFortySources) {
  std::map<std::string, int> sources;
  for (const std::string folder : {"engine", "cli", "tests"})
    for (const fs::path& file : sources_in(folder))
      if (file.extension() == ".cpp") ++sources[fs::path(name_of(file)).parent_path().generic_string()];
  for (const auto& [folder, count] : sources) EXPECT_LE(count, 40) << folder;
}

TEST(Structure, HeadersFormNoCycle) {
  std::map<std::string, std::set<std::string>> uses;
  for (const std::string folder : {"engine", "cli"})
    for (const fs::path& file : sources_in(folder))
      if (file.extension() == ".h") uses[name_of(file)] = includes_of(file);
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

std::vector<std::string> lines_of(const fs::path& file) {
  std::vector<std::string> lines;
  std::ifstream in(file);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

// Longer for a reason, by the name of the file.
const std::map<std::string, std::string> kLongFiles = {
    {"sulfur_test.cpp", "one table after the other; each test stands beside the source of its table"},
    {"scenario.h", "all that a file may state, in one place"},
    {"random_cellar.cpp", "every act of a random log, which share their draws of chance"}};

// Longer for a reason, by how they begin.
const std::map<std::string, std::string> kLongFunctions = {
    {"std::vector<Key> own_keys(", "a table of the keys of every verb"},
    {"const Section& scenario() {", "a table of the keys of a file"},
    {"const std::vector<Command>& commands() {", "a table of every command"},
    {"const std::vector<LabelQuantity>& label_quantities(", "a table of every quantity"},
    {"const std::vector<Style>& styles(", "a table of the ways in which a file may be written"},
    {"std::optional<double> least_cost(", "every corner of a polytope, in loops inside one another"},
    {"TEST(LotChoice, IsAsCheapAsTheCheapestCornerOfAll)",
     "one random task, made, solved and held against its corners"}};

TEST(Structure, SourceFilesStayUnderFourHundredLines) {
  for (const std::string folder : {"engine", "cli", "tests"})
    for (const fs::path& file : sources_in(folder))
      EXPECT_TRUE(lines_of(file).size() <= 400 || kLongFiles.contains(file.filename().string())) << file.filename();
}

/// The line on which a function begins, at the margin or in a class; clang-format has put its end at the same indent.
bool begins_function(const std::vector<std::string>& lines, std::size_t at) {
  static const std::regex kOpens(R"(^( {0,2})(?!namespace|struct|class|enum|union|extern|//|\})\S.*[^=]\{$)");
  if (!std::regex_search(lines[at], kOpens) || lines[at].ends_with("= {")) return false;
  for (std::size_t line = at < 3 ? 0 : at - 3; line <= at; ++line)
    if (lines[line].find('(') != std::string::npos) return true;
  return false;
}

TEST(Structure, FunctionsStayUnderFortyLines) {
  std::size_t functions = 0;
  for (const std::string folder : {"engine", "cli", "tests"})
    for (const fs::path& file : sources_in(folder)) {
      const std::vector<std::string> lines = lines_of(file);
      for (std::size_t at = 0; at < lines.size(); ++at) {
        if (!begins_function(lines, at)) continue;
        const std::string close = lines[at].substr(0, lines[at].find_first_not_of(' ')) + '}';
        std::size_t end = at + 1;
        while (end < lines.size() && !lines[end].starts_with(close)) ++end;
        ++functions;
        const bool reason = std::any_of(kLongFunctions.begin(), kLongFunctions.end(),
                                        [&](const auto& one) { return lines[at].starts_with(one.first); });
        EXPECT_TRUE(reason || end - at + 1 <= 40) << file.filename() << ':' << at + 1 << ": " << lines[at];
        at = end;  // what stands inside is part of it
      }
    }
  EXPECT_GT(functions, 1500u);  // else they are not seen
}

}  // namespace
}  // namespace tierce
