// The largest draw for an age, the day an age is reached, the ceiling, the long run and what new wine brings about:
// against the closed forms of docs/target.md, the negative binomial and the binomial distribution of Boost.Math.
#include "engine/plan/target.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <boost/math/distributions/binomial.hpp>
#include <cmath>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/cli/command/program.h"
#include "tests/engine/measure/cascade.h"

namespace tierce {
namespace {

constexpr double kFound = 1e-8;  // volumes settle to 1e-9, and ages are compared to 1e-9 years

/// K tiers filled on 1 January 2000 with wine harvested that day; each 1 January a share of the last is drawn and all
/// are refilled with wine harvested that day: it enters at age 0.
Scenario yearly(const std::vector<double>& volumes_l, double evaporation, double share, double alcohol_pct = 0.0) {
  Scenario scenario = test::scenario_of({.volumes_l = volumes_l,
                                         .draw_l = 0,
                                         .evaporation = evaporation,
                                         .entry_age_y = 0,
                                         .refill_first = false,
                                         .months = 12,
                                         .start_ages_y = {},
                                         .events = 0,
                                         .alcohol_pct = alcohol_pct});
  Routine routine;
  routine.day = DayOfYear{1, 1};
  routine.usual.draw = Amount{{}, Amount::Kind::share, share, 0.0};
  routine.usual.refill.kind = HabitRefill::Kind::like;
  routine.usual.refill.lot = 0;
  scenario.habit = {routine};
  scenario.until = 2030;
  return scenario;
}

TargetAnswer target_of(const Scenario& scenario, const std::vector<WantedAge>& wanted) {
  return work_out_target(scenario, {}, wanted, [](int) {});
}

AgeTarget mean_target(const Scenario& scenario, double years) {
  return target_of(scenario, {{false, years}}).targets.at(0);
}

// One tier of V litres, drawn first: of what was refilled, (1-e)(1-s) is left a year later, so that the part renewed is
// u = 1 - (1-e)(1-s); a part u of the draw is 1 year old, (1-u)u is 2 years old ...: geometric, with the mean 1/u. For
// a mean of m years u = 1/m, and s = 1 - (1 - 1/m)/(1-e).
TEST(LargestDraw, InOneTierIsTheClosedForm) {
  const std::vector<std::pair<double, double>> printed = {{3, 30.6}, {4, 21.9}, {5, 16.7},
                                                          {6, 13.2}, {8, 8.9},  {10, 6.25}};
  const double e = 0.04;
  for (const auto& [years, percent] : printed) {
    const AgeTarget target = mean_target(yearly({1000}, e, 0.2), years);
    const double share = 1.0 - (1.0 - 1.0 / years) / (1.0 - e);
    EXPECT_EQ(target.in_the_long_run.limit, LargestShare::Limit::age);
    EXPECT_NEAR(target.in_the_long_run.at.share, share, kFound) << years;
    EXPECT_NEAR(100.0 * target.in_the_long_run.at.share, percent, 0.05) << years;
    EXPECT_NEAR(target.in_the_long_run.at.drawn_l_y, share * 960.0, 1e-5) << years;
    EXPECT_NEAR(target.in_the_long_run.at.full_l, 1000.0, 1e-9);
    EXPECT_NEAR(target.ceiling_y, 1.0 / e, 1e-5);  // 25 years, at a share of 1e-9
  }
}

struct Quota {
  int tiers;
  double mean_y;
  std::vector<double> percent_by_loss;  // of the full stock, at 0, 1, 2, 3, 4 %/yr; 0 = impossible
};

// Same-mean quota: mean = sum V_k / F_(k-1), F_(k-1) = D + e (V_k + ... + V_K), solved for D over the sum of V_k; four
// decimals (table of docs/target.md, worked out apart from this program).
TEST(LargestDraw, OfSeveralTiersIsTheTableOfQuotas) {
  const std::vector<Quota> table = {
      {1, 20, {5.0000, 4.0000, 3.0000, 2.0000, 1.0000}}, {1, 30, {3.3333, 2.3333, 1.3333, 0.3333, 0}},
      {2, 30, {3.3333, 2.6020, 1.9067, 1.2443, 0.6103}}, {4, 20, {5.0000, 4.3906, 3.8122, 3.2642, 2.7456}},
      {4, 30, {3.3333, 2.7317, 2.1761, 1.6645, 1.1936}}, {8, 30, {3.3333, 2.7954, 2.3061, 1.8639, 1.4663}}};
  for (const Quota& row : table)
    for (int loss = 0; loss <= 4; ++loss) {
      const std::vector<double> volumes_l(static_cast<std::size_t>(row.tiers), 500.0);
      const AgeTarget target = mean_target(yearly(volumes_l, loss / 100.0, 0.2), row.mean_y);
      const double expected = row.percent_by_loss[static_cast<std::size_t>(loss)];
      EXPECT_EQ(target.impossible(), expected == 0.0);
      if (target.impossible()) continue;
      const ShareTrial& at = target.in_the_long_run.at;
      EXPECT_NEAR(100.0 * at.drawn_l_y / at.full_l, expected, 0.5e-4 + 1e-6) << row.tiers << ' ' << loss;
    }
}

// Ceiling of K equal tiers: (1/e)(1 + 1/2 + ... + 1/K). In one tier it is 1/e: for 30 years e may be 1/30.
TEST(LargestDraw, IsNeverThereAboveTheCeiling) {
  const AgeTarget one = mean_target(yearly({500}, 0.04, 0.2), 30.0);
  EXPECT_TRUE(one.impossible());
  EXPECT_NEAR(one.ceiling_y, 25.0, 1e-5);
  EXPECT_NEAR(0.04 * one.evaporation_part, 1.0 / 30.0, 1e-7);
  const AgeTarget three = mean_target(yearly({500, 500, 500}, 0.04, 0.2), 46.0);
  EXPECT_TRUE(three.impossible());
  EXPECT_NEAR(three.ceiling_y, 25.0 * (1.0 + 1.0 / 2.0 + 1.0 / 3.0), 1e-4);
  EXPECT_TRUE(mean_target(yearly({500}, 0.0, 0.2), 900.0).no_ceiling);
}

// Feasible as long as the flow out of each tier, D + e sum of the tiers below, is at most the (1-e) V_k it still holds:
// for equal tiers D <= V (1 - K e), and as a share of the (1-e) V held at the draw (1 - K e) / (1 - e).
TEST(LargestDraw, IsBoundedByTheWineToTheLastDrop) {
  for (const int tiers : {1, 2, 3}) {
    const std::vector<double> volumes_l(static_cast<std::size_t>(tiers), 700.0);
    const AgeTarget target = mean_target(yearly(volumes_l, 0.04, 0.1), tiers);  // younger than any draw can be
    EXPECT_EQ(target.in_the_long_run.limit, LargestShare::Limit::wine);
    EXPECT_NEAR(target.in_the_long_run.at.share, (1.0 - 0.04 * tiers) / 0.96, kFound) << tiers;
    EXPECT_NEAR(target.in_the_long_run.at.drawn_l_y, 700.0 * (1.0 - 0.04 * tiers), 1e-5) << tiers;
  }
}

// A refill of R litres a year, whatever is drawn: the tier settles at R / u with u = 1 - (1-e)(1-s), which its 1000 L
// hold only for u of 0.2 or more: no draw lets the wine grow older than 5 years, the vessels would run over.
TEST(LargestDraw, KnowsThatVesselsRunOverWhereLittleIsDrawn) {
  Scenario scenario = yearly({500}, 0.04, 0.3);
  scenario.habit.front().usual.refill.volume_l = 200.0;
  const AgeTarget above = mean_target(scenario, 5.1);
  EXPECT_TRUE(above.impossible());
  EXPECT_NEAR(above.ceiling_y, 5.0, 1e-5);
  EXPECT_NEAR(mean_target(scenario, 4.0).in_the_long_run.at.share, 1.0 - (1.0 - 1.0 / 4.0) / 0.96, kFound);
}

// One tier without loss, all wine of age 0 at the start: after n draws the mean is (1 - (1-f)^n)/f, so that an age N is
// reached at the first whole n of at least ln(1 - fN) / ln(1 - f). At f = 1/2, N = 3/2 that is 2 exactly.
TEST(AgeDate, WithoutLossIsTheClosedForm) {
  for (const auto& [share, years] : std::vector<std::pair<double, double>>{
           {0.5, 1.5}, {0.2, 3.0}, {0.2, 4.0}, {0.2, 4.9}, {0.1, 5.0}, {0.1, 9.9}, {0.25, 1.0}, {0.04, 24.0}}) {
    const double draws = std::log(1.0 - share * years) / std::log(1.0 - share);
    const int year = 2000 + static_cast<int>(std::ceil(draws - 1e-9));
    const AgeTarget target = mean_target(yearly({1000}, 0.0, share), years);
    ASSERT_TRUE(target.dates.reached) << share << ' ' << years;
    EXPECT_EQ(iso_text(target.dates.reached->date), iso_text({year, 1, 1})) << share << ' ' << years;
    ASSERT_TRUE(target.dates.kept_from) << share << ' ' << years;
    EXPECT_EQ(target.dates.kept_from->date, target.dates.reached->date);
  }
}

// K equal tiers without loss, all wine of age 0 at the start: the mean of the T-th draw is the sum over t < T of
// P(Binomial(t, r) <= K - 1), since its wine has waited for K draws of its tier, or since the start.
TEST(AgeDate, OfSeveralTiersIsThatOfTheBinomial) {
  const int tiers = 4;
  const double share = 0.25;
  double mean_y = 0.0;
  std::vector<double> mean_of_draw = {0.0};
  for (int t = 0; t < 200; ++t) {
    mean_y += t < tiers ? 1.0 : boost::math::cdf(boost::math::binomial(t, share), tiers - 1);
    mean_of_draw.push_back(mean_y);
  }
  for (const double years : {4.5, 9.0, 12.0, 15.9}) {
    int draw = 1;
    while (mean_of_draw[static_cast<std::size_t>(draw)] < years) ++draw;
    const AgeTarget target = mean_target(yearly({500, 500, 500, 500}, 0.0, share), years);
    ASSERT_TRUE(target.dates.kept_from) << years;
    EXPECT_EQ(target.dates.kept_from->date.year, 2000 + draw) << years;
    EXPECT_NEAR(target.dates.kept_from->age[AgeKind::by_volume], mean_of_draw[static_cast<std::size_t>(draw)], 1e-9);
  }
  const AgeTarget never = mean_target(yearly({500, 500, 500, 500}, 0.0, share), 16.5);  // K/r = 16
  EXPECT_FALSE(never.dates.reached);
  EXPECT_NEAR(never.long_run_y, 16.0, 1e-8);
  EXPECT_NEAR(never.in_the_long_run.at.share, tiers / 16.5, kFound);
}

// One tier without loss, f = 0.2: the draw after n years has (1 - 0.8^n)/0.2 = 5 - 5 x 0.8^n years. It settles at 5 and
// never has 5; from the 28th draw on it lacks 5 x 0.8^28 = 0.0097 years and less, after 27 it lacks 0.012.
TEST(AgeReached, IsNotReachedWhereTheDrawsOnlyComeNearer) {
  const AgeTarget target = mean_target(yearly({1000}, 0.0, 0.2), 5.0);
  EXPECT_NEAR(target.long_run_y, 5.0, 1e-9);
  EXPECT_FALSE(target.dates.reached || target.dates.kept_from || target.dates.lost);
  ASSERT_TRUE(target.dates.near);
  EXPECT_EQ(target.dates.near->date, (Date{2028, 1, 1}));
  const AgeTarget less = mean_target(yearly({1000}, 0.0, 0.2), 4.999);  // 5 x 0.8^n < 0.001 from n = 39 on
  ASSERT_TRUE(less.dates.reached);
  EXPECT_EQ(less.dates.reached->date, (Date{2039, 1, 1}));
  EXPECT_FALSE(less.dates.near);
}

// The first draw to come was blended before: no share changes it, so that it stands in the way of every other.
TEST(LargestDraw, OfEveryDrawCannotChangeTheFirst) {
  const AgeTarget target = mean_target(yearly({1000}, 0.0, 0.2), 2.0);
  EXPECT_EQ(target.at_every.limit, LargestShare::Limit::never);
  EXPECT_NEAR(target.at_every.at.least[AgeKind::by_volume], 1.0, 1e-12);
  // Of the last, 2030, the 30th draw: (1 - (1-f)^30)/f = 2.
  const double f = target.at_the_last.at.share;
  EXPECT_NEAR((1.0 - std::pow(1.0 - f, 30)) / f, 2.0, 1e-8);
}

// The youngest wine has waited for one draw in each tier: K years, whatever is drawn.
TEST(Youngest, IsOneYearForEachTierWhateverIsDrawn) {
  const TargetAnswer answer = target_of(yearly({500, 400, 300}, 0.03, 0.2), {{true, 3.0}, {true, 3.1}});
  EXPECT_NEAR(answer.long_run.youngest_y, 3.0, 1e-12);
  EXPECT_EQ(answer.targets[0].in_the_long_run.limit, LargestShare::Limit::wine);
  EXPECT_EQ(answer.targets[0].dates.kept_from->date.year, 2003);
  EXPECT_TRUE(answer.targets[1].impossible());
  EXPECT_NEAR(answer.targets[1].ceiling_y, 3.0, 1e-12);
}

// By alcohol. Per litre of a full tier: with A pure alcohol just after the refill, a year takes v e of it (vapour of
// strength v), the draw leaves 1-s, and n = 1 - (1-s)(1-e) litres of strength a come in: A = (a n - (1-s) v e) / s. The
// part of the alcohol that is renewed is a n / A, its age geometric. By what does not evaporate the part renewed is s.
TEST(LongRunAges, ByAlcoholAndBySolidsAreTheClosedForms) {
  const double e = 0.04, s = 0.2, vapour = 0.10, strength = 0.18;
  Scenario scenario = yearly({1000}, e, s, 100.0 * strength);
  scenario.tiers.front().vapour_pct = 100.0 * vapour;
  scenario.tiers.front().vapour_stated = true;
  const LongRun settled = long_run(scenario);
  const double new_l = 1.0 - (1.0 - s) * (1.0 - e);
  const double alcohol = (strength * new_l - (1.0 - s) * vapour * e) / s;
  EXPECT_NEAR(settled.mean_by_alcohol_y, alcohol / (strength * new_l), 1e-8);
  EXPECT_NEAR(settled.mean_by_solids_y, 1.0 / s, 1e-8);
  EXPECT_NEAR(settled.mean_y, 1.0 / new_l, 1e-8);
  EXPECT_NEAR(settled.largest_eigenvalue, 1.0 - new_l, 1e-12);
  EXPECT_EQ(settled.period_y, 1.0);
}

// Cascade of 4 x 500 L, D = 50, e = 4 %: mean = sum V_k / F_(k-1) = 21.09, by what does not evaporate sum (1-e) V_k /
// F_k = 26.15 years (closed_form_cases.csv, E60 and E65).
TEST(LongRunAges, OfACascadeByVolumeAndBySolids) {
  Scenario scenario = yearly({500, 500, 500, 500}, 0.04, 0.2);
  scenario.habit.front().usual.draw = Amount{{}, Amount::Kind::litres, 50.0, 0.0};
  double by_volume = 0.0, by_solids = 0.0;
  for (int k = 1; k <= 4; ++k) {
    by_volume += 500.0 / (50.0 + 0.04 * 500.0 * (4 - k + 1));
    by_solids += 0.96 * 500.0 / (50.0 + 0.04 * 500.0 * (4 - k));
  }
  EXPECT_NEAR(by_volume, 21.09, 0.005);
  EXPECT_NEAR(by_solids, 26.15, 0.005);
  const LongRun settled = long_run(scenario);
  EXPECT_NEAR(settled.mean_y, by_volume, 1e-7);
  EXPECT_NEAR(settled.mean_by_solids_y, by_solids, 1e-7);
  EXPECT_NEAR(settled.full_l, 2000.0, 1e-9);
  EXPECT_NEAR(settled.new_wine_l_y, 130.0, 1e-7);
}

// Of K equal tiers the eigenvalues are all 1 - r. Of the wine of tier j (1 the youngest) that part is left after n
// years that was drawn from its tier at most K - j times: P(Binomial(n, r) <= K - j).
TEST(Memory, IsThatOfTheRunAndOfTheBinomial) {
  const int tiers = 3;
  const double share = 0.3;
  const TargetAnswer answer = target_of(yearly({600, 600, 600}, 0.0, share), {});
  EXPECT_NEAR(answer.long_run.largest_eigenvalue, 1.0 - share, 1e-12);
  EXPECT_NEAR(answer.long_run.half_life_y, std::log(0.5) / std::log(1.0 - share), 1e-10);
  double left = 0.0;
  for (int j = 1; j <= tiers; ++j)
    left += boost::math::cdf(boost::math::binomial(answer.check.memory_years, share), tiers - j) / tiers;
  EXPECT_NEAR(answer.check.left_by_matrix, left, 1e-12);
  EXPECT_NEAR(answer.check.left_by_run, left, 1e-12);
  EXPECT_NEAR(answer.check.mean_y, answer.long_run.mean_y, 1e-8);
  EXPECT_NEAR(answer.check.mean_by_solids_y, answer.long_run.mean_by_solids_y, 1e-8);
}

FreshenAnswer freshened(const Scenario& scenario, const std::vector<Bring>& bring) {
  auto found = work_out_freshening(scenario, {.bring = bring});
  return std::get<FreshenAnswer>(found);
}

// 1000 L of 100 g/L lose 40 L in a year: 960 L of q = 100/0.96 g/L that are 1 year old. x litres of new wine of 100 g/L
// and age 0 up to the 40 L that are missing: (960 q + 100 x) / (960 + x); more of it takes the place of wine drawn
// first: ((1000 - x) q + 100 x) / 1000.
TEST(Freshening, IsTheBalanceOfTwoWines) {
  const double q = 100.0 / 0.96;
  const FreshenAnswer fresh = freshened(
      yearly({1000}, 0.04, 0.2),
      {{BringWhat::sugar, 104.1}, {BringWhat::sugar, 102.0}, {BringWhat::mean_age, 0.5}, {BringWhat::sugar, 99.0}});
  EXPECT_EQ(iso_text(fresh.date), "2001-01-01");
  EXPECT_NEAR(fresh.room_l, 40.0, 1e-9);
  EXPECT_NEAR(fresh.values[0].new_wine_l, 960.0 * (q - 104.1) / (104.1 - 100.0), 1e-7);
  EXPECT_EQ(fresh.values[0].drawn_first_l, 0.0);
  const double x = 1000.0 * (q - 102.0) / (q - 100.0);
  EXPECT_NEAR(fresh.values[1].new_wine_l, x, 1e-7);
  EXPECT_NEAR(fresh.values[1].drawn_first_l, x - 40.0, 1e-7);
  EXPECT_NEAR(fresh.values[1].after.volume_l, 1000.0, 1e-9);
  EXPECT_NEAR(fresh.values[1].after.mean_y, 1.0 - x / 1000.0, 1e-9);
  EXPECT_EQ(fresh.values[1].after.youngest_y, 0.0);
  EXPECT_NEAR(fresh.values[2].new_wine_l, 500.0, 1e-7);
  EXPECT_NEAR(fresh.values[2].after.sugar_g_l, 0.5 * (q + 100.0), 1e-7);
  EXPECT_FALSE(is_known(fresh.values[3].new_wine_l));  // below both wines
  EXPECT_TRUE(fresh.impossible());
}

TEST(TargetCommand, SaysWhyNeverAndWhatWouldDo) {
  const test::Said said = test::run_program("target scenarios/amber.yaml --mean \"30 years\"");
  EXPECT_EQ(said.status, 1);
  EXPECT_NE(said.out.find("never a mean age of 30 years"), std::string::npos);
  EXPECT_NE(said.out.find("25 years and the age of the new wine"), std::string::npos);
  const test::Said possible = test::run_program("target scenarios/amber.yaml --mean \"5 years\" --json");
  EXPECT_EQ(possible.status, 0);
  // GG25 is harvested on 11 September, refilled on 10 February: 152 days old. u = 1 / (5 - 152/365).
  const double share = 1.0 - (1.0 - 1.0 / (5.0 - 152.0 / 365.0)) / 0.96;
  const auto json = nlohmann::json::parse(possible.out);
  EXPECT_NEAR(json["targets"][0]["in_the_long_run"]["fraction_of_held"].get<double>(), share, kFound);
}

// As every report: 100 columns, whatever is asked and in either unit.
TEST(TargetCommand, FitsThePage) {
  const std::string asked =
      " --mean \"5 years, 60 years\" --youngest \"2 years\" --bring \"alcohol: 18.5 %vol, va: 0.5 g/L, sugar: 50 g/L\"";
  for (const std::string file : {"amber", "five_casks", "three_tiers", "steel_reserve", "four_scales"})
    for (const std::string units : {"metric", "us"}) {
      std::istringstream said(test::run_program("target scenarios/" + file + ".yaml --units " + units + asked).out);
      std::size_t lines = 0;
      for (std::string line; std::getline(said, line); ++lines) {
        const auto inner = [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) == 0x80u; };  // of UTF-8
        EXPECT_LE(line.size() - static_cast<std::size_t>(std::count_if(line.begin(), line.end(), inner)), 100u) << line;
      }
      EXPECT_GT(lines, 40u) << file;
    }
}

TEST(TargetCommand, TakesTheClaimsOfTheFileWhereNothingIsAsked) {
  const auto json = nlohmann::json::parse(test::run_program("target --json scenarios/amber.yaml").out);
  EXPECT_EQ(json["targets"][0]["age"], "youngest");
  EXPECT_EQ(json["targets"][0]["wanted_y"], 1.0);
  EXPECT_EQ(json["targets"][1]["wanted_y"], 4.0);
  EXPECT_EQ(json["targets"][1]["asked_by"], "claim");
}

TEST(TargetCommand, RefusesWhatCannotBeMeant) {
  const auto said = [](const std::string& arguments) { return test::run_program("target scenarios/" + arguments); };
  const std::vector<std::pair<std::string, std::string>> faults = {
      {"amber.yaml --mean 5", "unit"},
      {"amber.yaml --mean \"0 years\"", "out of range"},
      {"amber.yaml --youngest \"\"", "a value is missing"},
      {"amber.yaml --bring \"colour: 3\"", "mean, alcohol, sugar or va"},
      {"amber.yaml --with GG25", "of no use without --bring"},
      {"amber.yaml --bring \"va: 0.5 g/L\" --with GG26", "there is no lot 'GG26'"},
      {"amber.yaml --bring \"va: 0.5 g/L\" --in floor", "there is no tier 'floor'"},
      {"amber.yaml --bring \"va: 0.5 g/L\" --on 2020-01-01", "2026-02-10"},
      {"petrel.yaml", "habit: {day: 10 Feb"}};
  for (const auto& [arguments, words] : faults) {
    const test::Said one = said(arguments);
    EXPECT_EQ(one.status, 2) << arguments << one.err;
    EXPECT_NE(one.err.find(words), std::string::npos) << arguments << ": " << one.err;
    EXPECT_EQ(one.out, "") << arguments;
  }
}

}  // namespace
}  // namespace tierce
