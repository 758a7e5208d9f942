// Rule files of the user: read with the same care as scenarios. And claims from the command line.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/print_problems.h"
#include "cli/read_claims.h"
#include "cli/read_rules.h"
#include "cli/rule_book.h"
#include "tests/label_wine.h"
#include "tests/program.h"

namespace tierce {
namespace {

using nlohmann::json;
using test::run_program;

std::string said_of_rules(const std::string& text) {
  std::vector<Problem> problems;
  const Source source = source_from("house.yaml", text, problems);
  RuleBook book = built_in_rules();
  if (problems.empty()) read_rules(source, book, problems);
  std::ostringstream out;
  print_problems(problems, source, out);
  return out.str();
}

const std::string kHead = "rules: house\ntitle: House\nnoted: 2026-11-24\nlist:\n";
const std::string kRule =
    "  - {id: H-1, about: strength, judges: [draw], quantity: strength, limit: at most 19 %vol, citation: house, text: "
    "today, known: read}\n";

std::string changed(const std::string& from, const std::string& to) {
  std::string text = kHead + kRule;
  const auto at = text.find(from);
  if (at == std::string::npos) throw std::runtime_error("no " + from);
  return text.replace(at, from.size(), to);
}

/// The first line says what is wrong, and where.
std::string first_line(const std::string& said) { return said.substr(0, said.find('\n')); }

TEST(RuleFiles, ASoundOneIsRead) { EXPECT_EQ(said_of_rules(kHead + kRule), ""); }

TEST(RuleFiles, FaultsHaveTheirPlace) {
  EXPECT_EQ(first_line(said_of_rules(changed("at most 19 %vol", "at most 19"))),
            "house.yaml:5:75: 'limit': '19' has no unit");
  EXPECT_EQ(first_line(said_of_rules(changed("at most 19 %vol", "up to 19 %vol"))),
            "house.yaml:5:75: 'limit': 'up to 19 %vol' does not say on which side");
  EXPECT_EQ(first_line(said_of_rules(changed("at most 19 %vol", "at most 19 g/L"))),
            "house.yaml:5:75: 'limit': unknown unit 'g/L'");
  EXPECT_EQ(first_line(said_of_rules(changed("quantity: strength", "quantity: strenght"))),
            "house.yaml:5:58: there is no quantity 'strenght'");
  EXPECT_NE(said_of_rules(changed("quantity: strength", "quantity: strenght")).find("did you mean 'strength'?"),
            std::string::npos);
  EXPECT_EQ(first_line(said_of_rules(changed("[draw]", "[drawn]"))), "house.yaml:5:40: 'judges' cannot hold 'drawn'");
  EXPECT_EQ(first_line(said_of_rules(changed("known: read", "known: surely"))),
            "house.yaml:5:129: 'known' cannot be 'surely'");
  EXPECT_EQ(first_line(said_of_rules(changed("H-1", "US-VIN-AVA"))),
            "house.yaml:5:10: there is a rule 'US-VIN-AVA' already");
  EXPECT_EQ(first_line(said_of_rules(changed("citation: house, ", ""))), "house.yaml:5:5: a rule has no 'citation'");
  EXPECT_EQ(first_line(said_of_rules(changed("known: read", "known: read, when: {taste: good}"))),
            "house.yaml:5:142: nothing called 'taste' is known of a wine");
  EXPECT_EQ(first_line(said_of_rules(changed("known: read", "known: read, when: {product: beer}"))),
            "house.yaml:5:151: 'product' cannot be 'beer'");
  EXPECT_EQ(first_line(said_of_rules(changed("known: read", "known: read, when: {sugar: 5 g/L}"))),
            "house.yaml:5:149: 'sugar': '5 g/L' does not say on which side");
  EXPECT_EQ(first_line(said_of_rules(
                changed("quantity: strength, limit: at most 19 %vol", "quantity: vintage share, limit: at most 19 %"))),
            "house.yaml:5:58: 'vintage share' cannot be known of what the rule judges, 'draw'");
  EXPECT_EQ(first_line(said_of_rules("title: House\nnoted: 2026-11-24\n")),
            "house.yaml:1:1: a rule file has no 'rules'");
  EXPECT_EQ(first_line(said_of_rules(kHead + kRule +
                                     "classes:\n  - {id: T, name: tax, rate: 1.07 dollars, citation: "
                                     "house, text: today}\n")),
            "house.yaml:7:30: 'rate': '1.07 dollars' is no rate");
}

TEST(RuleFiles, AllFaultsAreToldAtOnce) {
  const std::string said = said_of_rules(kHead +
                                         "  - {id: H-1, about: x, judges: [draw], quantity: sugr, limit: some, "
                                         "citation: house, text: today, known: yes}\n");
  EXPECT_NE(said.find("'sugr'"), std::string::npos);
  EXPECT_NE(said.find("'known' cannot be 'yes'"), std::string::npos);
}

// Limits of one's own decide as those built in do.
TEST(RuleFiles, DecideAsTheirOperatorsSay) {
  struct Limit_ {
    const char* limit;
    double figure;
    Verdict verdict;
  };
  const Limit_ limits[] = {
      {"at least 19 %vol", 19.0, Verdict::holds},     {"at least 19 %vol", 18.99, Verdict::fails},
      {"above 19 %vol", 19.0, Verdict::fails},        {"above 19 %vol", 19.01, Verdict::holds},
      {"at most 19 %vol", 19.0, Verdict::holds},      {"at most 19 %vol", 19.01, Verdict::fails},
      {"below 19 %vol", 19.0, Verdict::fails},        {"below 19 %vol", 18.99, Verdict::holds},
      {"exactly 19 %vol", 19.0, Verdict::holds},      {"exactly 19 %vol", 19.01, Verdict::fails},
      {"multiple of 0.5 %vol", 18.5, Verdict::holds}, {"multiple of 0.5 %vol", 18.6, Verdict::fails},
      {"at most 38 proof", 19.0, Verdict::holds},
  };
  const auto trial = test::tried({"100 L", "100 %", ""}, "us", "");
  for (const Limit_& one : limits) {
    SCOPED_TRACE(one.limit);
    std::vector<Problem> problems;
    RuleBook book;
    read_rules(source_from("house.yaml", changed("at most 19 %vol", one.limit), problems), book, problems);
    ASSERT_TRUE(problems.empty());
    Claim claim;
    claim.rule = "H-1";
    claim.measured = one.figure;
    EXPECT_EQ(judge_claim(book, {}, claim, trial.view.draws.front().facts).front().verdict, one.verdict);
  }
}

// As a user does it.

TEST(LabelCommand, TakesARuleFileAndClaims) {
  const auto said = run_program(
      "label --json scenarios/amber.yaml --rules docs/examples/rules/house.yaml --draw 'Bottling 2026' "
      "--claim 'mean age, at least: 4 years, rule: HOUSE-AGE' --claim '{say: harvests, stated: 6}'");
  EXPECT_EQ(said.err, "");
  const json answer = json::parse(said.out);
  int house = 0, harvests = 0;
  for (const json& claim : answer.at("claims")) {
    EXPECT_EQ(claim.at("subject"), "Bottling 2026");
    if (claim.at("rule") == "HOUSE-AGE") ++house;
    if (claim.at("say") == "harvests" && claim.at("rule").is_null() && claim.at("verdict") == "holds") ++harvests;
  }
  EXPECT_GE(house, 1);
  EXPECT_GE(harvests, 1);
}

TEST(LabelCommand, RefusesWhatItDoesNotKnow) {
  const auto refused = [](const std::string& arguments, const std::string& wanted) {
    const auto said = run_program("label scenarios/amber.yaml " + arguments);
    EXPECT_EQ(said.status, 2) << arguments;
    EXPECT_EQ(said.out, "") << arguments;
    EXPECT_NE(said.err.find(wanted), std::string::npos) << arguments << '\n' << said.err;
  };
  refused("--claim 'vintage, year: 2021, rule: US-VIN-AVE'", "did you mean 'US-VIN-AVA'?");
  refused("--claim 'vintage, year: 2021, rule: US-ALC-TOL-HI'", "rule US-ALC-TOL-HI is not one on vintage");
  refused("--claim 'vintage'", "a claim of vintage has no 'year'");
  refused("--claim 'figure, measured: 3 g/L, rule: US-FORT-24'", "unknown unit 'g/L'");
  refused("--rules no_such_file.yaml", "no_such_file.yaml");
  refused("--draw 'Bottling 1999'", "there is no bottling 'Bottling 1999'");
}

TEST(LabelCommand, SaysByItsStatusWhetherAClaimFails) {
  EXPECT_EQ(run_program("label docs/examples/first.yaml").status, 0);
  EXPECT_EQ(run_program("label docs/examples/first.yaml --claim 'youngest, at least: 50 years'").status, 1);
}

TEST(LabelCommand, ReportsFitThePage) {
  for (const std::string file : {"amber", "five_casks", "steel_reserve", "three_tiers", "in_the_cask"}) {
    const auto said = run_program("label --evidence scenarios/" + file +
                                  ".yaml --claim 'mean age, at least: 4 years' --claim 'vintage, year: 2020'");
    EXPECT_LE(said.status, 1) << said.err;
    EXPECT_EQ(said.out.find("nan"), std::string::npos) << file;
    EXPECT_EQ(said.out.find(" legal,"), std::string::npos) << file;
    EXPECT_NE(said.out.find("no legal"), std::string::npos) << file;
    std::istringstream lines(said.out);
    for (std::string line; std::getline(lines, line);)
      EXPECT_LE(std::count_if(line.begin(), line.end(), [](char c) { return (c & 0xC0) != 0x80; }), 100) << line;
  }
}

}  // namespace
}  // namespace tierce
