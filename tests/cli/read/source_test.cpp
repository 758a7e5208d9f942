// A file becomes text: encodings, line ends, characters that cannot be seen, and what is no file at all.
#include "cli/read/source.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>

namespace tierce {
namespace {

namespace fs = std::filesystem;

struct Checked {
  Source source;
  std::vector<Problem> problems;
};

Checked text_from(const std::string& bytes) {
  Checked checked;
  checked.source = source_from("bad.yaml", bytes, checked.problems);
  return checked;
}

/// The one problem with these bytes.
Problem problem_of(const std::string& bytes) {
  const auto problems = text_from(bytes).problems;
  EXPECT_EQ(problems.size(), 1u);
  return problems.empty() ? Problem{} : problems[0];
}

void expect(const Problem& problem, int line, int column, const std::string& what) {
  EXPECT_EQ(problem.at.line, line);
  EXPECT_EQ(problem.at.column, column);
  EXPECT_EQ(problem.what, what);
}

TEST(Source, TakesEveryLineEndAndDropsTheByteOrderMark) {
  const std::vector<std::string> lines = {"a: 1", "b: 2"};
  for (const std::string bytes : {"a: 1\nb: 2\n", "a: 1\r\nb: 2\r\n", "a: 1\rb: 2\r", "a: 1\r\nb: 2",
                                  "\xEF\xBB\xBF"
                                  "a: 1\nb: 2\n"}) {
    const Checked checked = text_from(bytes);
    EXPECT_TRUE(checked.problems.empty());
    EXPECT_EQ(checked.source.lines, lines);
  }
}

TEST(Source, CountsEmptyLines) {
  const std::vector<std::string> lines = {"a: 1", "", "", "b: 2"};
  EXPECT_EQ(text_from("a: 1\n\n\nb: 2\n").source.lines, lines);
  EXPECT_EQ(text_from("a: 1\r\n\r\n\r\nb: 2\r\n").source.lines, lines);
}

TEST(Source, RefusesNothingAndOnlyComments) {
  for (const std::string bytes : {"", "\n", "  \n\t\n", "\xEF\xBB\xBF", "\r\n\r\n"})
    expect(problem_of(bytes), 0, 0, "the file is empty");
  for (const std::string bytes : {"# Amber", "# Amber\n\n   # more\r\n"})
    expect(problem_of(bytes), 1, 1, "the file holds nothing but comments");
}

TEST(Source, RefusesOtherEncodings) {
  EXPECT_EQ(problem_of(std::string("\xFF\xFE"
                                   "a\0",
                                   4))
                .what,
            "this is UTF-16, not UTF-8 text");
  EXPECT_EQ(problem_of(std::string("\xFE\xFF"
                                   "\0a",
                                   4))
                .what,
            "this is UTF-16, not UTF-8 text");
  expect(problem_of(std::string("a\0:\0", 4)), 1, 2,
         "a zero byte stands here, so this is not a text file");                         // UTF-16, no mark
  expect(problem_of("reserve: A\nlots: Cr\xE9mant\n"), 2, 9, "this is not UTF-8 text");  // Latin-1
  expect(problem_of("reserve: \x93"
                    "Amber\x94\n"),
         1, 10, "this is not UTF-8 text");  // Windows quotes
}

// RFC 3629, section 4: no overlong forms, no surrogates, nothing above U+10FFFF, no lone continuation.
TEST(Source, RefusesWhatOnlyLooksLikeUtf8) {
  for (const std::string bytes : {"\xC0\x80", "\xC1\xBF", "\xE0\x80\x80", "\xE0\x9F\xBF", "\xF0\x80\x80\x80",
                                  "\xF0\x8F\xBF\xBF", "\xED\xA0\x80", "\xED\xBF\xBF", "\xF4\x90\x80\x80",
                                  "\xF5\x80\x80\x80", "\xFF", "\x80", "\xBF", "\xC3", "\xE2\x82", "\xF0\x9F\x8D"})
    expect(problem_of("a: " + bytes), 1, 4, "this is not UTF-8 text");
  for (const std::string bytes :
       {"\xC2\xA1", "\xDF\xBF", "\xE0\xA0\x80", "\xED\x9F\xBF", "\xEE\x80\x80", "\xF0\x90\x80\x80", "\xF4\x8F\xBF\xBD"})
    EXPECT_TRUE(text_from("a: " + bytes).problems.empty());
}

TEST(Source, RefusesCharactersThatSteerAScreenOrCannotBeSeen) {
  expect(problem_of("a: x\x1B[31m"), 1, 5, "a control character (U+001B) stands here");
  expect(problem_of("a: x\x7F"), 1, 5, "a control character (U+007F) stands here");
  expect(problem_of("a: é\xC2\x9B"
                    "31m"),
         1, 5, "a control character (U+009B) stands here");
  expect(problem_of("a: \xE2\x80\xAE"
                    "x"),
         1, 4, "a hidden change of direction (U+202E) stands here");
  expect(problem_of("a: \xE2\x81\xA6"
                    "x"),
         1, 4, "a hidden change of direction (U+2066) stands here");
  expect(problem_of("a: x\xE2\x80\x8Bx"), 1, 5, "an invisible character (U+200B) stands here");
  expect(problem_of("a: x\nb: \xEF\xBB\xBF"
                    "x"),
         2, 4, "an invisible character (U+FEFF) stands here");
  expect(problem_of("a: x\xE2\x80\xA8y"), 1, 5, "a hidden line end (U+2028) stands here");
}

TEST(Source, ReportsEachOfThem) {
  const auto problems = text_from("a: x\x1By\x07\nb: \x08\n").problems;
  ASSERT_EQ(problems.size(), 3u);
  expect(problems[1], 1, 7, "a control character (U+0007) stands here");
  expect(problems[2], 2, 4, "a control character (U+0008) stands here");
}

TEST(Source, AllowsTabsNoBreakSpacesAndAllLetters) {
  EXPECT_TRUE(text_from("a:\t5\xC2\xA0L # \xE2\x80\xAF 桶 \xF0\x9F\x8D\xB7\n").problems.empty());
}

std::string what_of_file(const std::string& path) {
  std::vector<Problem> problems;
  load_source(path, problems);
  EXPECT_EQ(problems.size(), 1u);
  return problems.empty() ? "" : problems[0].what + "; " + problems[0].hint;
}

TEST(Source, SaysWhyAFileCannotBeRead) {
  const fs::path folder = fs::temp_directory_path() / ("tierce-source-test-" + std::to_string(::getpid()));
  fs::create_directories(folder);
  std::ofstream(folder / "amber.yaml") << "reserve: Amber\n";
  EXPECT_EQ(what_of_file((folder / "ambre.yaml").string()), "there is no such file; did you mean 'amber.yaml'?");
  EXPECT_EQ(what_of_file((folder / "weather.csv").string()), "there is no such file; ");
  EXPECT_EQ(what_of_file((folder / "none" / "amber.yaml").string()), "there is no such file; ");
  EXPECT_EQ(what_of_file(folder.string()), "this is a folder, not a file; ");
  EXPECT_EQ(what_of_file(""), "there is no such file; ");
  fs::resize_file(folder / "amber.yaml", (64u << 20) + 1);
  EXPECT_EQ(what_of_file((folder / "amber.yaml").string()),
            "the file is larger than 12 MB; --large lifts this limit; ");
  fs::remove_all(folder);
}

TEST(Source, ReadsAFileWhole) {
  const fs::path path = fs::temp_directory_path() / ("tierce-source-whole-" + std::to_string(::getpid()) + ".yaml");
  const std::string text = "reserve: " + std::string(200000, 'x') + "\n";
  std::ofstream(path) << text;
  std::vector<Problem> problems;
  EXPECT_EQ(load_source(path.string(), problems).text, text);
  EXPECT_TRUE(problems.empty());
  fs::remove(path);
}

TEST(Columns, CountCharactersAndNotBytes) {
  const Source source{"", "", {"aé桶🍷z", "xyz"}};  // 1, 2, 3 and 4 bytes
  Columns columns(source);
  const std::vector<std::size_t> bytes = {0, 1, 3, 6, 10, 11};
  for (int column = 1; column <= 6; ++column) {
    EXPECT_EQ(columns.column_of(0, bytes[static_cast<std::size_t>(column - 1)]), column);
    EXPECT_EQ(columns.byte_of(0, column), bytes[static_cast<std::size_t>(column - 1)]);
  }
  for (int column = 6; column >= 1; --column)
    EXPECT_EQ(columns.byte_of(0, column), bytes[static_cast<std::size_t>(column - 1)]);
  EXPECT_EQ(columns.column_of(1, 2), 3);
  EXPECT_EQ(columns.column_of(0, 10), 5);
  EXPECT_EQ(columns.byte_of(1, 99), 3u);  // past the end: the end
}

}  // namespace
}  // namespace tierce
