// What `tierce label` advises and what it offers to print: only what the figures bear out.
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <memory>

#include "cli/read/load.h"
#include "cli/read/rule_book.h"
#include "cli/report/label/label_wording.h"
#include "cli/report/label/label_words.h"
#include "cli/write/write.h"
#include "tests/cli/command/program.h"
#include "tests/engine/rules/label_wine.h"

namespace tierce {
namespace {

using test::LabelWine;
using test::tried;

test::LabelTrial viewed(const std::string& text, const std::vector<std::string>& sets = {}) {
  std::vector<Problem> problems;
  const LoadedScenario loaded = check_source(source_from("trial.yaml", text, problems));
  if (!loaded.problems.empty()) throw std::runtime_error(loaded.problems.front().what);
  test::LabelTrial trial{std::make_unique<Outlook>(run_scenario(loaded.scenario, {})), {}};
  trial.view = label_view(*trial.outlook, {.book = built_in_rules(), .sets = sets, .claims = {}});
  return trial;
}

std::string advice(const test::LabelTrial& trial, std::size_t claim) {
  for (const LabelChange& change : label_changes(trial.view))
    if (change.claim == claim) return change_text(trial.view, change, Units::metric);
  return "";
}

bool says(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

// A steel tank of 12,000 L that loses 1.5 % a year and is refilled every 1 April with wine of the last harvest (1
// October: 182/365 of a year old). Drawn first, a part u = (D + 0.015 x 12,000) / 12,000 of it is new each year, and
// the draw is 182/365 + 1/u years old (docs/target.md, closed forms). For 3 years D = 4,617.37 L, 92.3 % of 5,000 L.
// The fixed refill of 2033 runs the tank over where little is drawn that year: a trial that stops there says nothing.
std::string steel(double draw_l) {
  return "reserve: Steel\n"
         "tiers: [{name: steel, vessels: [{name: R1, capacity: 120 hL}], evaporation: 1.5 %/yr, vapour: 11 %vol}]\n"
         "lots: [{name: VE20, vintage: 2020, alcohol: 11 %vol}]\n"
         "log: [{date: 2021-04-01, do: add, lot: VE20, to: steel, volume: 120 hL}]\n"
         "habit:\n  day: 1 Apr\n  draw: " +
         std::to_string(static_cast<int>(draw_l)) +
         " L\n  for: Tirage {year}\n  refill: {like: VE20}\n"
         "  except: {2033: {draw: 7000 L, refill: {like: VE20, volume: 1000 L}}}\n"
         "until: 2061\nlabel: {product: wine}\nclaims: [{say: mean age, at least: 3 years}]\n";
}

TEST(LabelAdvice, ATrialThatStopsIsNoAnswer) {
  const double u = 1.0 / (3.0 - 182.0 / 365.0), draw_l = (u - 0.015) * 12000.0;
  EXPECT_NEAR(draw_l, 4617.37, 0.005);  // by hand
  const std::string text = advice(viewed(steel(5000), {"it"}), 0);
  EXPECT_TRUE(says(text, "if every draw of the habit were at most 92.3\xC2\xA0% of what it is, 4,617.3 L in place of"))
      << text;
}

// With 1,000 L drawn nothing has to change; with the age wanted out of reach the advice says so.
TEST(LabelAdvice, IsSilentWhereTheFigureHoldsAndSaysWhereNoDrawDoes) {
  EXPECT_EQ(advice(viewed(steel(4600), {"it"}), 0), "");
  std::string text = steel(5000);
  text.replace(text.find("3 years"), 7, "80 years");  // the ceiling is 182/365 + 1/0.015 = 67.2 years
  const std::string never = advice(viewed(text, {"it"}), 0);
  EXPECT_TRUE(says(never, "no smaller draw of the habit brings Tirage 2061 there")) << never;
  // 2033: 12,000 x 0.985 - 7,000 p + 1,000 L go into 12,000 L from p = 820 / 7,000 = 11.71 % on.
  EXPECT_TRUE(says(never, "draws of less than 11.7\xC2\xA0% of what they are cannot be tried")) << never;
}

// Brandy of one scale whose official quotient is 400 / 40 = 10: the claim's own figure holds at 100 % of the draws, and
// what fails is the rule that a stated age is that of the youngest part. No draw changes that.
TEST(LabelAdvice, NoDrawCuresARuleThatForbidsTheStatement) {
  const auto trial = viewed(
      "reserve: Brandy\nclock: entry\n"
      "tiers: [{name: s, vessels: [{name: A, capacity: 400 L}], evaporation: 0 %/yr}]\n"
      "lots: [{name: NS, vintage: 2000, alcohol: 65 %vol}]\n"
      "log: [{date: 2001-01-01, do: add, lot: NS, to: s, volume: 400 L}]\n"
      "habit: {day: 1 Jul, draw: 40 L, refill: {like: NS}}\nuntil: 2060\nlabel: {product: spirits}\n"
      "claims: [{say: quotient, at least: 8 years}, {say: mean age, at least: 8 years}]\n",
      {"us", "eu"});
  for (const std::size_t claim : {0u, 1u}) {
    const std::string text = advice(trial, claim);
    EXPECT_TRUE(says(text, "the figure holds as it is; ")) << text;
    EXPECT_TRUE(says(text, "US-SPIRIT-AGE") && says(text, "EU-AGE-YOUNG") && says(text, "whatever is drawn")) << text;
    EXPECT_FALSE(says(text, "if every draw")) << text;
  }
}

// Wording.

std::string joined(const std::vector<Wording>& all, bool refused) {
  std::string text;
  for (const Wording& one : all)
    if (one.refused == refused) text += one.place + ": " + one.text + '\n';
  return text;
}

std::vector<Wording> worded(const LabelWine& wine, const std::string& set) {
  const auto trial = tried(wine, set, "");
  return wording_for(trial.view, trial.view.draws.front());
}

// 95 of 100 L are of 2020. No rule of France is on file that asks for less than all; Deleg. Reg. 2019/33 art. 49(1)
// asks for 85 %.
TEST(LabelOffers, AVintageIfAllOfItIsOrARuleAsksForLess) {
  const LabelWine most{"95 L vintage: 2020; alcohol: 12 %vol + 5 L vintage: 2019; alcohol: 12 %vol"};
  EXPECT_FALSE(says(joined(worded(most, "fr"), false), "Harvest of"));
  EXPECT_TRUE(says(joined(worded(most, "fr"), true), "front: Harvest of 2020"));
  EXPECT_TRUE(says(joined(worded(most, "eu"), false), "front: Harvest of 2020 (95.0\xC2\xA0% of it)"));
  const LabelWine half{"50 L vintage: 2020; alcohol: 12 %vol + 50 L vintage: 2019; alcohol: 12 %vol"};
  EXPECT_FALSE(says(joined(worded(half, "eu"), false), "Harvest of"));
  const LabelWine all{"100 L vintage: 2020; alcohol: 12 %vol"};
  EXPECT_TRUE(says(joined(worded(all, "fr"), false), "front: Harvest of 2020\n"));
}

// 43 of 100 L are stated to be Verdelho, the rest states nothing: it may be anything.
TEST(LabelOffers, AVarietyOnlyAsFarAsItIsStated) {
  const std::string rest = " L alcohol: 12 %vol";
  const LabelWine part{"43 L grapes: {Verdelho: 100 %}; alcohol: 12 %vol + 57" + rest};
  EXPECT_FALSE(says(joined(worded(part, "fr"), false), "Verdelho"));
  EXPECT_TRUE(says(joined(worded(part, "fr"), true), "front: Verdelho"));
  EXPECT_FALSE(says(joined(worded(part, "eu"), false), "Verdelho"));
  const LabelWine all{"100 L grapes: {Verdelho: 100 %}; alcohol: 12 %vol"};
  EXPECT_TRUE(says(joined(worded(all, "fr"), false), "front: Verdelho\n"));
}

// 0.01 of 100 L is 0.01 %: printed to a tenth it would read 0.0 %.
TEST(LabelOffers, NoShareThatPrintsAsNothing) {
  const LabelWine wine{"0.01 L vintage: 2000; alcohol: 12 %vol + 99.99 L vintage: 2020; alcohol: 12 %vol"};
  EXPECT_FALSE(says(joined(worded(wine, "eu"), false), "of it is from the harvest"));
  const LabelWine more{"0.2 L vintage: 2000; alcohol: 12 %vol + 99.8 L vintage: 2020; alcohol: 12 %vol"};
  EXPECT_TRUE(says(joined(worded(more, "eu"), false), "0.2\xC2\xA0% of it is from the harvest of 2000."));
}

// 100 of 200 L come from lots of 2018, of which 20 in 100 were spirit: 50 % with the spirit, 80 / 200 = 40 % without.
TEST(LabelOffers, AShareOfAHarvestWithTheBaseItStandsOn) {
  const LabelWine wine{"100 L vintage: 2018; spirit 20 into 80 + 100 L vintage: 2019; spirit 10 into 90"};
  EXPECT_TRUE(
      says(joined(worded(wine, "eu"), false),
           "40.0\xC2\xA0% of it is from the harvest of 2018 (the spirit stated in it left out; 50.0\xC2\xA0% with "
           "it)."));
  const LabelWine silent{"100 L vintage: 2018 + 100 L vintage: 2019"};  // 18 %vol, no spirit stated
  EXPECT_TRUE(says(joined(worded(silent, "eu"), false), "(spirit counted with it: none is stated)"));
}

// Harvested on 1 Sep 2019, drawn on 1 Jan 2021: 1 + 122/365 = 1.33 years; its spirit of 2019 may be of 31 December and
// then has 1 + 1/365 = 1.00. Spirit of 2020 may be a day old. Of spirit that is not stated nothing is known.
TEST(LabelOffers, AYoungestPartThatCountsTheSpiritInTheLots) {
  const auto with_spirit = [](const std::string& made) {
    return worded({"100 L harvested: 2019-09-01; spirit: {volume: 20 L, strength: 96 %vol, into: 80 L" + made + "}"},
                  "eu");
  };
  EXPECT_TRUE(says(joined(with_spirit(", made: 2019"), false), "No part of it was younger than 1.0\xC2\xA0years"));
  for (const char* made : {", made: 2020", ""})
    EXPECT_TRUE(says(joined(with_spirit(made), true), "No part is younger than ...")) << made;
  const auto wine = worded({"100 L harvested: 2019-09-01; alcohol: 12 %vol"}, "eu");
  EXPECT_TRUE(says(joined(wine, false), "No part of it was younger than 1.3\xC2\xA0years"));
  EXPECT_TRUE(says(joined(worded({"100 L harvested: 2019-09-01"}, "eu"), true), "No part is younger than ..."));
}

// Of all demos, under every set of rules: what is offered as a vintage or a variety is all of the wine or has a rule
// that holds, and no sentence is both offered and refused.
TEST(LabelOffers, NothingThatIsRefusedBesideIt) {
  int offered = 0;
  for (const char* name : {"amber", "petrel", "steel_reserve", "three_tiers", "working_year", "four_scales"}) {
    const LoadedScenario loaded = load_scenario(std::string(TIERCE_SOURCE_DIR) + "/scenarios/" + name + ".yaml");
    ASSERT_TRUE(loaded.problems.empty()) << name;
    const Outlook outlook = run_scenario(loaded.scenario, {});
    for (const RuleSet& set : built_in_rules().sets) {
      const LabelView view = label_view(outlook, {.book = built_in_rules(), .sets = {set.name}, .claims = {}});
      for (const LabelledDraw& draw : view.draws) {
        const auto all = wording_for(view, draw);
        const std::string refused = joined(all, true);
        for (const Wording& one : all) {
          if (one.refused) continue;
          ++offered;
          EXPECT_FALSE(says(refused, one.text)) << name << ' ' << set.name << ' ' << draw.draw->name;
          EXPECT_NE(one.verdict, Verdict::fails);
        }
      }
    }
  }
  EXPECT_GT(offered, 1000);
}

// One draw bottled in three sizes on two days under one name: 40 x 750 mL are 30 L, 40 x 500 mL 20 L, 40 x 375 mL 15 L.
TEST(LabelShows, EveryBottlingOfAName) {
  const auto file = std::filesystem::temp_directory_path() / ("tierce-sizes-" + std::to_string(::getpid()) + ".yaml");
  std::ofstream(file) << "reserve: R\ntiers: [{name: t, vessels: [{name: V, capacity: 225 L}], evaporation: 0 %/yr}]\n"
                         "tanks: [{name: T1, capacity: 225 L}]\n"
                         "lots: [{name: A, vintage: 2019, alcohol: 18 %vol}]\n"
                         "log:\n  - {date: 2020-01-01, do: add, lot: A, to: t, volume: 200 L}\n"
                         "  - {date: 2020-02-01, do: draw, from: t, volume: 90 L, to: T1, for: B}\n"
                         "  - {date: 2020-02-02, do: bottle, from: T1, bottles: 40 x 750 mL, for: B}\n"
                         "  - {date: 2020-02-02, do: bottle, from: T1, bottles: 40 x 500 mL, for: B}\n"
                         "  - {date: 2020-02-03, do: bottle, from: T1, bottles: 40 x 375 mL, for: B}\n";
  const std::string text = test::run_program("label " + file.string() + " --draw B").out;
  std::filesystem::remove(file);
  EXPECT_TRUE(text.starts_with("3 bottlings go by this name or day")) << text;
  for (const char* litres : {"30 L", "20 L", "15 L"})
    EXPECT_TRUE(says(text, std::string("B (") + litres + " of ")) << litres;
}

// How a figure is rounded beside its limit. 6.06 years are not "6.0 at most 6"; a stated age that passes the youngest
// part is no "limit of 0 years"; 19.50 less 7 is 12.50.
TEST(LabelFiguresShown, TheSideOfTheLimitOnWhichTheyStand) {
  Judgement oldest;
  oldest.quantity = "oldest age";
  oldest.unit = "years";
  oldest.op = Operator::at_most;
  oldest.limit = 6.0;
  oldest.readings = {{6.06, 6.06, ""}};
  oldest.margin = -0.06;
  EXPECT_EQ(value_text(oldest), "6.06\xC2\xA0years");
  EXPECT_EQ(margin_text(oldest), "-0.06");
  oldest.readings = {{6.0001, 6.0001, ""}};
  EXPECT_EQ(value_text(oldest), "6.01\xC2\xA0years");  // up, and not on the limit
  oldest.op = Operator::at_least;
  oldest.readings = {{5.999, 5.999, ""}};
  EXPECT_EQ(value_text(oldest), "5.9\xC2\xA0years");
}

TEST(LabelFiguresShown, MarginsThatFollowFromTheFiguresBesideThem) {
  Judgement strength;
  strength.quantity = "strength";
  strength.unit = "%vol";
  strength.op = Operator::at_least;
  strength.limit = 7.0;
  strength.readings = {{19.4999, 19.4999, ""}};
  strength.margin = 12.4999;
  EXPECT_EQ(value_text(strength), "19.50\xC2\xA0%vol");
  EXPECT_EQ(margin_text(strength), "+12.50");
  strength.op = Operator::at_most;
  strength.limit = 16.0;
  strength.readings = {{16.001, 16.001, ""}};
  strength.margin = -0.001;
  EXPECT_EQ(value_text(strength), "16.001\xC2\xA0%vol");  // 16.00 would look as if it held
  EXPECT_EQ(margin_text(strength), "-0.001");
}

TEST(LabelFiguresShown, AStatedAgeHeldAgainstTheYoungestPart) {
  Judgement stated;
  stated.quantity = "stated age less youngest";
  stated.unit = "years";
  stated.op = Operator::at_most;
  stated.limit = 0.0;
  stated.readings = {{6.04, 6.04, ""}};
  EXPECT_EQ(value_text(stated), "6.1\xC2\xA0years above");
  EXPECT_EQ(limit_text(stated), "its youngest part");
  stated.readings = {{-0.55, -0.55, ""}};
  EXPECT_EQ(value_text(stated), "0.5\xC2\xA0years below");
}

}  // namespace
}  // namespace tierce
