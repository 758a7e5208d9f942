// The manual tells the truth: what it shows being typed is typed, what it shows as a scenario is read, its tables of
// keys are those of the reader, and its links lead somewhere. A test that fails prints the text to paste instead.
#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <optional>
#include <regex>
#include <set>
#include <sstream>

#include "cli/read/load.h"
#include "cli/read/scenario_keys.h"
#include "tests/cli/command/program.h"

namespace tierce {
namespace {

namespace fs = std::filesystem;
using test::read_file;
using test::run_program;
using Lines = std::vector<std::string>;

constexpr std::size_t kLongestLine = 120;  // characters
const fs::path kProject = TIERCE_SOURCE_DIR;

Lines lines_of(const std::string& text) {
  Lines lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

std::string text_of_lines(const Lines& lines) {
  std::string text;
  for (const std::string& line : lines) text += line + '\n';
  return text;
}

/// Files of a folder of the project, such as scenarios/amber.yaml, in order.
std::vector<std::string> files_in(const std::string& folder, const std::string& ending) {
  std::vector<std::string> files;
  for (const auto& entry : fs::directory_iterator(kProject / folder))
    if (entry.path().extension() == ending) files.push_back(folder + "/" + entry.path().filename().string());
  std::sort(files.begin(), files.end());
  return files;
}

std::vector<std::string> documents() {
  std::vector<std::string> files = {"README.md", "DEVELOPERS.md"};
  for (const std::string& file : files_in("docs", ".md")) files.push_back(file);
  return files;
}

std::string text_of_file(const std::string& file) { return read_file((kProject / file).string()); }

/// What stands between ```language and ```.
struct Block {
  std::string file;
  std::size_t line = 0;  // of the opening mark, 1-based
  std::string language;
  Lines lines;
  std::string place() const { return file + ":" + std::to_string(line); }
};

std::vector<Block> blocks_of(const std::string& file) {
  std::vector<Block> blocks;
  bool inside = false;
  std::size_t number = 0;
  for (const std::string& line : lines_of(text_of_file(file))) {
    ++number;
    const bool mark = line.starts_with("```");
    if (mark && !inside) blocks.push_back({file, number, line.substr(3), {}});
    else if (!mark && inside) blocks.back().lines.push_back(line);
    if (mark) inside = !inside;
  }
  return blocks;
}

std::vector<Block> all_blocks(const std::string& language) {
  std::vector<Block> blocks;
  for (const std::string& file : documents())
    for (const Block& block : blocks_of(file))
      if (block.language == language) blocks.push_back(block);
  return blocks;
}

// Text outside of blocks: what Markdown reads as headings, tables and links.
Lines prose_of(const std::string& file) {
  Lines prose;
  bool inside = false;
  for (const std::string& line : lines_of(text_of_file(file))) {
    if (line.starts_with("```")) inside = !inside;
    else if (!inside) prose.push_back(line);
  }
  return prose;
}

// What is typed, and what the program answers.

/// A line `...` stands for lines left out; it may stand once, and last if the rest is left out.
Lines shortened_like(const Lines& shown, const Lines& real) {
  const auto cut = std::find(shown.begin(), shown.end(), "...");
  if (cut == shown.end()) return real;
  const auto before = std::min(real.size(), static_cast<std::size_t>(cut - shown.begin()));
  const auto after = std::min(real.size() - before, static_cast<std::size_t>(shown.end() - cut) - 1);
  Lines result(real.begin(), real.begin() + static_cast<std::ptrdiff_t>(before));
  result.emplace_back("...");
  result.insert(result.end(), real.end() - static_cast<std::ptrdiff_t>(after), real.end());
  return result;
}

/// The block as it should stand: each `$ tierce ...` followed by what the program says, reports first, then messages.
Lines answered(const Block& block) {
  const std::string prompt = "$ tierce ";
  Lines result;
  for (std::size_t i = 0; i < block.lines.size();) {
    const std::string typed = block.lines[i++];
    Lines shown;
    while (i < block.lines.size() && !block.lines[i].starts_with("$ ")) shown.push_back(block.lines[i++]);
    result.push_back(typed);
    if (typed.starts_with(prompt)) {
      const auto said = run_program(typed.substr(prompt.size()));
      shown = shortened_like(shown, lines_of(said.out + said.err));
    }
    result.insert(result.end(), shown.begin(), shown.end());
  }
  return result;
}

/// Puts other lines into a block of the manual. Of a file's blocks the last comes first: the places of the others stay.
void rewrite_block(const Block& block, const Lines& wanted) {
  Lines lines = lines_of(text_of_file(block.file));
  const auto begin = lines.begin() + static_cast<std::ptrdiff_t>(block.line);
  const auto rest = lines.erase(begin, begin + static_cast<std::ptrdiff_t>(block.lines.size()));
  lines.insert(rest, wanted.begin(), wanted.end());
  test::rewrite(block.file, text_of_lines(lines));
}

TEST(Manual, EveryConsoleBlockIsWhatTheProgramSays) {
  auto blocks = all_blocks("console");
  ASSERT_GE(blocks.size(), 5u);
  std::reverse(blocks.begin(), blocks.end());
  for (const Block& block : blocks) {
    const Lines wanted = answered(block);
    if (test::updating()) {
      rewrite_block(block, wanted);
      continue;
    }
    EXPECT_TRUE(block.lines == wanted) << block.place() << ": the program says something else. The block should be:\n\n"
                                       << "```console\n"
                                       << text_of_lines(wanted) << "```\n";
  }
}

// Scenarios that are shown.

std::string faults_in(const std::string& name, const std::string& text) {
  std::vector<Problem> problems;
  Source source = source_from(name, text, problems);
  if (problems.empty()) problems = check_source(std::move(source)).problems;
  std::string faults;
  for (const Problem& problem : problems)
    faults += "line " + std::to_string(problem.at.line) + ": " + problem.what + " (" + problem.allowed + ")\n";
  return faults;
}

/// An example made to be faulty says so in its first line.
bool is_faulty_on_purpose(const std::string& text) { return text.starts_with("# Faulty on purpose"); }

bool is_whole_scenario(const Block& block) {
  const auto first = std::find_if(block.lines.begin(), block.lines.end(),
                                  [](const std::string& line) { return !line.empty() && !line.starts_with("#"); });
  return first != block.lines.end() && first->starts_with("reserve:");
}

TEST(Manual, EveryWholeScenarioItShowsIsSound) {
  std::size_t whole = 0;
  for (const Block& block : all_blocks("yaml")) {
    if (!is_whole_scenario(block) || is_faulty_on_purpose(text_of_lines(block.lines))) continue;
    ++whole;
    EXPECT_EQ(faults_in(block.place(), text_of_lines(block.lines)), "") << block.place();
  }
  EXPECT_GE(whole, 3u);
}

TEST(Manual, EveryExampleFileIsShownAndSound) {
  std::set<std::string> shown;
  for (const Block& block : all_blocks("yaml")) shown.insert(text_of_lines(block.lines));
  for (const std::string& file : files_in("docs/examples", ".yaml")) {
    const std::string text = text_of_file(file);
    EXPECT_EQ(faults_in(file, text).empty(), !is_faulty_on_purpose(text)) << file << '\n' << faults_in(file, text);
    EXPECT_TRUE(shown.contains(text)) << file << " stands in no ```yaml block, letter for letter";
  }
}

TEST(Manual, NamesEveryScenarioAndEveryCommand) {
  const std::string readme = text_of_file("README.md"), text = readme + text_of_file("docs/scenario.md");
  for (const std::string& file : files_in("scenarios", ".yaml"))
    EXPECT_NE(text.find(file), std::string::npos) << file << " is in neither README.md nor docs/scenario.md";
  static const std::regex kCommand(R"(^  ([a-z]+)  +\S)");
  std::smatch match;
  for (const std::string& line : lines_of(run_program("--help").out)) {
    if (!std::regex_search(line, match, kCommand)) continue;
    EXPECT_NE(readme.find("`tierce " + match[1].str()), std::string::npos) << "README.md: " << match[1];
  }
}

// Keys of the scenario file.

std::size_t characters(const std::string& text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80u; }));
}

