// The rule files say what the texts say: tests/data/laws.csv has each row with its source, its edition and the words
// that the file has for it. And what a rule asks of wood, of days, and of the day on which it is in force.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "cli/read/claim_check.h"
#include "cli/read/load.h"
#include "cli/read/read_claims.h"
#include "cli/read/read_rules.h"
#include "cli/read/rule_book.h"
#include "cli/report/label/label_wording.h"
#include "cli/report/label/label_words.h"
#include "tests/cli/command/program.h"
#include "tests/engine/rules/label_wine.h"
#include "tests/project/csv.h"

namespace tierce {
namespace {

/// A long text goes on in the next line.
std::string in_one_line(std::string text) {
  const std::string next = "\n      ";
  for (auto at = text.find(next); at != std::string::npos; at = text.find(next)) text.replace(at, next.size(), " ");
  return text;
}

/// The lines of one rule or class, as the files have them.
std::string lines_of_rule(const std::string& id) {
  for (const BuiltInRules& file : built_in_rule_files()) {
    const std::string text = file.text, head = "  - id: " + id + "\n";
    const auto from = text.find(head);
    if (from == std::string::npos) continue;
    const auto end = std::min(text.find("\n  - id: ", from), text.find("\nclasses:", from));
    return in_one_line(text.substr(from, end == std::string::npos ? end : end - from + 1));
  }
  return "";
}

/// What stands behind a key, or the whole rule where a note may stand in another key.
std::string field_of(const std::string& rule, const std::string& field) {
  if (field == "note") return rule;
  const std::string head = "\n    " + field + ": ";
  const auto from = rule.find(head);
  return from == std::string::npos ? ""
                                   : rule.substr(from + head.size(), rule.find('\n', from + 1) - from - head.size());
}

std::string without_quotes(std::string text) {
  std::erase(text, '"');
  return text;
}

TEST(LawTexts, EveryRowThatWasCheckedStandsInTheRuleFiles) {
  int compared = 0;
  for (const auto& row : test::read_csv("laws.csv")) {
    if (row.at("status") != "changed" && row.at("status") != "same") continue;
    SCOPED_TRACE(row.at("id") + ' ' + row.at("field") + ": " + row.at("remark"));
    const std::string rule = lines_of_rule(row.at("id"));
    ASSERT_FALSE(rule.empty());
    EXPECT_NE(without_quotes(field_of(rule, row.at("field"))).find(row.at("file_has")), std::string::npos)
        << "wanted: " << row.at("file_has") << "\nin: " << rule;
    ++compared;
  }
  EXPECT_GE(compared, 205);
}

TEST(LawTexts, WhatWasMissingIsThereOrListedAsNotTakenWithAReason) {
  const std::string manual = test::read_file(std::string(TIERCE_SOURCE_DIR) + "/docs/label.md");
  const std::string list = manual.substr(manual.find("### Not taken"));
  for (const auto& row : test::read_csv("laws.csv")) {
    if (row.at("status") != "missing") continue;
    SCOPED_TRACE(row.at("id"));
    if (row.at("file_has") == "not taken") EXPECT_NE(list.find("`" + row.at("id") + "`"), std::string::npos);
    else EXPECT_NE(lines_of_rule(row.at("file_has")), "") << row.at("file_has");
  }
}

TEST(LawTexts, WhatWasNotFoundIsNotCalledRead) {
  for (const auto& row : test::read_csv("laws.csv")) {
    if (row.at("status") != "not found") continue;
    EXPECT_EQ(lines_of_rule(row.at("id")).find("known: read"), std::string::npos) << row.at("id");
  }
}

// A wine that stands in a tank and in wood: 100 L of each harvest, wood from the day it enters the tier.

struct Kept {
  std::string added = "2018-10-01";
  std::string drawn = "2021-01-01";
  std::string more{};  // further entries of the log, or keys
  std::string label{};
  std::string clock = "harvest";
  std::string opening{};
  int vintage = 2018;
};

struct Judged {
  std::unique_ptr<Outlook> outlook;
  LabelView view;
};

Judged judged(const Kept& kept, const std::string& set, const std::string& claim, std::optional<Date> today = {}) {
  const std::string text = "reserve: Trial\nclock: " + kept.clock +
                           "\ntiers: [{name: floor, vessels: [{name: F, capacity: 1000 L}], evaporation: 0 %/yr}]\n"
                           "tanks: [{name: T, capacity: 1000 L}]\n"
                           "lots: [{name: L, vintage: " +
                           std::to_string(kept.vintage) + ", alcohol: 18.5 %vol, sugar: 80 g/L}]\n" + kept.opening +
                           "log:\n  - {date: " + kept.added + ", do: add, lot: L, to: floor, volume: 100 L}\n" +
                           kept.more + "  - {date: " + kept.drawn +
                           ", do: draw, from: floor, volume: 50 L, for: Bottling}\nlabel: {" + kept.label + "}\n";
  std::vector<Problem> problems;
  const LoadedScenario loaded = check_source(source_from("trial.yaml", text, problems));
  if (!loaded.problems.empty()) throw std::runtime_error(loaded.problems.front().what + '\n' + text);
  LabelQuestion question{.book = built_in_rules(), .sets = {set}, .claims = {}};
  question.today = today;
  if (!claim.empty()) {
    Source said;
    question.claims.push_back(*claim_from_option(claim, said, problems));
    problems = claim_problems(question.claims.back(), question.book);
    if (!problems.empty()) throw std::runtime_error(problems.front().what);
  }
  Judged result{std::make_unique<Outlook>(run_scenario(loaded.scenario, {})), {}};
  result.view = label_view(*result.outlook, std::move(question));
  return result;
}

Judgement row_of(const Kept& kept, const std::string& set, const std::string& claim, const std::string& rule) {
  const Judged one = judged(kept, set, claim);
  const LabelFacts& facts = one.view.draws.front().facts;
  const auto rows = one.view.judged.empty() ? judge_draw(built_in_rules(), {set}, facts) : one.view.judged.front().rows;
  for (const Judgement& row : rows)
    if (row.rule != nullptr && row.rule->id == rule) return row;
  throw std::runtime_error("no row of " + rule);
}

// Reg. 401/2010 Annex I: superiore two years, vergine five, stravecchio ten, all of it in wooden barrels. A trade
// summary of the specification of 2013 asks for 20, 56 and 116 months in wood: between them it is open.
TEST(LawTexts, MarsalaCountsTimeInWoodWhateverTheClock) {
  const auto superiore = [](const std::string& added, const std::string& clock) {
    return row_of({added, "2021-01-01", "", "designation: marsala superiore", clock, ""}, "it",
                  "youngest, at least: 0 years", "IT-MARSALA-SUP")
        .verdict;
  };
  for (const std::string clock : {"harvest", "entry", "wood"}) {
    SCOPED_TRACE(clock);
    EXPECT_EQ(superiore("2019-01-01", clock), Verdict::holds);  // 2 years
    EXPECT_EQ(superiore("2019-01-02", clock), Verdict::open);   // a day less: 20 months it has
    EXPECT_EQ(superiore("2019-05-01", clock), Verdict::open);   // 245 days of 365 after 1 Jan 2020: 1.671 years
    EXPECT_EQ(superiore("2019-05-05", clock), Verdict::fails);  // 1.660 years, and 20 months are 1.667
  }
}

// Wine that was in wood for a year and then in a tank for a year has one year of wood, though it is older.
TEST(LawTexts, TimeInATankIsNoTimeInWood) {
  const Kept kept{.added = "2019-01-01",
                  .drawn = "2021-01-01",
                  .more =
                      "  - {date: 2020-01-01, do: move, from: floor, to: T, volume: 100 L}\n"
                      "  - {date: 2021-01-01, do: move, from: T, to: floor, volume: 100 L}\n",
                  .label = "designation: marsala fine"};
  const Judgement row = row_of(kept, "it", "youngest, at least: 1 years", "IT-MARSALA-FINE-WOOD");
  EXPECT_NEAR(row.value, 1.0, 1e-9);
  EXPECT_EQ(row.verdict, Verdict::holds);  // eight months are asked
}

// Opening wine: its age by another clock is no time in wood. What is known is the time since the book opened.
TEST(LawTexts, OpeningWineHasUnknownTimeInWood) {
  const auto vergine = [](const std::string& opened) {
    const Kept kept{.added = "2015-01-01",
                    .label = "designation: marsala vergine",
                    .opening = "opening: [{date: " + opened +
                               ", tier: floor, volume: 100 L, lots: {old: 100 %}, ages: {old: 30 years}, "
                               "alcohol: 18 %vol, sugar: 80 g/L}]\n",
                    .vintage = 2010};
    return row_of(kept, "it", "youngest, at least: 5 years", "IT-MARSALA-VERG");
  };
  EXPECT_EQ(vergine("2014-06-01").verdict, Verdict::holds);  // the added wine has six years, the other more
  const Judgement row = row_of({.added = "2018-01-01",
                                .label = "designation: marsala vergine",
                                .opening = "opening: [{date: 2017-12-31, tier: floor, volume: 100 L, lots: {old: 100 "
                                           "%}, ages: {old: 30 years}, alcohol: 18 %vol, sugar: 80 g/L}]\n",
                                .vintage = 2010},
                               "it", "youngest, at least: 5 years", "IT-MARSALA-VERG");
  EXPECT_EQ(row.verdict, Verdict::fails);  // the added wine has three years of the five (56 months are 4.67)
}

// Decree of 29 Dec 1997 art. 7: up to 1 September of the second year following the year of the crop.
TEST(LawTexts, AmberIsKeptUntilADay) {
  const auto amber = [](const std::string& drawn) {
    return row_of({.drawn = drawn, .label = "designation: rivesaltes ambre"}, "fr", "", "FR-AMBER-24");
  };
  EXPECT_EQ(amber("2020-08-31").verdict, Verdict::fails);  // the crop is of 2018
  EXPECT_EQ(amber("2020-09-01").verdict, Verdict::holds);
  EXPECT_EQ(limit_text(amber("2020-09-01")),
            "at least 1\xC2\xA0Sep of year\xC2\xA0"
            "2");
  EXPECT_EQ(value_text(amber("2020-08-31")),
            "31\xC2\xA0"
            "Aug of year\xC2\xA0"
            "2");
  EXPECT_NEAR(amber("2020-09-03").margin, 2.0, 1e-9);  // days
}

// Summary of the institute of vine and wine: 36 months after the last fortification; the wine came in fortified.
TEST(LawTexts, CanteiroCountsFromTheLastFortification) {
  const auto canteiro = [](const std::string& added, const std::string& more = "") {
    return row_of({added, "2022-01-01", more, "designation: madeira", "harvest",
                   "spirits: [{name: S, strength: 96 %vol}]\n"},
                  "pt", "youngest, at least: 1 years, term: canteiro", "PT-MAD-CANT-BOT")
        .verdict;
  };
  EXPECT_EQ(canteiro("2019-01-01"), Verdict::holds);  // three years in the tier: the spirit is older still
  EXPECT_EQ(canteiro("2019-01-02"), Verdict::open);   // harvested in 2018, fortified nobody says when
  EXPECT_EQ(canteiro("2019-01-01", "  - {date: 2020-01-01, do: fortify, tier: floor, spirit: S, volume: 1 L}\n"),
            Verdict::open);
}

LabelFacts wine_of(double alcohol_pct) {
  LabelFacts facts;
  facts.wine.alcohol_pct = alcohol_pct;
  facts.words["product"] = "liqueur wine";
  return facts;
}

// 26 USC 5041: 16 % from 2018 (Pub. L. 115-97 s. 13805(b)); the credits of 5041(c) as they stand, from 2021; before
// 2018 0.90 USD on 100,000 gal; what held from 2018 to 2020 was not seen.
TEST(LawTexts, ACreditHasItsDays) {
  const double gal = 3.785411784;
  const auto credit = [&](const Date& day) {
    const TaxClass* wine = nullptr;
    for (const TaxClass* one : classes_of(built_in_rules(), {"us"}, wine_of(15.0), day))
      if (is_known(one->rate)) wine = one;
    return credit_on(built_in_rules(), *wine, 0, 1000 * gal, day);
  };
  EXPECT_NEAR(credit({2026, 1, 1}), 1000.0, 1e-9);
  EXPECT_NEAR(credit({2021, 1, 1}), 1000.0, 1e-9);
  EXPECT_FALSE(is_known(credit({2020, 12, 31})));
  EXPECT_FALSE(is_known(credit({2018, 1, 1})));
  EXPECT_NEAR(credit({2017, 12, 31}), 900.0, 1e-9);
}

// CIBS L313-16, L313-17: still wine to 15 %vol, from there to 18 only without enrichment.
TEST(LawTexts, FranceHasIntermediateProducts) {
  const auto of = [](double pct) {
    return classes_of(built_in_rules(), {"fr"}, wine_of(pct), {2026, 1, 1}).front()->id;
  };
  EXPECT_EQ(of(15.0), "FR-CLS-15");
  EXPECT_EQ(of(15.1), "FR-CLS-18");
  EXPECT_EQ(of(18.0), "FR-CLS-18");
  EXPECT_EQ(of(18.1), "FR-CLS-INT");
}

// Deleg. Reg. 2023/1606 art. 3: the list of ingredients from 8 December 2023.
TEST(LawTexts, ADrawIsJudgedByTheRulesOfItsDayAndALabelByThoseOfToday) {
  const auto listed = [](const std::string& drawn) {
    const Judged one = judged({.drawn = drawn}, "eu", "");
    const auto rows = judge_draw(built_in_rules(), {"eu"}, one.view.draws.front().facts);
    return std::any_of(rows.begin(), rows.end(), [](const Judgement& row) { return row.rule->id == "EU-INGREDIENTS"; });
  };
  EXPECT_FALSE(listed("2023-12-07"));
  EXPECT_TRUE(listed("2023-12-08"));
  const auto changes = [](const std::string& drawn, const Date& today) {
    const Judged one = judged({.drawn = drawn}, "eu", "", today);
    return changed_since(one.view, one.view.draws.front());
  };
  const auto found = changes("2023-12-07", {2024, 1, 1});
  ASSERT_EQ(found.size(), 1u);
  EXPECT_EQ(found[0].by, "EU-INGREDIENTS");
  EXPECT_EQ(found[0].then, OnDay::not_in_force);
  EXPECT_EQ(found[0].today, OnDay::needed);
  EXPECT_TRUE(changes("2023-12-08", {2024, 1, 1}).empty());
  EXPECT_TRUE(changes("2023-12-07", {2023, 12, 7}).empty());
}

// A rule that is named though it is not in force says so, and is open. CGI art. 440, abrogated on 24 May 2022.
TEST(LawTexts, AnAbrogatedRuleSaysSo) {
  const auto by = [](const std::string& drawn) {
    return row_of({.drawn = drawn, .label = "designation: vin doux naturel"}, "fr",
                  "figure, measured: 17 %vol, rule: FR-VDN-TAX18", "FR-VDN-TAX18");
  };
  EXPECT_EQ(by("2022-05-23").because, Because::open_point);
  EXPECT_EQ(by("2022-05-24").because, Because::not_in_force);
  EXPECT_EQ(by("2022-05-24").verdict, Verdict::open);
}

// Whatever the program offers to say holds no word that is kept for others: no "vintage", which is port's.
TEST(LawTexts, NoWordingThatIsOfferedIsAKeptTerm) {
  const auto trial = test::tried({"60 L vintage: 2020; grapes: {Verdelho: 100 %} + 40 L vintage: 2018"}, "eu", "");
  const auto sentences = wording_for(trial.view, trial.view.draws.front());
  ASSERT_GE(sentences.size(), 5u);
  for (const Wording& sentence : sentences) {
    Claim claim;
    claim.say = Say::wording;
    claim.term = sentence.text;
    const auto rows = judge_claim(built_in_rules(), {"eu"}, claim, trial.view.draws.front().facts);
    EXPECT_EQ(rows.front().because, Because::no_rule) << sentence.text;
  }
}

// Faults of rule files, each with its line.

std::string first_fault(const std::string& keys) {
  std::vector<Problem> problems;
  RuleBook book;
  const std::string text =
      "rules: house\ntitle: House\nnoted: 2026-11-24\nlist:\n  - id: H-1\n    about: strength\n    judges: [draw]\n" +
      keys;
  read_rules(source_from("house.yaml", text, problems), book, problems);
  return problems.empty() ? "" : std::to_string(problems.front().at.line) + ": " + problems.front().what;
}

TEST(LawTexts, BadDatesStatusesAndSourcesAreFaults) {
  const std::string limit = "    quantity: strength\n    limit: at most 19 %vol\n";
  const std::string source = "    citation: house\n    text: today\n    known: read\n";
  EXPECT_EQ(first_fault(limit + source), "");
  EXPECT_EQ(first_fault(limit + "    from: 2018-01-01\n    until: 2017-12-31\n" + source),
            "11: 'until': 2017-12-31 comes before 'from', 2018-01-01");
  EXPECT_EQ(first_fault(limit + "    from: 2018-01-01\n    until: 2018-01-01\n" + source), "");
  EXPECT_EQ(first_fault(limit + "    from: 2018-02-30\n" + source).substr(0, 4), "10: ");
  EXPECT_EQ(first_fault(limit + "    citation: house\n    text: today\n    known: guessed\n"),
            "12: 'known' cannot be 'guessed'");
  EXPECT_EQ(first_fault(limit + "    text: today\n"), "5: a rule has no 'citation'");
  EXPECT_EQ(first_fault(limit + "    citation: house\n"), "5: a rule has no 'text'");
  EXPECT_EQ(first_fault(limit + "    open to: 20 %vol\n" + source), "10: 'open to' without 'left open'");
  EXPECT_EQ(first_fault(limit + "    open to: 18 %vol\n    left open: who knows\n" + source),
            "10: 'open to': 18 %vol is not beyond the limit");
  EXPECT_EQ(first_fault("    quantity: kept until\n    limit: at least 30 months\n" + source),
            "9: 'limit': '30 months' is no day after a harvest");
  EXPECT_EQ(first_fault("    quantity: kept until\n    limit: at least 31 Feb of year 2\n" + source).substr(0, 3),
            "9: ");
}

}  // namespace
}  // namespace tierce
