// Each law stands once and every command asks it; losses by annual period and by how wine came; strengths on the
// scale of the law; what is no wine is neither taxed nor allowed losses as wine; names.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <nlohmann/json.hpp>

#include "cli/read/load.h"
#include "cli/read/rule_book.h"
#include "cli/read/suggest.h"
#include "cli/report/label/label_words.h"
#include "engine/wine/alcoholometry.h"
#include "tests/cli/command/program.h"
#include "tests/engine/rules/label_wine.h"
#include "tests/engine/rules/rule_trial.h"
#include "tests/project/csv.h"

namespace tierce {
namespace {

using nlohmann::json;
using test::File;
using test::flowing;
using test::json_of;
using test::run_program;

// Strengths. 27 CFR 30.11: proof is twice the strength by volume at 60 °F; so are the strengths of US wine law.

/// %vol at 60 °F of a strength at 20 °C, from the densities at 10, 15 and 20 °C in oiml_r22_own_evaluation.csv, worked
/// out apart from the program: the mass stays, and both volumes change as 1 / density. A parabola between the columns.
double at_60_f(double pct) {
  std::map<double, std::array<double, 3>> densities;
  for (const auto& row : test::read_csv("oiml_r22_own_evaluation.csv"))
    densities[test::number(row, "abv20_pct")] = {test::number(row, "density_10degC_kg_m3"),
                                                 test::number(row, "density_15degC_kg_m3"),
                                                 test::number(row, "density_20degC_kg_m3")};
  const auto there = [](const std::array<double, 3>& d) {
    const double x = (140.0 / 9.0 - 15.0) / 5.0;
    return d[1] + x * (d[2] - d[0]) / 2.0 + x * x * (d[0] - 2.0 * d[1] + d[2]) / 2.0;
  };
  const auto& mixture = densities.at(pct);
  const auto& ethanol = densities.at(100.0);
  return pct * there(mixture) / mixture[2] / (there(ethanol) / ethanol[2]);
}

// 14 %vol at 20 °C is 13.949 at 60 °F, 16 is 15.944, 21 is 20.933, 24 is 23.930. The parabola is good to 1e-5.
TEST(UsStrengths, AreThoseOfSixtyFahrenheit) {
  for (const double pct : {14.0, 16.0, 18.0, 21.0, 24.0}) {
    EXPECT_NEAR(*alcohol_pct_at(pct, kSixtyFahrenheitC), at_60_f(pct), 1e-4) << pct;
    EXPECT_NEAR(*alcohol_pct_from_scale(*alcohol_pct_at(pct, kSixtyFahrenheitC), kSixtyFahrenheitC), pct, 1e-9);
  }
  EXPECT_NEAR(14.0 - at_60_f(14.0), 0.051, 5e-4);  // as published beside this program's arithmetic
  EXPECT_NEAR(24.0 - at_60_f(24.0), 0.070, 6e-4);
}

// 36 proof are 18 %vol at 60 °F; the strength at 20 °C that has 18 there is 18.061 (at_60_f(18) = 17.939).
TEST(UsStrengths, ProofIsBroughtToTwentyDegrees) {
  const auto trial = test::tried({"100 L alcohol: 36 proof"}, "us", "alcohol, stated: 18 %vol, error: 0.01 %vol");
  EXPECT_NEAR(trial.view.draws.front().facts.wine.alcohol_pct, 18.0 + (18.0 - at_60_f(18.0)), 1e-3);
  for (const Judgement& row : trial.view.judged.front().rows)
    EXPECT_TRUE(row.rule == nullptr || row.rule->id != "US-ALC-TOL-HI" || std::abs(row.value) < 1e-9) << row.value;
}

const char* const kAtMost =
    "reserve: At most\n"
    "tiers: [{name: t, vessels: [{name: v, capacity: 1000 L}], evaporation: 0 %/yr, vapour: 10 %vol}]\n"
    "lots: [{name: A, harvested: 2018-05-10, alcohol: 16.03 %vol, sugar: 80 g/L}]\n"
    "log:\n"
    "  - {date: 2024-06-01, do: add, lot: A, to: t, volume: 300 L}\n"
    "  - {date: 2024-06-01, do: draw, from: t, volume: 100 L, for: X}\n"
    "claims: [{say: alcohol, stated: 16 %vol}]\nrules: [us]\n";

// 16.03 %vol at 20 °C is 16.03 - 0.056 = 15.97 at 60 °F: not above 16.
TEST(UsStrengths, DecideOnWhichSideOfATaxGradeAWineLies) {
  const json label = json_of("label", File(kAtMost));
  int seen = 0;
  for (const json& claim : label.at("claims"))
    if (claim.at("rule") == "US-ALC-CROSS-16" || claim.at("rule") == "US-ALC-TOL-HI") {
      EXPECT_EQ(claim.at("verdict"), "holds") << claim;
      ++seen;
    }
  EXPECT_EQ(seen, 2);
  std::vector<std::string> taxed;
  for (const json& one : label.at("classes"))
    if (!one.at("rate").is_null()) {
      taxed.push_back(one.at("class"));
      EXPECT_NEAR(one.at("class_alcohol_pct").get<double>(), 16.03 - (16.0 - at_60_f(16.0)), 1e-3);
      // 100 L are 26.417 gal, taxed as 26.4 (27 CFR 24.270): 26.4 x 1.07 = 28.248
      EXPECT_NEAR(one.at("tax").get<double>(), 28.248, 1e-9);
    }
  EXPECT_EQ(taxed, std::vector<std::string>{"US-TAX-1"});
}

// Taxes. 26 USC 5041(d): a fraction of less than one-tenth gallon counts as the nearest tenth, 0.05 as a tenth.
TEST(UsTaxes, AreOnTenthsOfAGallon) {
  LabelFacts facts;
  facts.wine.alcohol_pct = 18.0;
  facts.words["product"] = "liqueur wine";
  for (const TaxClass* one : classes_of(built_in_rules(), {"us"}, facts, {2026, 1, 1})) {
    if (!is_known(one->rate)) continue;
    EXPECT_EQ(one->id, "US-TAX-2");
    EXPECT_NEAR(tax_on(*one, 67.47 * 3.785411784), 67.5 * 1.57, 1e-9);
    EXPECT_NEAR(tax_on(*one, 67.449 * 3.785411784), 67.4 * 1.57, 1e-9);
    EXPECT_NEAR(tax_on(*one, 67.45 * 3.785411784), 67.5 * 1.57, 1e-9);
  }
}

// 26 USC 5041 and 27 CFR 24.266 are on wine; vinegar is made of it, and spirits are under other chapters.
TEST(UsTaxes, AreNotThoseOfWineOnWhatIsNoWine) {
  const auto classes = [](const std::string& product, double pct) {
    LabelFacts facts;
    facts.wine.alcohol_pct = pct;
    facts.words["product"] = product;
    std::vector<std::string> ids;
    for (const TaxClass* one : classes_of(built_in_rules(), {"us"}, facts, {2026, 1, 1})) ids.push_back(one->id);
    return ids;
  };
  EXPECT_EQ(classes("vinegar", 0.0), std::vector<std::string>{});
  EXPECT_EQ(classes("spirits", 40.0), std::vector<std::string>{"US-TAX-4"});
  EXPECT_EQ(classes("wine", 12.0), (std::vector<std::string>{"US-TAX-1", "US-CLS-TABLE"}));
  LossYear year{.first = {2025, 1, 1}, .last = {2025, 12, 31}, .on_hand_l = 100.0, .loss_l = 50.0};
  for (const std::string product : {"vinegar", "spirits"}) {
    LabelFacts facts;
    facts.words["product"] = product;
    EXPECT_TRUE(judge_years(built_in_rules(), {"us"}, {year}, facts).empty()) << product;
    facts.wine.so2_total_mg_l = 60.0;
    for (const Judgement& row : judge_draw(built_in_rules(), {"us"}, facts))
      EXPECT_NE(row.quantity, "total SO2") << product;
  }
}

// One book for all commands.

std::string sweet_wine(const std::string& more) {
  return "reserve: Sweet\ntiers: [{name: t, vessels: [{name: v, capacity: 1000 L}], evaporation: 0 %/yr}]\n"
         "lots: [{name: A, vintage: 2020, alcohol: 14.6 %vol, sugar: 90 g/L, pH: 3.5, so2: {free: 20 mg/L, total: 60 "
         "mg/L}}]\n"
         "log:\n"
         "  - {date: 2021-01-01, do: add, lot: A, to: t, volume: 900 L}\n"
         "  - {date: 2021-01-01, do: dose, tier: t, so2: 20 mg/L}\n"
         "  - {date: 2021-02-01, do: draw, from: t, volume: 100 L, for: X}\n" +
         more;
}

std::vector<std::string> dose_rules(const File& file) {
  std::vector<std::string> ids;
  const json limits = json_of("dose", file).at("limits");
  for (const json& limit : limits) ids.push_back(limit.at("id"));
  return ids;
}

// A wine of 14.6 %vol stated as liqueur wine: Reg. 2019/934 annex I B has 200 mg/L from 5 g/L of sugar for it, and the
// 200 and 250 of still wine are not for it.
TEST(OneRuleBook, DoseAndLabelAskTheSameRules) {
  const File file(sweet_wine("label: {product: liqueur wine}\nrules: [eu]\n"));
  EXPECT_EQ(dose_rules(file), std::vector<std::string>{"EU-SO2-LIQ-SWEET"});
  std::vector<std::string> on_label;
  const json rules = json_of("label", file).at("rules");
  for (const json& rule : rules)
    if (rule.at("quantity") == "total SO2") on_label.push_back(rule.at("rule"));
  EXPECT_EQ(on_label, dose_rules(file));
}

const char* const kHouse =
    "rules: house\ntitle: House\nnoted: 2026-11-24\nlist:\n"
    "  - {id: HOUSE-SO2, about: total SO2 of the house, judges: [draw], quantity: total SO2, limit: at most 50 mg/L, "
    "citation: house, text: today, known: read}\n"
    "  - {id: HOUSE-ALC, about: stated strength, judges: [alcohol], quantity: difference from the stated strength, "
    "limit: at most 0.2 %vol, citation: house, text: today, known: read}\n";

TEST(OneRuleBook, HoldsTheRulesOfTheUserForEveryCommand) {
  const File house(kHouse, "house.yaml");
  const File file(sweet_wine("rules: [eu, house.yaml]\nclaims: [{say: alcohol, stated: 14 %vol, rule: HOUSE-ALC}]\n"));
  const json limits = json_of("dose", file).at("limits");
  for (const json& limit : limits)
    EXPECT_TRUE(limit.at("id") != "HOUSE-SO2" || limit.at("passed").at("date") == "2021-01-01");  // 80 of 50 mg/L
  const auto ids = dose_rules(file);
  EXPECT_NE(std::find(ids.begin(), ids.end(), "HOUSE-SO2"), ids.end());
  const std::string forecast = flowing(run_program("forecast " + file.path()).out);
  EXPECT_NE(forecast.find("is the first not within 0.2"), std::string::npos) << forecast;
  const File plain(sweet_wine(""), "plain.yaml");
  const json asked = json::parse(run_program("dose --json " + plain.path() + " --rules " + house.path()).out);
  EXPECT_TRUE(std::any_of(asked.at("limits").begin(), asked.at("limits").end(),
                          [](const json& limit) { return limit.at("id") == "HOUSE-SO2"; }));
}

// Sugar from a density. 17.2 %vol and SG 0.9856 hold 19 g/L of extract; a dry wine has 20 to 30 g/L of it that is no
// sugar. Total strength 17.2 to 17.2 + 19/16.83 = 18.3: on both sides of 17.5. Sugar 0 to 19: on both sides of 5 g/L.
TEST(SugarFromDensity, LeavesOpenWhatTurnsOnIt) {
  const std::string text =
      "reserve: Dens\nrules: [eu]\n"
      "tiers: [{name: t, vessels: [{name: v, capacity: 1000 L}], evaporation: 4 %/yr, vapour: 10 %vol}]\n"
      "lots: [{name: A, harvested: 2019-02-28, alcohol: 17.2 %vol, density: 0.9856 SG, so2: {free: 10 mg/L, total: 180 "
      "mg/L}, spirit: {volume: 10 L, strength: 96 %vol, into: 90 L}}]\n"
      "log: [{date: 2020-02-29, do: add, lot: A, to: t, volume: 1000 L}, {date: 2020-02-29, do: draw, from: t, volume: "
      "100 L, for: X}]\n";
  const File file(text);
  std::map<std::string, std::string> verdicts;
  const json rules = json_of("label", file).at("rules");
  for (const json& rule : rules) verdicts[rule.at("rule")] = rule.at("verdict");
  EXPECT_EQ(verdicts.at("EU-LIQ-TOT"), "open");
  EXPECT_EQ(verdicts.at("EU-SO2-LIQ-DRY"), "open");  // 180 of 150, if it is a dry one
  for (const std::string command : {"stock", "age", "label"})
    EXPECT_NE(flowing(run_program(command + " " + file.path() + " --notes").out).find("it may be up to 30 g/L less"),
              std::string::npos)
        << command;
}

// Names.

TEST(Designations, ThatAreNearlyThoseOfARuleAreFaults) {
  const auto said = run_program("check " + File(sweet_wine("label: {designation: oloros}\n")).path());
  EXPECT_EQ(said.status, 2);
  EXPECT_NE(said.err.find("did you mean 'oloroso'?"), std::string::npos) << said.err;
  EXPECT_EQ(letters_between("oloros", "oloroso"), 1u);
  EXPECT_EQ(letters_between("tawni port", "port"), 6u);
}

TEST(Designations, ThatNoRuleKnowsLeaveRulesOnNamesOpen) {
  const File file(sweet_wine("label: {designation: Skerry Special Reserve}\nrules: [es]\n"));
  const json label = json_of("label", file);
  EXPECT_EQ(label.at("unknown_name"), "Skerry Special Reserve");
  int of_names = 0;
  for (const json& rule : label.at("rules"))
    if (rule.at("rule").get<std::string>().starts_with("ES-")) {
      EXPECT_NE(rule.at("verdict"), "fails") << rule;
      ++of_names;
    }
  EXPECT_GT(of_names, 0);
  const std::string page = flowing(run_program("label " + file.path()).out);
  EXPECT_NE(page.find("No rule file knows the designation 'Skerry Special Reserve'"), std::string::npos) << page;
}

// Reg. (EC) 583/2009 annex II 4.8: the name "may not be qualified in any way, even in numerical form".
TEST(Designations, OfBalsamicVinegarForbidYears) {
  const std::string wine = "100 L alcohol: 1 %vol, harvested: 2008-10-01";
  for (const std::string claim : {"mean age, at least: 12 years", "started, year: 2021"}) {
    const auto trial =
        test::tried({wine, "100 %", "product: vinegar, designation: aceto balsamico di modena"}, "it", claim);
    bool fails = false;
    for (const Judgement& row : trial.view.judged.front().rows)
      fails = fails || (row.rule != nullptr && row.rule->id == "IT-BALS-NUM" && row.verdict == Verdict::fails);
    EXPECT_TRUE(fails) << claim;
  }
}

// Rules on fortified must are shown where the wine is to carry the name, and only then.
TEST(FortifyRules, AreShownForTheNameThatTheWineIsToCarry) {
  const std::string plan =
      "fortify --json --volume '1000 L' --sugar '240 g/L' --arrest '7 %vol' --spirit '96 %vol' --to '16 %vol'";
  EXPECT_TRUE(json::parse(run_program(plan).out).at("rules").empty());
  const json named = json::parse(run_program(plan + " --designation 'vin doux naturel'").out).at("rules");
  EXPECT_TRUE(std::any_of(named.begin(), named.end(), [](const json& rule) {
    return rule.at("rule") == "FR-VDN-SUGAR" && rule.at("verdict") == "fails";  // 240 < 252 g/L
  }));
  const auto misspelt = run_program(plan + " --designation 'vin doux naturell'");
  EXPECT_EQ(misspelt.status, 2);
  EXPECT_NE(misspelt.err.find("did you mean 'vin doux naturel'?"), std::string::npos);
}

}  // namespace
}  // namespace tierce
