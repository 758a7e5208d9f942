// What is said of faulty files, to the letter: the cases and their messages stand in data/bad/*.txt.
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/command/commands.h"
#include "cli/read/load.h"
#include "cli/read/print_problems.h"
#include "cli/read/scenario_keys.h"
#include "cli/read/suggest.h"

namespace tierce {
namespace {

namespace fs = std::filesystem;

// What `@base` stands for: a sound reserve without a log, three lines.
constexpr const char* kBase =
    "reserve: Amber\n"
    "tiers: [{name: floor, vessels: [{name: F, count: 2, capacity: 225 L}], evaporation: 0 %/yr}]\n"
    "lots: [{name: GG21, vintage: 2021, alcohol: 18 %vol}]\n";

struct Case {
  std::string file, title;
  std::string text;  // of the scenario
  std::string said;
};

std::ostream& operator<<(std::ostream& out, const Case& one) { return out << one.file << ": " << one.title; }

/// What the marks in the data stand for: characters that cannot be seen, and lists that grow with the program.
std::string written_out(std::string line) {
  static const std::pair<std::string, std::string> kMarks[] = {
      {"<tab>", "\t"},
      {"<nbsp>", "\xC2\xA0"},
      {"<thin>", "\xE2\x80\xAF"},
      {"<cr>", "\r"},
      {"<esc>", "\x1B"},
      {"<keys of a scenario>", listed(keys::scenario().names())},
      {"<verbs>", listed(keys::verbs())}};
  for (const auto& [mark, meant] : kMarks)
    for (auto at = line.find(mark); at != std::string::npos; at = line.find(mark)) line.replace(at, mark.size(), meant);
  return line;
}

std::string without_last_blank_lines(std::string text) {
  while (text.ends_with("\n\n")) text.pop_back();
  return text == "\n" ? "" : text;
}

void read_cases(const fs::path& path, std::vector<Case>& cases) {
  std::ifstream in(path);
  bool said = false, begun = false;
  for (std::string line; std::getline(in, line);) {
    if (line.starts_with("@@ ")) {
      cases.push_back({path.filename().string(), line.substr(3), "", ""});
      said = false;
      begun = true;
    } else if (!begun) continue;  // what the file is about
    else if (line == "@>") said = true;
    else if (line == "@base") cases.back().text += kBase;
    else (said ? cases.back().said : cases.back().text) += written_out(line) + '\n';
  }
}

std::vector<Case> all_cases() {
  std::vector<fs::path> paths;
  for (const auto& entry : fs::directory_iterator(fs::path(TIERCE_TEST_DATA) / "bad"))
    if (entry.path().extension() == ".txt") paths.push_back(entry.path());
  std::sort(paths.begin(), paths.end());
  std::vector<Case> cases;
  for (const fs::path& path : paths) read_cases(path, cases);
  for (Case& one : cases) one.said = without_last_blank_lines(one.said);
  return cases;
}

LoadedScenario checked(const std::string& text) {
  std::vector<Problem> problems;
  Source source = source_from("bad.yaml", text, problems);
  if (!problems.empty()) return {std::move(source), {}, std::move(problems)};
  return check_source(std::move(source));
}

std::string said_of(const std::string& text) {
  const LoadedScenario loaded = checked(text);
  std::ostringstream out;
  print_problems(loaded.problems, loaded.source, out);
  return out.str();
}

class BadFile : public testing::TestWithParam<Case> {};

TEST_P(BadFile, GetsThisMessage) { EXPECT_EQ(said_of(GetParam().text), GetParam().said); }

std::string name_of(const testing::TestParamInfo<Case>& info) {
  std::string name = info.param.file.substr(0, info.param.file.find('.')) + '_';
  for (const char c : info.param.title) name += std::isalnum(static_cast<unsigned char>(c)) != 0 ? c : '_';
  return name;
}

INSTANTIATE_TEST_SUITE_P(Data, BadFile, testing::ValuesIn(all_cases()), name_of);

TEST(BadFiles, AreEnough) { EXPECT_GE(all_cases().size(), 120u); }

TEST(BadFiles, TheBaseOfTheCasesIsSound) { EXPECT_EQ(said_of(kBase), ""); }

// A file of its own for each test, removed afterwards.
class WrittenFile {
 public:
  WrittenFile(const std::string& name, const std::string& bytes)
      : folder_(fs::temp_directory_path() / ("tierce-" + name + "-" + std::to_string(::getpid()))) {
    fs::create_directories(folder_);
    std::ofstream(path(), std::ios::binary) << bytes;
  }
  ~WrittenFile() { fs::remove_all(folder_); }
  WrittenFile(const WrittenFile&) = delete;
  WrittenFile& operator=(const WrittenFile&) = delete;
  std::string path() const { return (folder_ / "bad.yaml").string(); }