std::string form_text(const Key& key) {
  const auto with_range = [&](const std::string& form) {
    const std::string range = allowed_text(key);
    return range == "any number" ? form : form + "; " + range;
  };
  switch (key.form) {
    case Form::quantity: return with_range(units_text(key.measure));
    case Form::number: return with_range("number");
    case Form::whole: return with_range("whole number");
    case Form::date: return "date";
    case Form::day_of_year: return "day of the year";
    case Form::map: return "map";
    case Form::list: return "list";
    case Form::text:
    case Form::special:
    case Form::choice: break;
  }
  if (key.choices.empty()) return "text";
  std::string choices;
  for (const std::string& choice : key.choices) choices += (choices.empty() ? "" : ", ") + choice;
  return choices;
}

std::string row_of(const Key& key, const std::string& left_out, const std::string& meaning) {
  return "| `" + key.name + "` | " + form_text(key) + " | " + left_out + " | " + meaning + " |";
}

std::string left_out_text(const Section& section, const Key& key) {
  if (&section == &keys::except()) return "as in other years";
  if (key.required) return "**required**";
  return key.standard.empty() ? "-" : key.standard;
}

/// One section as a table; a meaning too long for its row stands under the table.
Lines table_of(const Section& section) {
  Lines table = {"| key | value | if left out | meaning |", "| --- | --- | --- | --- |"};
  Lines notes;
  for (const Key& key : section.keys) {
    const std::string left_out = left_out_text(section, key);
    std::string row = row_of(key, left_out, key.meaning);
    if (characters(row) > kLongestLine) {
      notes.push_back("`" + key.name + "`: " + key.meaning + ".");
      row = row_of(key, left_out, "see below");
    }
    table.push_back(row);
  }
  for (const std::string& note : notes) {
    table.emplace_back("");
    table.push_back(note);
  }
  return table;
}

