// The command line: what is read from it, and what is said of what cannot be read.
#include "cli/command/options.h"

#include <gtest/gtest.h>

namespace tierce {
namespace {

std::string error_of(const std::vector<std::string>& arguments) {
  const ParsedOptions parsed = parse_options(arguments);
  EXPECT_EQ(parsed.show, "");
  return parsed.error;
}

TEST(Options, AreReadInAnyOrder) {
  for (const std::vector<std::string>& arguments :
       {std::vector<std::string>{"forecast", "amber.yaml", "--years", "5", "--json", "-o", "out.json"},
        {"forecast", "--json", "--years=5", "-oout.json", "amber.yaml"}}) {
    const ParsedOptions parsed = parse_options(arguments);
    EXPECT_EQ(parsed.error, "");
    EXPECT_EQ(parsed.options.command, "forecast");
    EXPECT_EQ(parsed.options.files, std::vector<std::string>{"amber.yaml"});
    EXPECT_EQ(parsed.options.format, Format::json);
    EXPECT_EQ(parsed.options.years, 5);
    EXPECT_EQ(parsed.options.output, "out.json");
  }
}

TEST(Options, TakeSeveralFiles) {
  EXPECT_EQ(parse_options({"check", "a.yaml", "b.yaml"}).options.files, (std::vector<std::string>{"a.yaml", "b.yaml"}));
}

TEST(Options, SayWhichCommandWasProbablyMeant) {
  EXPECT_EQ(error_of({"chek", "a.yaml"}), "there is no command 'chek'; did you mean 'check'?");
  EXPECT_EQ(error_of({"a.yaml"}).find("there is no command 'a.yaml'; commands: "), 0u);
  EXPECT_EQ(error_of({}), "a command is missing; 'tierce --help' lists them");
}

TEST(Options, SayWhichOptionWasProbablyMeant) {
  EXPECT_EQ(error_of({"check", "a.yaml", "--jsno"}), "there is no option '--jsno' of check; did you mean '--json'?");
  EXPECT_EQ(error_of({"check", "a.yaml", "--yers=5"}),
            "there is no option '--yers' of check; 'tierce check --help' lists them");
  EXPECT_EQ(error_of({"forecast", "a.yaml", "--yers=5"}),
            "there is no option '--yers' of forecast; did you mean '--years'?");
  EXPECT_EQ(error_of({"check", "a.yaml", "--on", "2027-02-10"}),
            "there is no option '--on' of check; 'tierce check --help' lists them");
}

TEST(Options, RefuseValuesThatCannotBe) {
  EXPECT_EQ(error_of({"forecast", "a.yaml", "--years", "0"}),
            "--years: '0' is out of range (a whole number from 1 to 1000)");
  EXPECT_EQ(error_of({"forecast", "a.yaml", "--years", "five"}),
            "--years: 'five' does not begin with a number (a whole number from 1 to 1000)");
  EXPECT_EQ(error_of({"stock", "a.yaml", "--units", "imperial"}), "--units is metric or us, not 'imperial'");
  EXPECT_EQ(error_of({"stock", "a.yaml", "--json", "--csv"}), "--json and --csv cannot both be given");
  EXPECT_NE(error_of({"stock", "a.yaml", "--on"}), "");
  EXPECT_NE(error_of({"stock", "a.yaml", "--on", "2027-01-01", "--on", "2027-01-02"}), "");
  EXPECT_NE(error_of({"stock", "a.yaml", "--json=yes"}), "");
  EXPECT_EQ(error_of({"check"}), "which file? tierce check FILE");
}

TEST(Options, NeverSendAControlCharacterToTheScreen) {
  for (const auto& arguments : {std::vector<std::string>{"\x1B[31m"},
                                {"check", "a.yaml", "--\x1B[31m"},
                                {"stock", "a.yaml", "--units", "\x1B[31m"},
                                {"stock", "a.yaml", "--on", "\x1B[31m"},
                                {"age", "a.yaml", "--draw", "\x1B[31m"}})
    for (const char c : error_of(arguments)) EXPECT_GE(static_cast<unsigned char>(c), 0x20);
}

TEST(Options, ShowHelpAndVersion) {
  EXPECT_NE(parse_options({"--help"}).show.find("Exit status"), std::string::npos);
  EXPECT_NE(parse_options({"stock", "--help"}).show.find("--on"), std::string::npos);
  EXPECT_EQ(parse_options({"--version"}).show.find("tierce "), 0u);
}

}  // namespace
}  // namespace tierce
