// Rule files of the user: read with the same care as scenarios. And claims from the command line.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cli/read/print_problems.h"
#include "cli/read/read_claims.h"
#include "cli/read/read_rules.h"
#include "cli/read/rule_book.h"
#include "tests/cli/command/program.h"
#include "tests/engine/rules/label_wine.h"

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

/// A scenario in a folder of its own, beside a rule file.
class ClaimNames : public testing::Test {
 protected:
  void SetUp() override {
    const auto* test = testing::UnitTest::GetInstance()->current_test_info();  // the tests run side by side
    folder_ = std::filesystem::temp_directory_path() / (std::string("tierce-claim-names-") + test->name());
    std::filesystem::create_directories(folder_);
    std::filesystem::copy_file(std::string(TIERCE_SOURCE_DIR) + "/docs/examples/rules/house.yaml",
                               folder_ / "house.yaml", std::filesystem::copy_options::overwrite_existing);
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }

  std::string scenario(const std::string& claims_and_rules) {
    const std::string path = folder_ / "vat.yaml";
    std::ofstream(path) << "reserve: Vat\ntiers: [{name: vat, vessels: [{name: V, capacity: 1000 L}]}]\n"
                           "lots: [{name: L20, vintage: 2020, alcohol: 18 %vol}]\n"
                           "log:\n  - {date: 2021-01-10, do: add, lot: L20, to: vat, volume: 900 L}\n"
                           "  - {date: 2026-01-10, do: draw, from: vat, share: 10 %, for: Bottling 2026}\n"
                        << claims_and_rules;
    return path;
  }

 private:
  std::filesystem::path folder_;
};

TEST_F(ClaimNames, UnknownOnesAreFaultsForEveryCommandThatReadsTheFile) {
  const std::string path = scenario(
      "claims:\n  - {say: vintage, year: 2020, rule: US-VIN-AVE}\n  - {say: vintage, year: 2020, rule: US-ALC-TOL-HI}\n"
      "rules: [us, ue]\n");
  for (const std::string command :
       {"check", "stock", "age", "forecast", "dose", "losses", "label", "refresh", "report"}) {
    const auto said = run_program(command + " " + path);
    EXPECT_EQ(said.status, 2) << command;
    for (const std::string& wanted :
         {path + ":8:38: there is no rule 'US-VIN-AVE'", std::string("did you mean 'US-VIN-AVA'?"),
          path + ":9:38: rule US-ALC-TOL-HI is not one on vintage", path + ":10:13: there is no rule set 'ue'"})
      EXPECT_NE(said.err.find(wanted), std::string::npos) << command << '\n' << said.err;
  }
}

TEST_F(ClaimNames, ABottlingThatNobodyDrawsIsAFault) {
  const std::string path = scenario("claims: [{say: vintage, year: 2020, for: Bottling 2062}]\n");
  for (const std::string command : {"check", "label", "report"}) {
    const auto said = run_program(command + " " + path);
    EXPECT_EQ(said.status, 2) << command;
    EXPECT_NE(said.err.find(path + ":7:42: 'for': there is no bottling 'Bottling 2062'"), std::string::npos)
        << said.err;
    EXPECT_NE(said.err.find("did you mean 'Bottling 2026'?"), std::string::npos) << said.err;
  }
}

TEST_F(ClaimNames, AFileMayNameRulesOfItsOwn) {
  const std::string path =
      scenario("claims: [{say: mean age, at least: 4 years, rule: HOUSE-AGE}]\nrules: [eu, house.yaml]\n");
  EXPECT_EQ(run_program("check " + path).status, 0) << run_program("check " + path).err;
  for (const std::string& more : {std::string(), " --rules '" + path.substr(0, path.rfind('/')) + "/house.yaml'"}) {
    const auto said = run_program("label --json " + path + more);
    ASSERT_EQ(said.status, 0) << said.err;
    const json claims = json::parse(said.out).at("claims");
    EXPECT_TRUE(std::any_of(claims.begin(), claims.end(), [](const json& claim) {
      return claim.at("rule") == "HOUSE-AGE" && claim.at("verdict") == "holds";
    }));
  }
  EXPECT_EQ(run_program("report " + path).status, 0);
}

TEST_F(ClaimNames, AFaultyRuleFileIsAFaultOfTheLineThatNamesIt) {
  const auto missing = run_program("check " + scenario("rules: [eu, hous.yaml]\n"));
  EXPECT_EQ(missing.status, 2);
  EXPECT_NE(missing.err.find("vat.yaml:7:13: hous.yaml is not read"), std::string::npos) << missing.err;
  std::ofstream(scenario("").replace(scenario("").rfind('/'), std::string::npos, "/house.yaml")) << "rules: house\n";
  const auto faulty = run_program("check " + scenario("rules: [house.yaml]\n"));
  EXPECT_EQ(faulty.status, 2);
  EXPECT_NE(faulty.err.find("vat.yaml:7:9: house.yaml is faulty in line 1: a rule file has no 'title'"),
            std::string::npos)
      << faulty.err;
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
