// The choice of lots. The expected choices come from a slow search: every corner of the polygon of choices is worked
// out by solving small systems of equations, and the cheapest corner is the cheapest choice (the fundamental theorem of
// linear programming; Dantzig, Linear Programming and Extensions, 1963).
#include "engine/plan/lot_choice.h"

#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <cmath>
#include <optional>
#include <random>

namespace tierce {
namespace {

using Lots = std::vector<LotAtHand>;

/// The least cost over all corners: every lot is at 0 or at all there is, but for as many as there are equations.
std::optional<double> least_cost(const Lots& lots, const WantedWine& wanted) {
  const std::size_t count = lots.size();
  std::vector<std::vector<double>> factors(1, std::vector<double>(count, 1.0));
  std::vector<double> right = {1.0};
  const auto equation = [&](double LotAtHand::*value, double wish) {
    if (!is_known(wish)) return;
    factors.emplace_back();
    for (const LotAtHand& lot : lots) factors.back().push_back(lot.*value / wish);
    right.push_back(1.0);
  };
  equation(&LotAtHand::alcohol_pct, wanted.alcohol_pct);
  equation(&LotAtHand::sugar_g_l, wanted.sugar_g_l);
  const auto rows = static_cast<Eigen::Index>(right.size());
  std::optional<double> best;
  std::size_t corners = 1;
  for (std::size_t i = 0; i < count; ++i) corners *= 3;
  for (std::size_t corner = 0; corner < corners; ++corner) {
    std::vector<double> litres(count, 0.0);
    std::vector<std::size_t> free;
    std::size_t rest = corner;
    for (std::size_t i = 0; i < count; ++i, rest /= 3) {
      if (rest % 3 == 2) free.push_back(i);
      else if (rest % 3 == 1) litres[i] = lots[i].available_l;
    }
    if (free.size() > right.size()) continue;
    Eigen::MatrixXd a(rows, static_cast<Eigen::Index>(free.size()));
    Eigen::VectorXd b(rows);
    for (Eigen::Index r = 0; r < rows; ++r) {
      b[r] = right[static_cast<std::size_t>(r)] * wanted.litres;
      for (std::size_t i = 0; i < count; ++i) b[r] -= factors[static_cast<std::size_t>(r)][i] * litres[i];
      for (std::size_t f = 0; f < free.size(); ++f)
        a(r, static_cast<Eigen::Index>(f)) = factors[static_cast<std::size_t>(r)][free[f]];
    }
    if (!free.empty()) {
      const Eigen::VectorXd x = a.colPivHouseholderQr().solve(b);
      for (std::size_t f = 0; f < free.size(); ++f) litres[free[f]] = x[static_cast<Eigen::Index>(f)];
      b -= a * x;
    }
    if (b.cwiseAbs().maxCoeff() > 1e-7 * wanted.litres) continue;
    double cost = 0.0;
    bool possible = true;
    for (std::size_t i = 0; i < count; ++i) {
      possible = possible && litres[i] > -1e-7 && litres[i] < lots[i].available_l + 1e-7 &&
                 !(litres[i] > 1e-7 && lots[i].age_y < wanted.youngest_y);
      cost += litres[i] * lots[i].cost_per_l;
    }
    if (possible && (!best || cost < *best)) best = cost;
  }
  return best;
}

TEST(LotChoice, IsAsCheapAsTheCheapestCornerOfAll) {
  std::mt19937 rng(11);
  const auto between = [&](double low, double high) { return std::uniform_real_distribution<>(low, high)(rng); };
  int met = 0, refused = 0;
  for (int trial = 0; trial < 400; ++trial) {
    SCOPED_TRACE("trial " + std::to_string(trial));
    Lots lots;
    for (unsigned i = 0; i < 1 + rng() % 6; ++i)
      lots.push_back({"L" + std::to_string(i), between(50, 600), between(16.5, 19.5), between(60, 140), between(0.2, 4),
                      between(5, 12)});
    WantedWine wanted{between(100, 800)};
    if (rng() % 4 != 0) wanted.alcohol_pct = between(17, 19);
    if (rng() % 4 != 0) wanted.sugar_g_l = between(75, 125);
    if (rng() % 3 == 0) wanted.youngest_y = 1.0;
    const LotChoice choice = choose_lots(lots, wanted);
    const auto least = least_cost(lots, wanted);
    ASSERT_EQ(choice.fault == LotFault::none, least.has_value());
    if (!least) {
      ++refused;
      continue;
    }
    ++met;
    double cost = 0.0, litres = 0.0, alcohol = 0.0, sugar = 0.0;
    for (std::size_t i = 0; i < lots.size(); ++i) {
      EXPECT_GE(choice.litres[i], 0.0);
      EXPECT_LE(choice.litres[i], lots[i].available_l * (1 + 1e-9));
      cost += choice.litres[i] * lots[i].cost_per_l;
      litres += choice.litres[i];
      alcohol += choice.litres[i] * lots[i].alcohol_pct;
      sugar += choice.litres[i] * lots[i].sugar_g_l;
      if (lots[i].age_y < wanted.youngest_y) { EXPECT_EQ(choice.litres[i], 0.0); }
    }
    // The program allows 1e-6 %vol and 1e-5 g/L to each side; what that can save is far below a ten-thousandth.
    EXPECT_NEAR(cost, *least, 1e-4 * *least);
    EXPECT_NEAR(litres, wanted.litres, 1e-7 * wanted.litres);
    if (is_known(wanted.alcohol_pct)) { EXPECT_NEAR(alcohol / litres, wanted.alcohol_pct, 1e-5); }
    if (is_known(wanted.sugar_g_l)) { EXPECT_NEAR(sugar / litres, wanted.sugar_g_l, 1e-4); }
  }
  EXPECT_GT(met, 60);  // both kinds were tried
  EXPECT_GT(refused, 60);
}

const Lots kThree = {{"A", 500, 17.0, 80, 3.0}, {"B", 500, 19.0, 120, 1.5}, {"C", 500, 18.0, 130, 0.4}};

// By hand: equal parts of A and B have 18 %vol and 100 g/L.
TEST(LotChoice, TwoLotsMeetInTheMiddle) {
  const LotChoice choice = choose_lots(kThree, {400, 18.0, 100});
  ASSERT_EQ(choice.fault, LotFault::none);
  EXPECT_NEAR(choice.litres[0], 200, 0.01);
  EXPECT_NEAR(choice.litres[1], 200, 0.01);
  EXPECT_NEAR(choice.litres[2], 0, 0.01);
}

TEST(LotChoice, WithoutCostsTheOldestLotsGoFirst) {
  const LotChoice choice = choose_lots(kThree, {600});
  ASSERT_EQ(choice.fault, LotFault::none);
  EXPECT_FALSE(choice.by_cost);
  EXPECT_NEAR(choice.litres[0], 500, 1e-6);
  EXPECT_NEAR(choice.litres[1], 100, 1e-6);
}

// By hand, for 400 L of the three: 17 to 19 %vol, 80 to 130 g/L.
TEST(LotChoice, SaysWhatStandsInTheWay) {
  EXPECT_EQ(choose_lots(kThree, {400, kUnknown, kUnknown, 5.0}).fault, LotFault::no_lot_old_enough);
  EXPECT_DOUBLE_EQ(choose_lots(kThree, {400, kUnknown, kUnknown, 5.0}).oldest_y, 3.0);
  const LotChoice little = choose_lots(kThree, {1200, kUnknown, kUnknown, 1.0});
  EXPECT_EQ(little.fault, LotFault::too_little);
  EXPECT_DOUBLE_EQ(little.available_l, 1000);
  const LotChoice strong = choose_lots(kThree, {400, 19.5});
  EXPECT_EQ(strong.fault, LotFault::strength);
  EXPECT_NEAR(strong.strength.low, 17, 1e-6);
  EXPECT_NEAR(strong.strength.high, 19, 1e-6);
  EXPECT_EQ(choose_lots(kThree, {400, 18.0, 150}).fault, LotFault::sugar);
  // At 18 %vol: from half A, half B (100 g/L) to all C (130 g/L).
  const LotChoice both = choose_lots(kThree, {400, 18.0, 90});
  EXPECT_EQ(both.fault, LotFault::both_together);
  EXPECT_NEAR(both.sugar_at_strength.low, 100, 1e-4);
  EXPECT_NEAR(both.sugar_at_strength.high, 130, 1e-4);
  // Between A and B sugar rises by 20 g/L for 1 %vol, which weigh 20 and 10: rather the sugar than the strength.
  EXPECT_NEAR(both.sugar_g_l, 90, 1e-4);
  EXPECT_NEAR(both.alcohol_pct, 17.5, 1e-4);
}

}  // namespace
}  // namespace tierce
