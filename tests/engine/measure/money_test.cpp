// What wine costs: money that travels with it. Expected figures by closed forms, derived beside each, and by hand.
#include "engine/measure/money.h"

#include <gtest/gtest.h>

#include <cmath>

#include "cli/read/load.h"
#include "engine/measure/balance.h"
#include "engine/run/outlook.h"

namespace tierce {
namespace {

LoadedScenario load(const std::string& text) {
  std::vector<Problem> problems;
  return check_source(source_from("cost.yaml", text, problems));
}

Outlook run(const std::string& text) {
  const LoadedScenario loaded = load(text);
  EXPECT_TRUE(loaded.problems.empty()) << loaded.problems.front().what;
  return run_scenario(loaded.scenario, {});
}

/// One tier of 1000 L; `head` are keys of the scenario, `loss` its evaporation, `lots` and `rest` lines of the file.
std::string one_tier(const std::string& head, const std::string& loss, const std::string& lots,
                     const std::string& rest) {
  return "reserve: Skerry Vale\n" + head +
         "tiers:\n  - {name: floor, vessels: [{name: F, capacity: 1000 L}], evaporation: " + loss +
         ", vapour: 18 %vol}\ntanks: [{name: T1, capacity: 2000 L}]\nlots:\n" + lots + rest;
}

const std::string kNew = "  - {name: GG20, vintage: 2020, harvested: 2020-01-01, alcohol: 18 %vol, cost: 1 EUR/L}\n";
const std::string kFilled = "log:\n  - {date: 2021-02-10, do: add, lot: GG20, to: floor, volume: 1000 L}\n";

std::string percent(double fraction) { return std::to_string(100.0 * fraction) + " %"; }

/// Full at 1 EUR/L, then each year a draw and a refill at 1 EUR/L.
Outlook yearly(double draw, double loss, double interest, int years) {
  return run(one_tier("interest: " + percent(interest) + "/yr\n", percent(loss) + "/yr", kNew,
                      kFilled + "habit: {day: 10 Feb, draw: " + percent(draw) +
                          ", refill: {lot: GG20}}\nuntil: " + std::to_string(2021 + years) + "\n"));
}

// Closed form. Money per litre of the full tier just after a refresh is m, with m(0) = 1. In a year it earns interest i
// while the wine shrinks by e; then f of both is drawn, and the tier is filled again at 1: m(n) = q m(n-1) + r with
// q = (1 - f)(1 + i) and r = 1 - (1 - f)(1 - e), hence m(n) = q^n + r (1 - q^n) / (1 - q). A litre of draw n costs
// m(n-1) (1 + i) / (1 - e).
double cost_of_draw(double draw, double loss, double interest, int n) {
  const double q = (1.0 - draw) * (1.0 + interest), r = 1.0 - (1.0 - draw) * (1.0 - loss);
  const double left = std::pow(q, n - 1);
  return (left + r * (1.0 - left) / (1.0 - q)) * (1.0 + interest) / (1.0 - loss);
}

struct Case {
  double draw, loss, interest;
};

TEST(Cost, OfEveryYearsDrawIsThatOfTheClosedForm) {
  for (const Case& of : {Case{0.2, 0.04, 0.08}, {0.2, 0.0, 0.08}, {0.2, 0.04, 0.0}, {0.1, 0.07, 0.03}}) {
    const Outlook outlook = yearly(of.draw, of.loss, of.interest, 100);
    ASSERT_EQ(outlook.run.draws.size(), 100u);
    for (int n = 1; n <= 100; ++n) {
      const double expected = cost_of_draw(of.draw, of.loss, of.interest, n);
      ASSERT_NEAR(cost_per_l(outlook.run.draws[static_cast<std::size_t>(n) - 1]), expected, 1e-11 * expected) << n;
    }
  }
}

// The limit of the same for q < 1: r / (1 - q) x (1 + i) / (1 - e). Draw 20 %, loss 4 %, interest 8 %: 0.232 / 0.136 x
// 1.08 / 0.96 = 1.92; without loss 0.2 / 0.136 x 1.08 = 1.59.
TEST(Cost, SettlesWhereTheDrawOutrunsTheInterest) {
  const double with_loss = cost_per_l(yearly(0.2, 0.04, 0.08, 100).run.draws.back());
  EXPECT_NEAR(with_loss, 0.232 / 0.136 * 1.08 / 0.96, 1e-5);
  EXPECT_NEAR(with_loss, 1.92, 0.005);
  const double without = cost_per_l(yearly(0.2, 0.0, 0.08, 100).run.draws.back());
  EXPECT_NEAR(without, 0.2 / 0.136 * 1.08, 1e-5);
  EXPECT_NEAR(without, 1.59, 0.005);
}

// For q = (1 - f)(1 + i) >= 1 there is no limit: the cost of a litre rises by at least r (1 + i) / (1 - e) a year,
// since m(n) - m(n-1) = q^(n-1) (q - 1 + r), which does not shrink, and q - 1 + r = (1 - f)(i + e) > 0.
TEST(Cost, NeverSettlesWhereTheInterestOutrunsTheDraw) {
  const double draw = 1.0 - 1.0 / 1.08;  // q = 1 to the last digits
  for (const Case& of : {Case{0.05, 0.04, 0.08}, {draw, 0.04, 0.08}}) {
    const Outlook outlook = yearly(of.draw, of.loss, of.interest, 200);
    const double least = (1.0 - of.draw) * (of.interest + of.loss) * (1.0 + of.interest) / (1.0 - of.loss);
    for (std::size_t n = 1; n < outlook.run.draws.size(); ++n)
      ASSERT_GE(cost_per_l(outlook.run.draws[n]) - cost_per_l(outlook.run.draws[n - 1]), least - 1e-6) << n;
  }
}

// Evaporation leaves the money: 1000 EUR in 1000 x 0.96^2 L. A loss takes its part of it: a tenth of 1000 EUR.
TEST(Cost, RisesByEvaporationAndNotByALoss) {
  const Outlook outlook =
      run(one_tier("", "4 %/yr", kNew,
                   kFilled + "  - {date: 2023-02-10, do: lose, from: floor, share: 10 %, cause: leak}\n"
                             "  - {date: 2023-02-10, do: draw, from: floor, volume: 100 L}\n"));
  EXPECT_NEAR(cost_per_l(outlook.run.draws[0]), 1.0 / (0.96 * 0.96), 1e-12);
  const Balance money = balance_of(outlook.run, kMoney);
  EXPECT_NEAR(money.flow[kLost], 100.0, 1e-10);
  EXPECT_EQ(money.flow[kEvaporated], 0.0);
  EXPECT_NEAR(money.flow[kIn], 1000.0, 1e-10);
}

TEST(Cost, StaysInTheWineThatAGaugeFinds) {
  const Outlook outlook = run(one_tier("", "0 %/yr", kNew,
                                       kFilled + "  - {date: 2021-02-10, do: gauge, tier: floor, volume: 800 L}\n"
                                                 "  - {date: 2021-02-10, do: draw, from: floor, volume: 100 L}\n"));
  EXPECT_NEAR(cost_per_l(outlook.run.draws[0]), 1000.0 / 800.0, 1e-12);
}

// 73 days are a fifth of a year: 1.1^0.2, whatever happens in between; in a tank too.
TEST(Interest, CompoundsOverAnyTime) {
  const std::string draws =
      "  - {date: 2021-03-10, do: move, from: floor, to: T1, volume: 500 L}\n"
      "  - {date: 2021-04-24, do: draw, from: T1, volume: 100 L}\n"
      "  - {date: 2021-04-24, do: draw, from: floor, volume: 100 L}\n";
  const Outlook outlook = run(one_tier("interest: 10 %/yr\n", "0 %/yr", kNew, kFilled + draws));
  for (const DrawRecord& draw : outlook.run.draws) EXPECT_NEAR(cost_per_l(draw), std::pow(1.1, 0.2), 1e-12);
  EXPECT_NEAR(outlook.run.flows.solutes(kGained, kMoney), 1000.0 * (std::pow(1.1, 0.2) - 1.0), 1e-9);
}

// Two years apart, one lot of 10 and one of 4 EUR/L; the opening stock at 2. By hand: (500 x 2 + 300 x 10 + 200 x 4) /
// 1000.
TEST(Cost, OfAMixtureIsThatOfItsPartsByTheLitre) {
  const Outlook outlook =
      run(one_tier("", "0 %/yr",
                   "  - {name: GG20, vintage: 2020, harvested: 2020-01-01, alcohol: 18 %vol, cost: 10 EUR/L}\n"
                   "  - {name: GG22, vintage: 2022, harvested: 2022-01-01, alcohol: 18 %vol, cost: 4 EUR/L}\n",
                   "opening: [{date: 2021-01-01, tier: floor, volume: 500 L, cost: 2 EUR/L}]\n"
                   "log:\n  - {date: 2021-02-10, do: add, lot: GG20, to: floor, volume: 300 L}\n"
                   "  - {date: 2023-02-10, do: add, lot: GG22, to: floor, volume: 200 L}\n"
                   "  - {date: 2023-02-10, do: draw, from: floor, volume: 100 L}\n"));
  EXPECT_NEAR(cost_per_l(outlook.run.draws[0]), 4.8, 1e-12);
  EXPECT_NEAR(balance_of(outlook.run, kMoney).flow[kOpening], 1000.0, 1e-10);
}

// 900 L at 1 EUR/L and 50 L of spirit at 6: 1200 EUR, whatever the mixture shrinks. Water costs nothing.
TEST(Cost, OfSpiritGoesWithIt) {
  const Outlook outlook =
      run(one_tier("", "0 %/yr", kNew,
                   "spirits: [{name: brandy, strength: 77 %vol, cost: 6 EUR/L}]\n"
                   "log:\n  - {date: 2021-02-10, do: add, lot: GG20, to: floor, volume: 900 L}\n"
                   "  - {date: 2021-02-11, do: fortify, tier: floor, spirit: brandy, volume: 50 L}\n"
                   "  - {date: 2021-02-11, do: reduce, tier: floor, volume: 10 L}\n"));
  const Stock& stock = outlook.run.looks.back();
  EXPECT_NEAR(stock.solutes(0, kMoney), 1200.0, 1e-9);
  EXPECT_NEAR(balance_of(outlook.run, kMoney).flow[kIn], 1200.0, 1e-9);
  EXPECT_TRUE(without_cost(outlook.scenario, outlook.line, outlook.run).empty());
}

TEST(Cost, IsUnknownOnceAnyOfTheWineIsWithout) {
  const std::string lots = kNew + "  - {name: GG21, vintage: 2021, harvested: 2021-01-01, alcohol: 18 %vol}\n";
  const Outlook outlook = run(one_tier("interest: 8 %/yr\n", "0 %/yr", lots,
                                       "log:\n  - {date: 2021-02-10, do: add, lot: GG20, to: floor, volume: 500 L}\n"
                                       "  - {date: 2021-03-10, do: draw, from: floor, volume: 10 L}\n"
                                       "  - {date: 2021-04-10, do: add, lot: GG21, to: floor, volume: 1 L}\n"
                                       "  - {date: 2021-04-11, do: draw, from: floor, volume: 10 L}\n"
                                       "  - {date: 2021-04-12, do: draw, from: floor, share: 100 %}\n"
                                       "  - {date: 2021-04-13, do: add, lot: GG20, to: floor, volume: 10 L}\n"
                                       "  - {date: 2021-04-13, do: draw, from: floor, volume: 1 L}\n"));
  const auto& draws = outlook.run.draws;
  EXPECT_TRUE(is_known(cost_per_l(draws[0])));
  EXPECT_FALSE(is_known(cost_per_l(draws[1])));
  EXPECT_NEAR(cost_per_l(draws[3]), 1.0, 1e-12);  // the tier was empty: what nobody knew is gone
  EXPECT_EQ(without_cost(outlook.scenario, outlook.line, outlook.run), std::vector<std::string>{"GG21"});
  EXPECT_FALSE(is_known(balance_of(outlook.run, kMoney).gap()));
}

// Exceptions may state another cost: the wine of that year is then a lot of its own.
TEST(Cost, OfAnExceptionIsItsOwn) {
  const Outlook outlook =
      run(one_tier("", "0 %/yr", kNew,
                   kFilled + "habit: {day: 10 Feb, draw: 50 %, refill: {like: GG20}, except: {2023: "
                             "{refill: {like: GG20, cost: 3 EUR/L}}}}\nuntil: 2025\n"));
  const auto& draws = outlook.run.draws;
  ASSERT_EQ(draws.size(), 4u);
  EXPECT_NEAR(cost_per_l(draws[1]), 1.0, 1e-12);                // 2023, before its refill
  EXPECT_NEAR(cost_per_l(draws[2]), 0.5 * (1.0 + 3.0), 1e-12);  // 2024
  EXPECT_NEAR(cost_per_l(draws[3]), 0.5 * (2.0 + 1.0), 1e-12);  // 2025
}

TEST(Cost, InTwoCurrenciesIsAFaultAtTheSecond) {
  const LoadedScenario loaded =
      load(one_tier("", "0 %/yr", kNew, "spirits:\n  - {name: brandy, strength: 77 %vol, cost: 6 USD/L}\n" + kFilled));
  ASSERT_EQ(loaded.problems.size(), 1u);
  EXPECT_EQ(loaded.problems[0].what, "a cost in USD, where line 6 states one in EUR");
  EXPECT_EQ(loaded.problems[0].at.line, 8);
  EXPECT_GT(loaded.problems[0].at.column, 40);
}

}  // namespace
}  // namespace tierce
