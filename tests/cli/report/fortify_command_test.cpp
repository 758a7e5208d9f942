// What `tierce fortify` answers. Expected figures come from closed forms and from the printed densities of
// oiml_r22_own_evaluation.csv.
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <regex>

#include "cli/read/load.h"
#include "engine/wine/fortify.h"
#include "tests/cli/command/program.h"
#include "tests/cli/report/fortify_run.h"
#include "tests/project/csv.h"

namespace tierce {
namespace {

using namespace test;

/// A line of the printed table at 20 °C.
struct Printed {
  double fraction, density;
};
Printed printed(double alcohol_pct) {
  for (const auto& row : test::read_csv("oiml_r22_own_evaluation.csv"))
    if (test::number(row, "abv20_pct") == alcohol_pct)
      return {test::number(row, "mass_fraction_ethanol"), test::number(row, "density_20degC_kg_m3")};
  throw std::runtime_error("no such row");
}

// What comes out.

// The case of the manual: 1000 L, 240 g/L, arrested at 7 %vol, spirit of 96 %vol, to 16 %vol. Masses of ethanol and
// water are kept, m_s (p_s - p) = m_b (p - p_b); every strength is a row of the printed table. 0.001 L is its digits.
TEST(FortifyCommand, SizesTheSpiritByMass) {
  const Printed must = printed(7), spirit = printed(96), wine = printed(16);
  const double must_kg = 1000.0 * must.density / 1000.0;
  const double spirit_kg = must_kg * (wine.fraction - must.fraction) / (spirit.fraction - wine.fraction);
  const double spirit_l = 1000.0 * spirit_kg / spirit.density;
  const double volume_l = 1000.0 * (must_kg + spirit_kg) / wine.density;
  const double sugar_g_l = (240.0 - 7.0 * 16.83) * 1000.0 / volume_l;
  const json made = answer(kToSixteen);
  EXPECT_NEAR(spirit_l, 110.8, 0.1);
  EXPECT_NEAR(figure(made, "spirit_L"), spirit_l, 0.001);
  EXPECT_NEAR(figure(made, "volume_L"), volume_l, 0.01);
  EXPECT_NEAR(figure(made, "contraction_L"), 1000.0 + spirit_l - volume_l, 0.01);
  EXPECT_NEAR(figure(made, "alcohol_pct"), 16.0, 1e-9);
  EXPECT_NEAR(figure(made, "sugar_g_L"), sugar_g_l, 0.001);
  EXPECT_NEAR(figure(made, "total_alcohol_pct"), 16.0 + sugar_g_l / 16.83, 0.001);
  EXPECT_NEAR(figure(made, "spirit_share_of_must_pct"), spirit_l / 10.0, 0.001);
  EXPECT_NEAR(figure(made, "spirit_alcohol_share_of_must_pct"), 0.96 * spirit_l / 10.0, 0.001);
  EXPECT_NEAR(figure(made, "spirit_alcohol_share_of_wine_pct"), 96.0 * spirit_l / volume_l, 0.001);
  EXPECT_NEAR(figure(made, "spirit_share_of_ingredients_pct"), 100.0 * spirit_l / (1000.0 + spirit_l), 0.001);
  EXPECT_NEAR(figure(made, "spirit_share_of_alcohol_pct"), 96.0 * spirit_l / (0.96 * spirit_l + 70.0), 0.001);
}

// Pearson's square: 1000 L x (16 - 7) / (96 - 16) = 112.5 L.
TEST(FortifyCommand, ShowsTheAdditiveRuleAndItsError) {
  const json made = answer(kToSixteen);
  EXPECT_NEAR(figure(made.at("additive"), "spirit_L"), 112.5, 1e-9);
  const double spirit_l = figure(made, "spirit_L");
  const double additive_pct = (7000.0 + 96.0 * spirit_l) / (1000.0 + spirit_l);
  EXPECT_NEAR(figure(made.at("additive"), "alcohol_pct"), additive_pct, 1e-9);
  EXPECT_NEAR(figure(made.at("additive"), "error_pct"), additive_pct - 16.0, 1e-9);
  EXPECT_NE(said(kToSixteen).out.find("112.5 L (Pearson's square)"), std::string::npos);
}

TEST(FortifyCommand, AGivenVolumeOfSpiritGivesBackTheStrengthItWasSizedFor) {
  const json sized = answer(kToSixteen);
  std::ostringstream litres;
  litres.precision(12);
  litres << figure(sized, "spirit_L") << " L";
  const json added = answer(kAtSeven + Words{"--add", litres.str()});
  EXPECT_NEAR(figure(added, "alcohol_pct"), 16.0, 1e-8);
  EXPECT_NEAR(figure(added, "sugar_g_L"), figure(sized, "sugar_g_L"), 1e-6);
}

// 240 - 7 x 16.83 = 122.19 g/L: three ways to say the same arrest, one of them without the must's sugar.
TEST(FortifyCommand, TheArrestMayBeSaidByAlcoholOrBySugarOrByBoth) {
  const Words to = {"--to", "16 %vol"};
  const double spirit_l = figure(answer(kToSixteen), "spirit_L");
  const json by_sugar = answer(kMust + Words{"--residual", "122.19 g/L"} + to);
  EXPECT_NEAR(figure(by_sugar.at("arrest"), "alcohol_pct"), 7.0, 1e-9);
  EXPECT_NEAR(figure(by_sugar, "spirit_L"), spirit_l, 1e-6);
  const json by_both =
      answer(Words{"--volume", "10 hL", "--arrest", "7 %vol", "--residual", "122.19 g/L", "--spirit", "96 %vol"} + to);
  EXPECT_EQ(by_both.at("must").at("sugar_from"), "inferred");
  EXPECT_NEAR(figure(by_both.at("must"), "sugar_g_L"), 240.0, 1e-9);
  EXPECT_NEAR(figure(by_both, "spirit_L"), spirit_l, 1e-6);
}

TEST(FortifyCommand, TheArrestIsFoundForAWantedSugar) {
  std::ostringstream grams;
  grams.precision(12);
  grams << figure(answer(kToSixteen), "sugar_g_L") << " g/L";
  const json found = answer(kMust + Words{"--to", "16 %vol", "--sweet", grams.str()});
  EXPECT_NEAR(figure(found.at("arrest"), "alcohol_pct"), 7.0, 1e-6);
}

TEST(FortifyCommand, FruitAndItsYieldStandForTheMust) {
  const Words rest = {"--sugar", "240 g/L", "--spirit", "96 %vol", "--arrest", "7 %vol", "--to", "16 %vol"};
  for (const std::string yield : {"650 L/t", "0.65 L/kg", "65 %"})
    EXPECT_NEAR(figure(answer(Words{"--fruit", "1500 kg", "--yield", yield} + rest).at("must"), "volume_L"), 975.0,
                1e-9)
        << yield;
  // 160 US gallons from a short ton of 2000 lb.
  const json american = answer(Words{"--fruit", "1000 lb", "--yield", "160 gal/ton"} + rest);
  EXPECT_NEAR(figure(american.at("must"), "volume_L"), 80.0 * 3.785411784, 1e-9);
}

// 6 g/L of the wine give 6 / 16.83 %vol. With --add the wine ends that much stronger; with --to it ends as wished, and
// the square shows the strength on mixing: 1000 x (p - 7) / (96 - p).
TEST(FortifyCommand, TheYeastEatsOnAfterTheSpirit) {
  const double rise_pct = 6.0 / 16.83;
  const json still = answer(kAtSeven + Words{"--add", "110 L"});
  const json added = answer(kAtSeven + Words{"--add", "110 L", "--run-on", "6 g/L"});
  EXPECT_NEAR(figure(added, "alcohol_pct") - figure(still, "alcohol_pct"), rise_pct, 1e-9);
  EXPECT_NEAR(figure(still, "sugar_g_L") - figure(added, "sugar_g_L"), 6.0, 1e-9);
  EXPECT_NEAR(figure(added, "total_alcohol_pct"), figure(still, "total_alcohol_pct"), 1e-9);
  EXPECT_NEAR(figure(added, "mixed_alcohol_pct"), figure(still, "alcohol_pct"), 1e-9);
  const json sized = answer(kToSixteen + Words{"--run-on", "6 g/L"});
  const double mixed_pct = 16.0 - rise_pct;
  EXPECT_NEAR(figure(sized, "alcohol_pct"), 16.0, 1e-9);
  EXPECT_NEAR(figure(sized, "mixed_alcohol_pct"), mixed_pct, 1e-9);
  EXPECT_NEAR(figure(sized.at("additive"), "spirit_L"), 1000.0 * (mixed_pct - 7.0) / (96.0 - mixed_pct), 1e-6);
  EXPECT_LT(figure(sized, "spirit_L"), figure(answer(kToSixteen), "spirit_L"));
}

// Proof gallons are gallons at 60 °F times proof / 100, proof twice the strength at 60 °F. Density at 60 °F lies on the
// straight line between the printed 15 and 20 °C, good to 0.01 kg/m3 here.
TEST(FortifyCommand, OrdersTheSpiritInLitresInProofGallonsAndInDrums) {
  const auto at_sixty = [](const char* cold, const char* warm) {
    return std::stod(cold) + (std::stod(warm) - std::stod(cold)) * (140.0 / 9.0 - 15.0) / 5.0;
  };
  const double spirit_density = at_sixty("811.7341", "807.4196"), ethanol_density = at_sixty("793.5057", "789.2391");
  const json made = answer(kToSixteen + Words{"--drum", "50 L"});
  const double spirit_l = figure(made, "spirit_L");
  const double gallons = spirit_l * 807.4196 / spirit_density / 3.785411784;
  const double proof = 200.0 * 0.93838387 * spirit_density / ethanol_density;
  EXPECT_NEAR(figure(made, "spirit_proof_gal"), gallons * proof / 100.0, 0.01);
  EXPECT_NEAR(figure(made, "spirit_alcohol_L"), 0.96 * spirit_l, 1e-9);
  EXPECT_EQ(figure(made.at("drums"), "count"), 3.0);  // 110.8 L
  EXPECT_NEAR(figure(made.at("drums"), "left_over_L"), 150.0 - spirit_l, 1e-9);
  const json whole = answer(kAtSeven + Words{"--add", "150 L", "--drum", "50 L"});
  EXPECT_EQ(figure(whole.at("drums"), "count"), 3.0);
  EXPECT_EQ(figure(whole.at("drums"), "left_over_L"), 0.0);
}

// 6 g/L of 111.0 leave 105.0 and give 6 / 16.83 %vol; the litres and the spirit stay.
TEST(RunOn, TakesSugarAndGivesAlcohol) {
  const auto mixed = std::get<Fortified>(fortify_with_volume({1000.0, 7.0, 122.19}, 96.0, 110.0));
  const auto wine = std::get<Fortified>(run_on(mixed, 6.0));
  EXPECT_NEAR(wine.sugar_g_l, mixed.sugar_g_l - 6.0, 1e-12);
  EXPECT_NEAR(wine.alcohol_pct, mixed.alcohol_pct + 6.0 / 16.83, 1e-12);
  EXPECT_EQ(wine.volume_l, mixed.volume_l);
  const double spirit_pure_l = 105.6;
  EXPECT_NEAR(wine.spirit_share_of_alcohol_pct * wine.alcohol_pct,
              mixed.spirit_share_of_alcohol_pct * mixed.alcohol_pct, 1e-9);
  EXPECT_NEAR(mixed.spirit_share_of_alcohol_pct, 100.0 * spirit_pure_l / (spirit_pure_l + 70.0), 1e-9);
  const auto refusal = std::get<FortifyRefusal>(run_on(mixed, 200.0));
  EXPECT_EQ(refusal.fault, FortifyFault::run_on_out_of_reach);
  EXPECT_NEAR(refusal.highest, mixed.sugar_g_l, 1e-12);
  EXPECT_TRUE(std::holds_alternative<FortifyRefusal>(run_on(mixed, -1.0)));
}

// The rules for muted must, as information.

const Words kName = {"--designation", "vin doux naturel"};

std::map<std::string, std::string> verdicts(const Words& arguments) {
  std::map<std::string, std::string> result;
  const json rules = answer(arguments + kName).at("rules");
  for (const json& rule : rules) result[rule.at("rule")] = rule.at("verdict");
  return result;
}

// By hand for the manual's case: 240 < 252 g/L; 0.96 x 110.8 / 10 = 10.6 % of the must; 16 %vol; 111 g/L at 17.5 make
// 22.3 %vol in all, of which 40 % is 8.9.
TEST(FortifyCommand, HoldsThePlanBesideTheFrenchRules) {
  const auto rules = verdicts(kToSixteen);
  EXPECT_EQ(rules.at("FR-VDN-SUGAR"), "fails");
  EXPECT_EQ(rules.at("FR-VDN-SP-MIN"), "holds");
  EXPECT_EQ(rules.at("FR-VDN-SP-MAX"), "fails");
  EXPECT_EQ(rules.at("FR-VDN-SP-40"), "fails");
  EXPECT_EQ(rules.at("FR-VDN-SP-96"), "holds");
  EXPECT_EQ(rules.at("FR-VDN-ACT"), "holds");
  EXPECT_EQ(rules.at("FR-VDN-TOT"), "holds");
  EXPECT_FALSE(rules.contains("FR-VDN-TAX18"));  // CGI art. 440 is abrogated (version of 24 May 2022)
  EXPECT_EQ(rules.at("FR-VDN-DATE"), "open");
  EXPECT_EQ(rules.at("FR-VDN-YIELD"), "open");
  const Words inferred = {"--volume", "1 L",      "--arrest", "7 %vol", "--residual",
                          "140 g/L",  "--spirit", "95 %vol",  "--to",   "15 %vol"};
  EXPECT_EQ(verdicts(inferred).at("FR-VDN-SUGAR"), "open");
  EXPECT_EQ(verdicts(inferred).at("FR-VDN-SP-96"), "fails");
}

TEST(FortifyCommand, EveryRuleNamesItsSourceAndHowWellItIsKnown) {
  const json list = answer(kToSixteen + kName).at("rules");
  EXPECT_FALSE(list.empty());
  for (const json& rule : list) {
    EXPECT_FALSE(rule.at("sources").empty());
    EXPECT_EQ(rule.at("known"), "read");
  }
  EXPECT_NE(said(kToSixteen + kName).out.find("no legal advice"), std::string::npos);
}

// 15 %vol and 111 g/L: 21.34 %vol at 17.5 g/L, 21.60 at 16.83.
TEST(FortifyCommand, ATotalOnWhichTheTwoCustomsDisagreeIsOpen) {
  const Words arguments = kMust + Words{"--to", "15 %vol", "--sweet", "111 g/L"};
  EXPECT_EQ(verdicts(arguments).at("FR-VDN-TOT"), "open");
}

// The report.

TEST(FortifyCommand, FitsThePage) {
  const std::vector<Words> cases = {
      kToSixteen,
      kToSixteen + Words{"--units", "us", "--run-on", "6 g/L", "--drum", "200 L", "--lot", "Grenache gris 26"},
      {"--fruit", "12.5 t", "--yield", "650 L/t", "--sugar", "13.5 Be at 18 °C", "--temperature", "24 °C", "--spirit",
       "77 %vol", "--sweet", "95 g/L", "--to", "18 %vol"},
      {"--volume", "120000 hL", "--arrest", "7 %vol", "--residual", "110 g/L", "--spirit", "96 %vol", "--to", "16 %vol",
       "--lot", std::string(60, 'x')},
      {"--volume", "1000 L", "--sugar", "24 Bx", "--refractometer", "--arrest", "6 Be", "--spirit", "96 %vol", "--add",
       "110 L"},
      {"--volume", "1000 L", "--sugar", "350 g/L", "--arrest", "5 %vol", "--spirit", "96 %vol", "--to", "17 %vol"}};
  for (const Words& arguments : cases) {
    const Answer report = said(arguments);
    ASSERT_EQ(report.status, kFine) << report.err;
    std::istringstream lines(report.out);
    for (std::string line; std::getline(lines, line);) {
      const auto width = std::count_if(line.begin(), line.end(),
                                       [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80u; });
      EXPECT_LE(width, 100) << line;
    }
  }
}

TEST(FortifyCommand, EndsWithCautionsAndDefersToLocalCodes) {
  const std::string report = said(kToSixteen).out;
  for (const std::string words : {"17 °C at 96 %vol", "3.3 to 19 %", "earthed", "carbon dioxide", "permits"})
    EXPECT_NE(report.find(words), std::string::npos) << words;
  EXPECT_TRUE(report.ends_with("decide, not this program.\n"));
}

TEST(FortifyCommand, PrintsGallonsWhereTheyAreAskedFor) {
  const std::string report = said(kToSixteen + Words{"--units", "us"}).out;
  EXPECT_NE(report.find("264.2 gal of must"), std::string::npos);  // 1000 / 3.785411784
  const json metric = answer(kToSixteen), american = answer(kToSixteen + Words{"--units", "us"});
  EXPECT_EQ(metric, american);
}

TEST(FortifyCommand, WritesToAFile) {
  const std::string path =
      (std::filesystem::temp_directory_path() / ("tierce-fortify-test-" + std::to_string(::getpid()) + ".json"))
          .string();
  EXPECT_TRUE(said(kToSixteen + Words{"--json", "-o", path}).out.empty());
  EXPECT_EQ(test::read_file(path), said(kToSixteen + Words{"--json"}).out);
  std::filesystem::remove(path);
  std::string typed = "fortify -o /nowhere/at/all";
  for (const std::string& word : kToSixteen) typed += " '" + word + "'";
  const test::Said failed = test::run_program(typed);
  EXPECT_EQ(failed.status, kBadInput);
  EXPECT_EQ(failed.err, "tierce: error: /nowhere/at/all was not written: No such file or directory\n");
}

TEST(FortifyCommand, HelpNamesEveryOption) {
  const Answer help = said({"--help"});
  EXPECT_EQ(help.status, kFine);
  for (const std::string option :
       {"volume", "fruit", "yield", "sugar", "arrest", "residual", "temperature", "spirit", "to", "add", "sweet",
        "run-on", "drum", "lot", "refractometer", "json", "csv", "output", "units"})
    EXPECT_NE(help.out.find("--" + option), std::string::npos) << option;
}

// The lot.

LoadedScenario with_lot(const std::string& report) {
  const auto at = report.find("lots:\n");
  const auto end = report.find("\n\n", at);
  std::string block = report.substr(at, end == std::string::npos ? end : end + 1 - at);
  block = std::regex_replace(block, std::regex("# vintage: YEAR"), "vintage: 2026");
  std::vector<Problem> problems;
  Source source = source_from(
      "lot.yaml", "reserve: Amber\ntiers: [{name: floor, vessels: [{name: B, capacity: 225 L}]}]\n" + block, problems);
  EXPECT_TRUE(problems.empty());
  return check_source(std::move(source));
}

TEST(FortifyCommand, ThePrintedLotIsAcceptedInAScenario) {
  for (const std::string name :
       {"GG26", "Touriga: 2 # \"x\"", "26", "yes", "it's", "Touriga", "-", "a\\b", "null", "Verdelho ñ"}) {
    const Words arguments = kToSixteen + Words{"--run-on", "6 g/L", "--lot", name};
    const LoadedScenario loaded = with_lot(said(arguments).out);
    ASSERT_TRUE(loaded.problems.empty()) << name << ": " << loaded.problems.front().what;
    const json made = answer(arguments);
    const Lot& lot = loaded.scenario.lots.at(0);
    EXPECT_EQ(lot.name, name);
    EXPECT_NEAR(lot.wine.alcohol_pct, 16.0, 0.005);
    EXPECT_NEAR(lot.wine.sugar_g_l, figure(made, "sugar_g_L"), 0.05);
    EXPECT_NEAR(lot.spirit->volume_l, figure(made, "spirit_L"), 0.005);
    EXPECT_EQ(lot.spirit->strength_pct, 96.0);
    EXPECT_EQ(lot.spirit->into_l, 1000.0);
    EXPECT_TRUE(with_lot(made.at("lot_yaml")).problems.empty());
  }
}

}  // namespace
}  // namespace tierce
