// Verdicts on labels and taxes, against cases worked out by hand from the texts (tests/data/label_cases.csv) and
// against the table of limits as read (tests/data/label_rules.csv).
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <set>

#include "cli/read/load.h"
#include "cli/read/rule_book.h"
#include "cli/report/label/label_wording.h"
#include "cli/report/label/label_words.h"
#include "engine/wine/alcoholometry.h"
#include "tests/engine/rules/label_wine.h"
#include "tests/project/csv.h"

namespace tierce {
namespace {

using test::LabelWine;
using test::tried;

std::string verdict_of(const LabelView& view, const std::string& rule) {
  const LabelFacts& facts = view.draws.front().facts;
  if (!view.judged.empty()) {
    if (rule == "*") return verdict_word(worst(view.judged.front().rows));
    for (const Judgement& row : view.judged.front().rows)
      if (row.rule != nullptr && row.rule->id == rule) return verdict_word(row.verdict);
    return "no such row";
  }
  for (const Judgement& row : judge_draw(view.book, view.sets, facts)) {
    if (row.rule->id != rule) continue;
    if (row.rule->effect == Effect::limit) return verdict_word(row.verdict);
    return row.verdict == Verdict::holds ? "yes" : row.verdict == Verdict::fails ? "no" : "open";
  }
  return "no such row";
}

TEST(LabelCases, EachStandsAsWorkedOutByHand) {
  const auto cases = test::read_csv("label_cases.csv");
  ASSERT_GE(cases.size(), 100u);
  for (const auto& one : cases) {
    SCOPED_TRACE(one.at("case") + ": " + one.at("why"));
    const auto trial = tried({one.at("lots"), one.at("draw"), one.at("label")}, one.at("sets"), one.at("claim"));
    EXPECT_EQ(verdict_of(trial.view, one.at("rule")), one.at("verdict"));
  }
}

const std::map<std::string, Operator> kSigns = {{">=", Operator::at_least},
                                                {">", Operator::above},
                                                {"<=", Operator::at_most},
                                                {"<", Operator::below},
                                                {"==", Operator::exactly},
                                                {"same_side", Operator::same_side},
                                                {"multiple_of", Operator::multiple_of}};

/// The table has some limits in other units.
double in_our_unit(double threshold, const std::string& unit) {
  if (unit == "mL/L") return threshold / 10.0;   // %
  if (unit == "meq/L") return threshold * 0.06;  // g/L of acetic acid: 0.060 g a meq
  return threshold;
}

Known known_of(const std::string& word) {
  return word == "READ" ? Known::read : word == "READ-2nd" ? Known::second_hand : Known::memory;
}

// Worded otherwise here than in the table: a bound that is expressed through another quantity, or classes and rates.
bool told_otherwise(const std::string& id) {
  static const std::set<std::string> kOther = {"US-AGE-WINE",  "US-VAR-MULTI-ALL", "EU-VAR-100",  "FR-VDN-SP-40",
                                               "EU-DYN-T",     "US-BRANDY-2Y",     "FR-AMBER-24", "US-FILL-50",
                                               "GB-WALES-ALC", "AU-EXCL",          "FR-VDN-DATE"};
  return kOther.contains(id);
}

TEST(LabelRules, HaveTheLimitsOfTheTableWithTheirStrictness) {
  int compared = 0;
  for (const auto& row : test::read_csv("label_rules.csv")) {
    const Rule* rule = built_in_rules().find(row.at("id"));
    if (rule == nullptr || told_otherwise(row.at("id"))) continue;
    SCOPED_TRACE(row.at("id"));
    ++compared;
    EXPECT_NEAR(rule->limit, in_our_unit(test::number(row, "threshold"), row.at("unit")), 1e-12);
    EXPECT_EQ(rule->op, kSigns.at(row.at("operator")));
    EXPECT_EQ(rule->source.known, known_of(row.at("known")));
    EXPECT_EQ(rule->source.where, row.at("citation"));
  }
  EXPECT_GE(compared, 150);
}

/// What the sign in the table says of a figure.
std::string by_sign(const std::string& sign, double figure, double threshold) {
  const bool holds = sign == ">="   ? figure >= threshold
                     : sign == ">"  ? figure > threshold
                     : sign == "<=" ? figure <= threshold
                     : sign == "<"  ? figure < threshold
                                    : figure == threshold;
  return holds ? "holds" : "fails";
}

// Every limit of the table: on it, a step below, a step above.
TEST(LabelRules, AreStrictOrNotAsTheTableHasThem) {
  const auto trial = tried({"100 L", "100 %", ""}, "us", "");
  int tried_out = 0;
  for (const auto& row : test::read_csv("label_rules.csv")) {
    const Rule* rule = built_in_rules().find(row.at("id"));
    if (rule == nullptr || told_otherwise(row.at("id"))) continue;
    if (rule->op == Operator::same_side || rule->op == Operator::multiple_of) continue;
    const double threshold = in_our_unit(test::number(row, "threshold"), row.at("unit"));
    for (const double step : {-0.01, 0.0, 0.01}) {
      SCOPED_TRACE(rule->id + ' ' + std::to_string(threshold + step));
      Claim claim;
      claim.rule = rule->id;
      claim.measured = threshold + step;
      if (rule->strength_at_c != kStrengthC && rule->unit == "%vol" &&
          rule->quantity.find("stated") == std::string::npos)
        claim.measured = *alcohol_pct_from_us_proof(2.0 * claim.measured);  // a strength on the law's scale
      const Judgement judged = judge_claim(built_in_rules(), {}, claim, trial.view.draws.front().facts).front();
      std::string wanted = by_sign(row.at("operator"), threshold + step, threshold);
      if (rule->effect == Effect::statement) wanted = wanted == "holds" ? "fails" : "holds";  // nothing to state
      if (row.at("known") == "MEMORY" || (rule->open_at_limit && step == 0.0)) wanted = "open";
      if (is_known(rule->open_to) ? wanted == "fails" : !rule->open_point.empty()) wanted = "open";
      EXPECT_EQ(verdict_word(judged.verdict), wanted);
      ++tried_out;
    }
  }
  EXPECT_GE(tried_out, 400);
}

TEST(LabelRules, FromMemoryAreNeverBetterThanOpen) {
  const auto trial = tried({"100 L", "100 %", ""}, "us", "");
  int from_memory = 0;
  for (const Rule& rule : built_in_rules().rules) {
    if (rule.source.known != Known::memory) continue;
    ++from_memory;
    for (const double figure : {-1e6, rule.limit, 1e6}) {
      Claim claim;
      claim.rule = rule.id;
      claim.measured = figure;
      EXPECT_EQ(judge_claim(built_in_rules(), {}, claim, trial.view.draws.front().facts).front().verdict, Verdict::open)
          << rule.id;
    }
  }
  EXPECT_GE(from_memory, 2);  // the others have been read
}

TEST(LabelRules, AllSayWhoSaysSoAndWhen) {
  for (const Rule& rule : built_in_rules().rules) {
    EXPECT_FALSE(rule.source.where.empty() || rule.source.text_of.empty() || rule.about.empty()) << rule.id;
    for (const std::string& name : rule.gives_way_to)
      EXPECT_TRUE(std::any_of(built_in_rules().rules.begin(), built_in_rules().rules.end(),
                              [&](const Rule& other) { return other.id == name || other.family == name; }))
          << rule.id << " gives way to nothing: " << name;
  }
}

// Claims about the figures themselves.

Judgement first_row(const LabelWine& wine, const std::string& set, const std::string& claim) {
  return tried(wine, set, claim).view.judged.at(0).rows.at(0);
}

TEST(LabelFigures, MeanAgeIsThatOfTheBlend) {
  // 300 L of 10.0 years and 100 L of 2.0: (3000 + 200) / 400 = 8.0 years.
  const LabelWine wine{"300 L harvested: 2011-01-01 + 100 L harvested: 2019-01-01", "100 %", ""};
  const auto figure = [&](const std::string& claim) { return first_row(wine, "eu", claim); };
  EXPECT_EQ(figure("mean age, at least: 8 years").verdict, Verdict::holds);
  EXPECT_EQ(figure("mean age, at least: 8.001 years").verdict, Verdict::fails);
  EXPECT_NEAR(figure("mean age, at least: 7 years").margin, 1.0, 1e-9);
  EXPECT_EQ(figure("youngest, at least: 2 years").verdict, Verdict::holds);
  EXPECT_EQ(figure("youngest, at least: 3 years").verdict, Verdict::fails);
  EXPECT_EQ(figure("oldest, at least: 10 years").verdict, Verdict::holds);
  EXPECT_EQ(figure("oldest share, before: 2012, at least: 75 %").verdict, Verdict::holds);
  EXPECT_EQ(figure("oldest share, at least: 75.1 %").verdict, Verdict::fails);
  EXPECT_EQ(figure("harvests, stated: 2").verdict, Verdict::holds);
  EXPECT_EQ(figure("harvests, stated: 3").verdict, Verdict::fails);
  EXPECT_EQ(figure("started, year: 2021").verdict, Verdict::open);  // first wine 2021, harvested 2011
  EXPECT_EQ(figure("started, year: 2015").verdict, Verdict::fails);
}

TEST(LabelFigures, AMarginIsThatOfTheWorseEndAndIsHeldAgainstTheError) {
  const Judgement row = first_row({"900 L grapes: {Verdelho: 100 %} + 100 L"}, "eu", "variety, of: Verdelho");
  EXPECT_EQ(row.verdict, Verdict::holds);
  EXPECT_NEAR(row.margin, 5.0, 1e-9);  // 90 to 100 % of the variety, for 100 L state none; 85 are asked
  const LabelWine wine{"100 L alcohol: 18.9 %vol"};
  EXPECT_EQ(first_row(wine, "us", "alcohol, stated: 18 %vol").verdict, Verdict::holds);
  EXPECT_TRUE(first_row(wine, "us", "alcohol, stated: 18 %vol").within_error);  // 0.1 of margin, an error of 0.2 %vol
  EXPECT_FALSE(first_row(wine, "us", "alcohol, stated: 18 %vol, error: 0.05 %vol").within_error);
}

TEST(LabelFigures, AMeasuredStrengthTakesThePlaceOfTheComputed) {
  const LabelWine wine{"100 L alcohol: 15.5 %vol", "100 %", ""};
  EXPECT_EQ(worst(tried(wine, "us", "alcohol, stated: 16 %vol").view.judged.at(0).rows), Verdict::holds);
  EXPECT_EQ(worst(tried(wine, "us", "alcohol, stated: 16 %vol, measured: 16.1 %vol").view.judged.at(0).rows),
            Verdict::fails);
}

// A perpetual barrel refreshed by 30 % a year can hold at most 30 % of its newest harvest, just after the refill, and
// 30 % x 0.7 a year later: no single year reaches 85 %.
TEST(LabelFigures, NoVintageFitsAPerpetualBarrel) {
  std::string text =
      "reserve: Barrel\n"
      "tiers: [{name: barrel, vessels: [{name: B, capacity: 225 L}], evaporation: 0 %/yr}]\n"
      "lots: [{name: V10, vintage: 2010, alcohol: 18 %vol}]\n"
      "log: [{date: 2010-12-01, do: add, lot: V10, to: barrel, volume: 225 L}]\n"
      "habit: {day: 1 Dec, draw: 30 %, refill: {like: V10}}\nuntil: 2040\n"
      "claims: [{say: vintage, year: 2038}]\n";
  std::vector<Problem> problems;
  const LoadedScenario loaded = check_source(source_from("barrel.yaml", text, problems));
  ASSERT_TRUE(loaded.problems.empty());
  const Outlook outlook = run_scenario(loaded.scenario, {});
  const LabelView view = label_view(outlook, {.book = built_in_rules(), .sets = {"us", "eu", "au"}, .claims = {}});
  for (const ClaimOnDraw& one : view.judged) {
    EXPECT_EQ(worst(one.rows), Verdict::fails);
    for (const Judgement& row : one.rows) EXPECT_FALSE(row.value > 30.0 + 1e-9);  // some rules have no figure
  }
}

// Little's law: 225 L of which 25 are drawn and replaced a year, without loss: stock over draw is 9.0, and so is the
// mean stay of what is drawn (clock entry, drawn before the refill, after many years).
TEST(LabelFigures, TheQuotientOfABarrelIsStockOverDraw) {
  std::string text =
      "reserve: Barrel\nclock: entry\n"
      "tiers: [{name: barrel, vessels: [{name: B, capacity: 225 L}], evaporation: 0 %/yr}]\n"
      "lots: [{name: V10, vintage: 1700, alcohol: 18 %vol}]\n"
      "log: [{date: 1700-12-01, do: add, lot: V10, to: barrel, volume: 225 L}]\n"
      "habit: {day: 1 Dec, draw: 25 L, refill: {like: V10}}\nuntil: 2040\n";
  std::vector<Problem> problems;
  const LoadedScenario loaded = check_source(source_from("barrel.yaml", text, problems));
  ASSERT_TRUE(loaded.problems.empty());
  const Outlook outlook = run_scenario(loaded.scenario, {});
  const LabelFacts facts = label_facts(outlook.scenario, outlook.line, outlook.run, outlook.run.draws.back());
  EXPECT_NEAR(facts.quotient_y, 9.0, 1e-9);
  EXPECT_NEAR(facts.quotient_after_y, 8.0, 1e-9);
  EXPECT_NEAR(facts.age.mean_y, 9.0, 1e-6);
}

/// A barrel of 225 L of which 25 L are drawn and 4 L lost each year, all of it made up with new wine on the same day.
std::string barrel_with_losses(int years) {
  std::string log;
  for (int i = 1; i <= years; ++i) {
    const std::string day = "  - {date: " + std::to_string(1700 + i) + "-12-01, do: ";
    log += day + "draw, from: barrel, volume: 25 L, for: Draw " + std::to_string(1700 + i) + "}\n" + day +
           "lose, from: barrel, volume: 4 L, cause: soakage}\n" + day + "refill, lot: V}\n";
  }
  return "reserve: Barrel\nclock: entry\n"
         "tiers: [{name: barrel, vessels: [{name: B, capacity: 225 L}], evaporation: 0 %/yr}]\n"
         "lots: [{name: V, vintage: 1700, alcohol: 18 %vol}]\n"
         "log:\n  - {date: 1700-12-01, do: add, lot: V, to: barrel, volume: 225 L}\n" +
         log;
}

// W-17, with 4 L lost and replaced a year: stock over draw is still 225/25 = 9.0, while the wine that is there just
// before a draw is 225/29 = 7.7586 years old in the mean (29 of 225 L are new each year; by hand, a geometric series
// whose rest after 200 years is (196/225)^200 = 1e-12). With losses counted as drawn the quotient is 225/29 too.
TEST(LabelFigures, TheQuotientPassesTheMeanAgeWhereWineIsLost) {
  std::vector<Problem> problems;
  const LoadedScenario loaded = check_source(source_from("barrel.yaml", barrel_with_losses(200), problems));
  ASSERT_TRUE(loaded.problems.empty()) << loaded.problems.front().what;
  const Outlook outlook = run_scenario(loaded.scenario, {});
  LabelQuestion question{.book = built_in_rules(), .sets = {"es"}, .claims = {}};
  Claim claim;
  claim.say = Say::quotient;
  claim.at_least = 9.0;
  question.claims = {claim};
  question.draw = outlook.run.draws.back().name;
  const LabelView view = label_view(outlook, std::move(question));
  const LabelFacts& facts = view.draws.back().facts;
  EXPECT_NEAR(facts.quotient_y, 9.0, 1e-9);
  EXPECT_NEAR(facts.age.mean_y, 225.0 / 29.0, 1e-6);
  EXPECT_NEAR(facts.quotient_with_losses_y, 225.0 / 29.0, 1e-9);
  const Judgement& row = view.judged.at(0).rows.at(0);
  EXPECT_EQ(row.verdict, Verdict::holds);
  const std::string why = why_text(row, facts);  // both figures are told, rounded down
  EXPECT_NE(why.find("with losses counted as drawn 7.7; the volume-weighted mean age is 7.7"), std::string::npos)
      << why;
}

/// The verdict of EU-VIN-85 on so many litres of 2020 and of 2019 beside wine of which nothing is known.
Verdict with_unknown_wine(int of_2020_l, int of_2019_l, int unknown_l) {
  const auto litres = [](int l) { return std::to_string(l) + " L"; };
  std::string text =
      "reserve: R\ntiers: [{name: floor, vessels: [{name: F, capacity: 1000 L}], evaporation: 0 %/yr}]\n"
      "lots: [{name: A, vintage: 2020, alcohol: 14 %vol}, {name: B, vintage: 2019, alcohol: 14 %vol}]\n"
      "opening: [{date: 2021-01-01, tier: floor, volume: " +
      litres(unknown_l) +
      ", lots: {unknown: 100 %}, alcohol: 14 %vol}]\nlog:\n"
      "  - {date: 2021-01-01, do: add, lot: A, to: floor, volume: " +
      litres(of_2020_l) + "}\n" + "  - {date: 2021-01-01, do: add, lot: B, to: floor, volume: " + litres(of_2019_l) +
      "}\n" + "  - {date: 2021-01-01, do: draw, from: floor, share: 100 %, for: Bottling}\n";
  std::vector<Problem> problems;
  const LoadedScenario loaded = check_source(source_from("r.yaml", text, problems));
  if (!loaded.problems.empty()) throw std::runtime_error(loaded.problems.front().what);
  const Outlook outlook = run_scenario(loaded.scenario, {});
  Claim claim;
  claim.say = Say::vintage;
  claim.year = 2020;
  claim.rule = "EU-VIN-85";
  const LabelView view = label_view(outlook, {.book = built_in_rules(), .sets = {"eu"}, .claims = {claim}});
  return view.judged.at(0).rows.back().verdict;
}

// 85 % is asked. Unknown wine may be of 2020 or not: what holds, or fails, either way is decided.
TEST(LabelFigures, UnknownWineDecidesNothingByItself) {
  EXPECT_EQ(with_unknown_wine(860, 40, 100), Verdict::holds);   // 86 % at least
  EXPECT_EQ(with_unknown_wine(850, 50, 100), Verdict::holds);   // 85 % at least
  EXPECT_EQ(with_unknown_wine(840, 60, 100), Verdict::open);    // 84 to 94 %
  EXPECT_EQ(with_unknown_wine(750, 150, 100), Verdict::open);   // 75 to 85 %: it may stand on the limit
  EXPECT_EQ(with_unknown_wine(740, 160, 100), Verdict::fails);  // 84 % at most
}

// Two lots that went in on the first day, harvests of 2020 and 2019: the reserve began with the older one.
TEST(LabelFigures, ItBeganWithTheOldestHarvestOfItsFirstDay) {
  const auto trial = tried({"90 L vintage: 2020 + 10 L vintage: 2019", "100 %", ""}, "eu", "");
  EXPECT_EQ(trial.view.draws.front().facts.first_vintage, 2019);
  const auto sentences = wording_for(trial.view, trial.view.draws.front());
  ASSERT_FALSE(sentences.empty());
  EXPECT_EQ(sentences.front().text, "Started with the harvest of 2019.");
}

}  // namespace
}  // namespace tierce