 private:
  fs::path folder_;
};

struct Said {
  int status = -1;
  std::string out, err;
};

Said run(const std::string& command, const std::vector<std::string>& files, Format format = Format::text) {
  Options options;
  options.command = command;
  options.files = files;
  options.format = format;
  std::ostringstream out, err;
  Said result;
  result.status = run_command(options, out, err);
  result.out = out.str();
  result.err = err.str();
  return result;
}

TEST(ExitStatus, IsTwoForEveryBadFileUnderEveryCommand) {
  for (const Case& one : all_cases()) {
    SCOPED_TRACE(one.file + ": " + one.title);
    if (one.said.empty()) continue;  // sound.txt
    const WrittenFile file("status", one.text);
    for (const char* command : {"check", "stock", "age", "forecast"}) {
      const Said said = run(command, {file.path()});
      EXPECT_EQ(said.status, 2) << command;
      EXPECT_EQ(said.out, "") << command;
      EXPECT_NE(said.err, "") << command;
    }
  }
}

TEST(ExitStatus, IsNothingForASoundFile) {
  const WrittenFile file("sound", kBase);
  const Said said = run("check", {file.path()});
  EXPECT_EQ(said.status, 0);
  EXPECT_EQ(said.err, "");
}

TEST(ExitStatus, IsTwoForWhatIsNoFile) {
  const WrittenFile file("none", kBase);
  const std::string folder = fs::path(file.path()).parent_path().string();
  for (const std::string& path : {file.path() + "l", folder, std::string()}) {
    const Said said = run("check", {path});
    EXPECT_EQ(said.status, 2);
    EXPECT_EQ(said.out, "");
    EXPECT_EQ(said.err.find(path + ": "), 0u);
  }
}

TEST(ExitStatus, OfSeveralFilesIsTheWorst) {
  const WrittenFile sound("several-sound", kBase), faulty("several-faulty", "reserve: Amber\n");
  const Said said = run("check", {sound.path(), faulty.path()});
  EXPECT_EQ(said.status, 2);
  EXPECT_NE(said.err.find("a scenario has no 'tiers'"), std::string::npos);
  EXPECT_EQ(said.out, "");  // nobody would see that one is missing
}

TEST(Check, SaysTheSameInJson) {
  const WrittenFile file("json", std::string(kBase) + "weather: wet\n");
  const Said said = run("check", {file.path()}, Format::json);
  EXPECT_EQ(said.status, 2);
  const auto json = nlohmann::json::parse(said.out);
  EXPECT_EQ(json.at("sound"), false);
  ASSERT_EQ(json.at("problems").size(), 1u);
  EXPECT_EQ(json.at("problems")[0].at("line"), 4);
  EXPECT_EQ(json.at("problems")[0].at("column"), 1);
  EXPECT_EQ(json.at("problems")[0].at("what"), "unknown key 'weather' in a scenario");
}

// A name of Latin-1 bytes, and one that would colour the screen.
TEST(Check, ShowsAnyFileNameOnAnyScreenAndInJson) {
  for (const std::string name : {"cr\xE9mant.yaml", "\x1B[31m.yaml"})
    for (const Format format : {Format::text, Format::json}) {
      const Said said = run("check", {name}, format);
      EXPECT_EQ(said.status, 2);
      EXPECT_NE(said.err.find(name[0] == 'c' ? "cr\xEF\xBF\xBDmant" : "<U+001B>[31m"), std::string::npos) << said.err;
      EXPECT_EQ(said.err.find('\x1B'), std::string::npos);
    }
}

TEST(Check, NeverSendsAControlCharacterToTheScreen) {
  for (int code = 0; code < 0x20; ++code) {
    if (code == '\n') continue;
    for (const std::string& text :
         {"reserve: A" + std::string(1, static_cast<char>(code)) + "[31mB\n",
          "tiers: \"\\x" + std::string(code < 16 ? "0" : "1") + "0123456789abcdef"[code % 16] + "[31m\"\n"})
      for (const char c : said_of(text)) EXPECT_TRUE(c == '\n' || static_cast<unsigned char>(c) >= 0x20) << code;
  }
}

// Sizes that no person writes, but a script or a slip may.

TEST(LargeFile, WithTenThousandBracketsIsRefusedAndDoesNotCrash) {
  for (const std::string open : {"[", "{", "{a: ", "- ", "[{a: "}) {
    std::string text = "tiers: ";
    if (open == "- ") text += "\n  ";
    for (int i = 0; i < 10000; ++i) text += open;
    const auto problems = checked(text).problems;
    ASSERT_EQ(problems.size(), 1u) << open;
  }
  std::string closed = "tiers: " + std::string(10000, '[') + std::string(10000, ']');
  ASSERT_EQ(checked(closed).problems.size(), 1u);
  EXPECT_EQ(checked(closed).problems[0].what, "lists and maps stand too deep inside one another");
}

// The parser makes one empty document after the other from a comma that belongs to nothing.
TEST(LargeFile, MadeByTheParserWithoutEndIsLeftAfterTheSecondDocument) {
  for (const std::string text : {"---\n,", "reserve: Amber\n---\n]", "--- a\n--- b\n--- c\n"})
    EXPECT_FALSE(checked(text).problems.empty());
}

TEST(LargeFile, OfOneLineOfAMegabyteIsReadToItsEnd) {
  std::string text =
      "{reserve: Amber, tiers: [{name: floor, vessels: [{name: F, capacity: 1000000 L}], evaporation: 0 %/yr}], "
      "lots: [{name: Ä, vintage: 2021, alcohol: 18 %vol}], log: [";
  while (text.size() < 1000000) text += "{date: 2022-11-02, do: add, lot: Ä, to: floor, volume: 5}, ";
  const auto entries = static_cast<std::size_t>(std::count(text.begin(), text.end(), '{')) - 4;
  text += "]}\n";
  const LoadedScenario loaded = checked(text);
  ASSERT_EQ(loaded.problems.size(), entries);
  for (const Problem& problem : loaded.problems) ASSERT_EQ(problem.what, "'volume': '5' has no unit");
  std::ostringstream out;
  print_problems(loaded.problems, loaded.source, out);
  EXPECT_TRUE(out.str().ends_with("faults\n"));
}

TEST(LargeFile, OfFiftyThousandEntriesIsCheckedWhole) {
  std::string text =
      std::string(kBase) + "log:\n  - {date: 2021-11-02, do: add, lot: GG21, to: floor, volume: 300 L}\n";
  for (int i = 0; i < 49998; ++i)
    text += "  - {date: 2022-11-02, do: lose, from: floor, volume: 1 mL, cause: sample}\n";
  EXPECT_TRUE(checked(text).problems.empty());
  const auto problems = checked(text + "  - {date: 2022-11-02, do: lose, from: floor, volume: 300 L}\n").problems;
  ASSERT_EQ(problems.size(), 1u);
  EXPECT_EQ(problems[0].at.line, 50004);
}

TEST(LargeFile, OfFiftyThousandFaultsNamesThemAll) {
  std::string text = std::string(kBase) + "log:\n";
  for (int i = 0; i < 50000; ++i) text += "  - {date: 2022-11-02, do: lose, from: flor, volume: 1 L}\n";
  EXPECT_EQ(checked(text).problems.size(), 50000u);
}

}  // namespace
}  // namespace tierce
