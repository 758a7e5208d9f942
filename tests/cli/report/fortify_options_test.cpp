// What `tierce fortify` says to wishes that cannot be met and to arguments that make no sense.
#include <gtest/gtest.h>

#include <regex>

#include "tests/cli/report/fortify_run.h"

namespace tierce {
namespace {

using namespace test;

// What cannot be done: exit status 1, with what could.

std::string refused(const Words& arguments) {
  const Answer result = said(arguments);
  EXPECT_EQ(result.status, kFails);
  EXPECT_TRUE(result.out.empty());
  return result.err;
}

TEST(FortifyCommand, AWishThatCannotBeMetSaysWhatCould) {
  EXPECT_EQ(refused(kAtSeven + Words{"--to", "97 %vol"}),
            "tierce: error: --to '97 %vol' cannot be reached with spirit of 96 %vol\n"
            "  possible: below 96.00 %vol, or spirit above 97.00 %vol\n");
  EXPECT_EQ(refused(kAtSeven + Words{"--to", "6 %vol"}),
            "tierce: error: --to '6 %vol' is less than the must has at the arrest\n"
            "  possible: 7.00 %vol or more, or an arrest at 6.00 %vol or earlier\n");
  // 240 / 16.83 = 14.2602...; 15 x 16.83 = 252.45.
  EXPECT_EQ(refused(kMust + Words{"--arrest", "15 %vol", "--to", "16 %vol"}),
            "tierce: error: --arrest '15 %vol' is more than this must can make\n"
            "  possible: 0.00 to 14.26 %vol, or must with at least 252.5 g/L\n");
  EXPECT_EQ(refused(kMust + Words{"--residual", "250 g/L", "--to", "16 %vol"}),
            "tierce: error: --residual '250 g/L' is more than the must holds\n"
            "  possible: 0.0 to 240.0 g/L\n");
  // The must itself: 1.10295...
  EXPECT_NE(refused(kMust + Words{"--arrest", "1.12 SG", "--to", "16 %vol"}).find("to 1.1029 SG at 20 °C\n"),
            std::string::npos);
  EXPECT_NE(refused(kAtSeven + Words{"--add", "10 L", "--run-on", "200 g/L"}).find("is more sugar than the wine holds"),
            std::string::npos);
  EXPECT_NE(refused(kAtSeven + Words{"--to", "95.999999999999 %vol"}).find("more spirit than there is"),
            std::string::npos);
}

/// The number before `unit` in a message, the last one there.
std::string last_number(const std::string& text, const std::string& unit) {
  static const std::regex kNumber(R"(\d+(\.\d+)?)");
  std::string found;
  const std::string before = text.substr(0, text.rfind(unit));
  for (std::sregex_iterator i(before.begin(), before.end(), kNumber), end; i != end; ++i) found = i->str();
  return found + " " + unit;
}

TEST(FortifyCommand, TheNumbersOfARefusalMakeItPossible) {
  const Words sweet = {"--volume", "1000 L", "--spirit", "96 %vol", "--to", "16 %vol", "--sweet"};
  const std::string too_sweet = refused(sweet + Words{"250 g/L", "--sugar", "240 g/L"});
  EXPECT_EQ(said(sweet + Words{"250 g/L", "--sugar", last_number(too_sweet, "g/L")}).status, kFine) << too_sweet;
  EXPECT_EQ(said(sweet + Words{last_number(too_sweet.substr(0, too_sweet.find(" from")), "g/L"), "--sugar", "240 g/L"})
                .status,
            kFine);
  const std::string too_late = refused(kMust + Words{"--arrest", "15 %vol", "--to", "16 %vol"});
  const Words richer = {"--volume", "1000 L", "--spirit", "96 %vol", "--arrest",
                        "15 %vol",  "--to",   "16 %vol",  "--sugar"};
  EXPECT_EQ(said(richer + Words{last_number(too_late, "g/L")}).status, kFine);
  const Words eats_on = {"--run-on", "60 g/L"};
  const std::string too_weak = refused(kAtSeven + eats_on + Words{"--to", "9 %vol"});
  EXPECT_EQ(said(kMust + eats_on + Words{"--to", "9 %vol", "--arrest", last_number(too_weak, "%vol")}).status, kFine)
      << too_weak;
  EXPECT_EQ(said(kAtSeven + eats_on + Words{"--to", last_number(too_weak.substr(0, too_weak.find(" or more")), "%vol")})
                .status,
            kFine);
  const std::string too_strong = refused(kAtSeven + eats_on + Words{"--to", "99.7 %vol"});
  EXPECT_EQ(said(Words{"--volume", "1 L", "--sugar", "240 g/L", "--arrest", "7 %vol", "--to", "99.7 %vol", "--run-on",
                       "60 g/L", "--spirit", "96.2 %vol"})
                .status,
            kFails);
  EXPECT_NE(too_strong.find("or spirit above 96.14 %vol"), std::string::npos)
      << too_strong;  // 99.7 - 60 / 16.83 = 96.135
}

// Bad arguments: exit status 2, with what is allowed and what was probably meant.

std::string faults(const Words& arguments) {
  const Answer result = said(arguments);
  EXPECT_EQ(result.status, kBadInput);
  EXPECT_TRUE(result.out.empty());
  return result.err;
}

TEST(FortifyCommand, BadArgumentsAreAnsweredWithWhatIsAllowed) {
  EXPECT_EQ(faults(kToSixteen + Words{"--spirt", "96 %vol"}),
            "tierce: error: unknown option '--spirt'\n"
            "  allowed here: 'tierce fortify --help' lists the options\n"
            "  did you mean '--spirit'?\n");
  EXPECT_EQ(faults(kAtSeven + Words{"--to", "16"}),
            "tierce: error: --to: '16' has no unit\n"
            "  allowed here: a number with a unit: %vol, proof\n"
            "  did you mean '16 %vol'?\n");
  EXPECT_EQ(faults(kAtSeven + Words{"--to", "16 vol"}),
            "tierce: error: --to: unknown unit 'vol'\n"
            "  allowed here: a number with a unit: %vol, proof\n"
            "  did you mean '%vol'?\n");
  EXPECT_EQ(faults(kToSixteen + Words{"--add", "110 L"}),
            "tierce: error: --to and --add cannot both be given\n"
            "  allowed here: a strength, or the litres of spirit\n");
  EXPECT_EQ(faults({"--volume", "1000 L", "--sugar", "240 g/L", "--arrest", "7 %vol", "--to", "16 %vol"}),
            "tierce: error: --spirit is missing: how strong is it?\n"
            "  allowed here: as in --spirit \"96 %vol\"\n");
  EXPECT_EQ(faults(kAtSeven + Words{"--to", "16 %vol", "--drum", "-5 L"}),
            "tierce: error: --drum: '-5 L' is out of range\n"
            "  allowed here: above 0 L and up to 1000000000000 L\n");
}

// The must table begins at 10 Brix, 1.0391 kg/L = 5.7 Be, and ends at 30 Brix, 1.1287 kg/L = 16.76 Be.
TEST(FortifyCommand, SugarOffTheMustTableIsRefusedWithItsEnds) {
  const Words rest = {"--volume", "1000 L", "--spirit", "96 %vol", "--arrest", "3 %vol", "--to", "16 %vol"};
  EXPECT_EQ(faults(rest + Words{"--sugar", "3 Be"}),
            "tierce: error: --sugar: '3 Be' is off the must table\n"
            "  allowed here: 5.8 to 16.7 Be, where the must table has 82.2 to 308.9 g/L; or the sugar itself in g/L\n");
  EXPECT_EQ(said(rest + Words{"--sugar", "5.8 Be"}).status, kFine);
  EXPECT_EQ(said(rest + Words{"--sugar", "16.7 Be"}).status, kFine);
  EXPECT_NE(faults(rest + Words{"--sugar", "31 Bx", "--refractometer"}).find("10.0 to 30.0 Bx"), std::string::npos);
  EXPECT_NE(faults({"--volume", "1000 L", "--sugar", "350 g/L", "--arrest", "1.1 SG", "--spirit", "96 %vol", "--to",
                    "16 %vol"})
                .find("--arrest as a hydrometer shows it needs must within the must table"),
            std::string::npos);
}

TEST(FortifyCommand, AllFaultsAreTold) {
  const std::string all = faults({"--spirt", "96 %vol", "--volume", "1000", "--sugar", "24,5 Bx", "--arrest", "7 vol",
                                  "--to", "--units", "uk", "y"});
  for (const std::string part :
       {"unknown option '--spirt'", "--volume: '1000' has no unit", "write 24.5 Bx", "--arrest: unknown unit 'vol'",
        "--to: a value is missing", "--units: unknown 'uk'", "'y' belongs to no option", "\n7 faults\n"})
    EXPECT_NE(all.find(part), std::string::npos) << part << "\n" << all;
}

TEST(FortifyCommand, OptionsThatContradictEachOtherAreRefused) {
  const std::vector<std::pair<Words, std::string>> cases = {
      {{}, "--volume is missing"},
      {{"--volume", "1 L", "--fruit", "1 kg", "--yield", "65 %"}, "--volume cannot stand with --fruit or --yield"},
      {{"--fruit", "1 kg"}, "--fruit needs --yield"},
      {{"--yield", "65 %"}, "--yield needs --fruit"},
      {kMust, "--arrest is missing"},
      {kToSixteen + Words{"--residual", "110 g/L"}, "--arrest and --residual cannot both stand with --sugar"},
      {kToSixteen + Words{"--sweet", "95 g/L"}, "--sweet finds the arrest"},
      {kMust + Words{"--add", "1 L", "--sweet", "95 g/L"}, "--sweet needs --to"},
      {{"--volume", "1 L", "--arrest", "7 %vol"}, "--sugar is missing"},
      {{"--volume", "1 L", "--arrest", "1.05 SG", "--residual", "1 g/L"},
       "--arrest as a hydrometer shows it needs --sugar"},
      {kToSixteen + Words{"--refractometer"}, "--refractometer needs --sugar in Bx"},
      {kToSixteen + Words{"--json", "--csv"}, "--json and --csv cannot both be given"},
      {kToSixteen + Words{"--to", "17 %vol"}, "--to is given twice"},
      {kToSixteen + Words{"--lot", "two\nlines"}, "--lot: this is no name"},
      {kToSixteen + Words{"--lot", "\xff"}, "--lot: this is no name"},
      {kToSixteen + Words{"--temperature", "50 °C"}, "0 °C to 40 °C"},
      {kMust + Words{"--to", "16 %vol", "--arrest", "60 Bx"}, "'60 Bx' is off the scale"},
      {kMust + Words{"--to", "16 %vol", "--arrest", "7 %vol at 20 °C"}, "only a hydrometer is read at a temperature"}};
  for (const auto& [arguments, words] : cases) EXPECT_NE(faults(arguments).find(words), std::string::npos) << words;
}

}  // namespace
}  // namespace tierce