/// What stands in docs/scenario.md between the marks of a section.
std::optional<Lines> table_shown(const Lines& lines, const std::string& mark) {
  auto begin = std::find(lines.begin(), lines.end(), mark);
  if (begin == lines.end()) return std::nullopt;
  const auto end = std::find(++begin, lines.end(), "<!-- end of keys -->");
  return Lines(begin, end);
}

/// Puts the table of a section between its marks, which stand in docs/scenario.md already.
void rewrite_table(const std::string& mark, const Lines& wanted) {
  Lines lines = lines_of(text_of_file("docs/scenario.md"));
  auto begin = std::find(lines.begin(), lines.end(), mark);
  ASSERT_NE(begin, lines.end()) << "docs/scenario.md needs the marks\n" << mark << "\n<!-- end of keys -->";
  const auto rest = lines.erase(begin + 1, std::find(begin, lines.end(), "<!-- end of keys -->"));
  lines.insert(rest, wanted.begin(), wanted.end());
  test::rewrite("docs/scenario.md", text_of_lines(lines));
}

TEST(Manual, TablesOfKeysAreThoseOfTheReader) {
  for (const Section* section : keys::all()) {
    const std::string mark = "<!-- keys of " + section->name + " -->";
    const Lines wanted = table_of(*section);
    if (test::updating()) rewrite_table(mark, wanted);
    const auto shown = table_shown(lines_of(text_of_file("docs/scenario.md")), mark);
    EXPECT_TRUE(shown && *shown == wanted) << "docs/scenario.md should hold:\n\n"
                                           << mark << '\n'
                                           << text_of_lines(wanted) << "<!-- end of keys -->\n";
  }
}

TEST(Manual, NamesEveryUnit) {
  const std::string text = text_of_file("docs/scenario.md");
  for (const Section* section : keys::all())
    for (const Key& key : section->keys) {
      if (key.form != Form::quantity) continue;
      for (const Unit& unit : units_of(key.measure))
        EXPECT_NE(text.find("`" + unit.name + "`"), std::string::npos) << "docs/scenario.md: unit " << unit.name;
    }
}

// Links, sources, lines.

