// An entry comes into the log of a file in the file's own style, and nothing else changes. What is expected is written
// out by hand, as a careful person would have typed it.
#include "cli/record/log_text.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>

#include "cli/read/quantity_text.h"
#include "tests/cli/command/program.h"

namespace tierce {
namespace {

const std::string kHead =
    "reserve: Amber\n"
    "tiers: [{name: floor, vessels: [{name: F, count: 4, capacity: 225 L}]}]\n"
    "lots: [{name: GG21, vintage: 2021, alcohol: 18 %vol}]\n";

WrittenEntry gauge_of(const Date& date) {
  return {date, {{"date", iso_text(date)}, {"do", "gauge"}, {"tier", "floor"}, {"volume", "880 L"}}};
}
const std::string kNew = "{date: 2022-11-02, do: gauge, tier: floor, volume: 880 L}";

/// The file with a gauge of 2 Nov 2022.
std::string with_gauge(const std::string& bytes) {
  const AddedEntry added = add_to_log(bytes, gauge_of({2022, 11, 2}));
  return added.failure.empty() ? added.bytes : "FAILED: " + added.failure;
}

std::string with_line_ends(std::string text, const std::string& end) {
  for (auto at = text.find('\n'); at != std::string::npos; at = text.find('\n', at + end.size()))
    text.replace(at, 1, end);
  return text;
}

struct Style {
  const char* name;
  std::string before, after;  // the log and what follows it
};

const std::vector<Style>& styles() {
  static const std::vector<Style> kStyles = {
      {"LinesOfBraces", "log:\n  - {date: 2021-11-05, do: x}\n",
       "log:\n  - {date: 2021-11-05, do: x}\n  - " + kNew + "\n"},
      {"DashesAtTheMargin", "log:\n- {date: 2021-11-05, do: x}\nuntil: 2030\n",
       "log:\n- {date: 2021-11-05, do: x}\n- " + kNew + "\nuntil: 2030\n"},
      {"NoLastLineEnd", "log:\n  - {date: 2021-11-05, do: x}", "log:\n  - {date: 2021-11-05, do: x}\n  - " + kNew},
      {"KeysOnLines", "log:\n  - date: 2021-11-05\n    do: x\n\n# later\nuntil: 2030\n",
       "log:\n  - date: 2021-11-05\n    do: x\n  - date: 2022-11-02\n    do: gauge\n    tier: floor\n    volume: 880 "
       "L\n"
       "\n# later\nuntil: 2030\n"},
      {"CommentsStayWithTheirEntry",
       "log:\n  - {date: 2021-11-05, do: x}   # as poured\n    # by two men\n  # the next year\nuntil: 2030\n",
       "log:\n  - {date: 2021-11-05, do: x}   # as poured\n    # by two men\n  - " + kNew +
           "\n  # the next year\nuntil: 2030\n"},
      {"InItsPlaceByDate", "log:\n  - {date: 2021-11-05, do: x}\n\n  # 2023\n  - {date: 2023-01-01, do: y}\n",
       "log:\n  - {date: 2021-11-05, do: x}\n  - " + kNew + "\n\n  # 2023\n  - {date: 2023-01-01, do: y}\n"},
      {"BehindThoseOfItsDay", "log:\n  - {date: 2022-11-02, do: x}\n  - {date: 2023-01-01, do: y}\n",
       "log:\n  - {date: 2022-11-02, do: x}\n  - " + kNew + "\n  - {date: 2023-01-01, do: y}\n"},
      {"BeforeAllOthers", "log:   # all of it\n  # first\n  - {date: 2023-01-01, do: y}\n",
       "log:   # all of it\n  - " + kNew + "\n  # first\n  - {date: 2023-01-01, do: y}\n"},
      {"DashOnItsOwnLine", "log:\n  -\n    date: 2021-11-05\n    do: x\n  -\n    date: 2023-01-01\n    do: y\n",
       "log:\n  -\n    date: 2021-11-05\n    do: x\n  - date: 2022-11-02\n    do: gauge\n    tier: floor\n    volume: "
       "880 L\n"
       "  -\n    date: 2023-01-01\n    do: y\n"},
      {"ANoteOverManyLines", "log:\n  - date: 2021-11-05\n    note: |\n      one\n\n      # no comment\nuntil: 2030\n",
       "log:\n  - date: 2021-11-05\n    note: |\n      one\n\n      # no comment\n  - date: 2022-11-02\n    do: gauge\n"
       "    tier: floor\n    volume: 880 L\nuntil: 2030\n"},
      {"Brackets", "log: [{date: 2021-11-05, do: x}]\n", "log: [{date: 2021-11-05, do: x}, " + kNew + "]\n"},
      {"BracketsBefore", "log: [{date: 2023-11-05, do: x}]\n", "log: [" + kNew + ", {date: 2023-11-05, do: x}]\n"},
      {"BracketsOverLines", "log: [\n  {date: 2021-11-05, do: x}  # one\n]\n",
       "log: [\n  {date: 2021-11-05, do: x},  # one\n  " + kNew + "\n]\n"},
      {"BracketsWithALastComma", "log: [\n  {date: 2021-11-05, do: x},  # one\n]\n",
       "log: [\n  {date: 2021-11-05, do: x},  # one\n  " + kNew + ",\n]\n"},
      {"BracketsInTheMiddle", "log: [\n  {date: 2021-11-05, do: x}, # one\n  {date: 2023-11-05, do: x}]\n",
       "log: [\n  {date: 2021-11-05, do: x}, # one\n  " + kNew + ",\n  {date: 2023-11-05, do: x}]\n"},
      {"BracesInsideQuotes", "log: [{date: 2021-11-05, note: \"} ] \\\" {\", ref: 'it''s } # so'}]\n",
       "log: [{date: 2021-11-05, note: \"} ] \\\" {\", ref: 'it''s } # so'}, " + kNew + "]\n"},
      {"EmptyBrackets", "log: []  # nothing yet\n", "log: [" + kNew + "]  # nothing yet\n"},
      {"NothingYet", "log:\nuntil: 2030\n", "log:\n  - " + kNew + "\nuntil: 2030\n"},
      {"NoLog", "until: 2030\n", "log:\n  - " + kNew + "\nuntil: 2030\n"},
      {"NoLogAndNoMore", "", "log:\n  - " + kNew + "\n"},
      {"EndOfTheDocument", "log:\n  - {date: 2021-11-05, do: x}\n...\n",
       "log:\n  - {date: 2021-11-05, do: x}\n  - " + kNew + "\n...\n"},
  };
  return kStyles;
}

class LogStyle : public testing::TestWithParam<Style> {};

TEST_P(LogStyle, IsKept) { EXPECT_EQ(with_gauge(kHead + GetParam().before), kHead + GetParam().after); }

TEST_P(LogStyle, IsKeptWithTheLineEndsOfWindowsAndAMarkAtTheBeginning) {
  const std::string mark = "\xEF\xBB\xBF";
  EXPECT_EQ(with_gauge(mark + with_line_ends(kHead + GetParam().before, "\r\n")),
            mark + with_line_ends(kHead + GetParam().after, "\r\n"));
}

std::string name_of(const testing::TestParamInfo<Style>& one) { return one.param.name; }

INSTANTIATE_TEST_SUITE_P(Data, LogStyle, testing::ValuesIn(styles()), name_of);

TEST(LogText, AFileInBracesGetsItsLogThere) {
  const std::string rest = "reserve: Amber, tiers: [], lots: []}\n";
  EXPECT_EQ(with_gauge("{" + rest), "{log: [" + kNew + "], " + rest);
}

TEST(LogText, ANewLogComesBeforeWhatWillBeDone) {
  const std::string head = "reserve: Amber\n\nlots:\n  - {name: GG21}\n\n";
  const std::string habit = "# every year\nhabit: {day: 10 Feb}\n";
  EXPECT_EQ(with_gauge(head + habit),
            "reserve: Amber\n\nlots:\n  - {name: GG21}\n\nlog:\n  - " + kNew + "\n\n" + habit);
}

// Whatever day and file: taking the new text out again gives the old bytes back.
TEST(LogText, KeepsEveryOtherByteOfEveryScenario) {
  namespace fs = std::filesystem;
  std::size_t tried = 0;
  for (const char* folder : {"scenarios", "docs/examples"})
    for (const auto& file : fs::directory_iterator(fs::path(TIERCE_SOURCE_DIR) / folder)) {
      if (file.path().extension() != ".yaml") continue;
      SCOPED_TRACE(file.path().string());
      const std::string text = test::read_file(file.path().string());
      for (const std::string& old :
           {text, with_line_ends(text, "\r\n"), text.substr(0, text.find_last_not_of('\n') + 1)})
        for (const int year : {1800, 2023, 2026, 2100}) {
          const AddedEntry added = add_to_log(old, gauge_of({year, 11, 2}));
          ASSERT_EQ(added.failure, "");
          const std::string& now = added.bytes;
          const auto same = std::mismatch(old.begin(), old.end(), now.begin(), now.end()).first - old.begin();
          const auto more = static_cast<std::ptrdiff_t>(now.size() - old.size());
          ASSERT_GT(more, 0);
          EXPECT_EQ(now.substr(0, static_cast<std::size_t>(same)) + now.substr(static_cast<std::size_t>(same + more)),
                    old);
          ++tried;
        }
    }
  EXPECT_GE(tried, 80u);
}

// design.md: text that holds , : # { } [ ] or quotes stands in double quotes.
TEST(YamlValue, QuotesWhatYamlWouldReadOtherwise) {
  for (const char* plain : {"220 L", "Bottling 2027", "18.5 %vol", "500 x 375 mL", "-3 °C", "2027-02-10", "GG21/2026"})
    EXPECT_EQ(yaml_value(plain), plain);
  EXPECT_EQ(yaml_value("Bottling #2"), "\"Bottling #2\"");
  EXPECT_EQ(yaml_value("a, b: {c} [d]"), "\"a, b: {c} [d]\"");
  EXPECT_EQ(yaml_value("say \"no\" \\ never"), "\"say \\\"no\\\" \\\\ never\"");
  for (const char* odd : {"null", "~", "- x", "& x", "*x", "!x", "|", ">", "%x", "@x", "`x`", "? x", "'x'", ""})
    EXPECT_EQ(yaml_value(odd), '"' + std::string(odd) + '"');
}

// Read back, a value is what it was, in braces and on a line of its own.
TEST(YamlValue, IsReadBackAsItWas) {
  for (const std::string text :
       {"it's", "a # b", "x: y", "100 %", "é, ü", "{", "]", "\\n", "yes", "1.0", "=", "<<", "a:b"}) {
    std::vector<Problem> problems;
    const Node node = parse_yaml(source_from("", "{k: " + yaml_value(text) + "}", problems), problems);
    ASSERT_EQ(problems.size(), 0u) << text;
    EXPECT_EQ(node.entries.at(0).second.text, text);
  }
}

}  // namespace
}  // namespace tierce