/// The anchor that a heading gets: small letters, no punctuation, hyphens for spaces.
std::string anchor_of(const std::string& heading) {
  std::string anchor;
  for (const char c : heading) {
    const auto byte = static_cast<unsigned char>(c);
    const bool letter = std::isalnum(byte) != 0 || byte >= 0x80;
    if (letter || c == '-' || c == '_') anchor += static_cast<char>(std::tolower(byte));
    else if (c == ' ') anchor += '-';
  }
  return anchor;
}

std::set<std::string> anchors_of(const std::string& file) {
  std::set<std::string> anchors;
  for (const std::string& line : prose_of(file))
    if (line.starts_with("#")) anchors.insert(anchor_of(line.substr(line.find_first_not_of('#') + 1)));
  return anchors;
}

void check_link(const std::string& file, const std::string& path, const std::string& anchor) {
  if (path.find("://") != std::string::npos) return;
  const fs::path target = path.empty() ? fs::path(file) : (fs::path(file).parent_path() / path).lexically_normal();
  EXPECT_TRUE(fs::exists(kProject / target)) << file << ": there is no " << target;
  if (anchor.empty()) return;
  EXPECT_TRUE(anchors_of(target.string()).contains(anchor)) << file << ": " << target << " has no heading " << anchor;
}

TEST(Manual, LinksLeadSomewhere) {
  static const std::regex kLink(R"(\[[^\]]*\]\(([^)#\s]*)#?([^)\s]*)\))");
  for (const std::string& file : documents())
    for (const std::string& line : prose_of(file))
      for (std::sregex_iterator link(line.begin(), line.end(), kLink), end; link != end; ++link)
        check_link(file, (*link)[1], (*link)[2]);
}

/// What DEVELOPERS.md says of a room; empty if nothing.
std::string said_of(const std::string& developers, const std::string& room) {
  const auto from = developers.find("- `" + room + "`: ");
  if (from == std::string::npos) return "";
  return developers.substr(from, std::min(developers.find("\n- ", from), developers.find("\n\n", from)) - from);
}

TEST(Manual, DevelopersMdListsEveryHeaderInItsRoom) {
  const std::string developers = text_of_file("DEVELOPERS.md");
  for (const std::string folder : {"engine", "cli"})
    for (const auto& entry : fs::recursive_directory_iterator(fs::path(TIERCE_SOURCE_DIR) / folder)) {
      if (entry.path().extension() != ".h") continue;
      const std::string room = fs::relative(entry.path().parent_path(), TIERCE_SOURCE_DIR).generic_string();
      EXPECT_NE(said_of(developers, room).find("`" + entry.path().stem().string() + "`"), std::string::npos)
          << "DEVELOPERS.md does not list " << entry.path().filename() << " in the room " << room;
    }
}

TEST(Manual, NamesTheSourceOfEveryTableOfTestData) {
  const std::string text = text_of_file("docs/sources.md");
  for (const std::string& file : files_in("tests/data", ".csv")) {
    const std::string name = fs::path(file).filename().string();
    EXPECT_NE(text.find("`" + name + "`"), std::string::npos) << "docs/sources.md does not name " << name;
  }
}

TEST(Manual, HoldsEverySourceThatTheCodePointsTo) {
  static const std::regex kPointer(R"(docs/sources\.md \[([a-z0-9-]+)\])");
  const std::string text = text_of_file("docs/sources.md");
  for (const std::string folder : {"engine", "cli"})
    for (const std::string ending : {".h", ".cpp"})
      for (const std::string& file : files_in(folder, ending)) {
        const std::string code = text_of_file(file);
        for (std::sregex_iterator key(code.begin(), code.end(), kPointer), end; key != end; ++key)
          EXPECT_NE(text.find("[" + (*key)[1].str() + "]"), std::string::npos) << file << " points to " << (*key)[0];
      }
}

TEST(Manual, FitsThePage) {
  for (const std::string& file : documents()) {
    std::size_t number = 0;
    bool said = false;  // what the program says is as long as it is
    for (const std::string& line : lines_of(text_of_file(file))) {
      ++number;
      if (line.starts_with("```")) said = line == "```console";
      EXPECT_TRUE(said || characters(line) <= kLongestLine) << file << ':' << number << ": " << line;
    }
  }
}

}  // namespace
}  // namespace tierce
