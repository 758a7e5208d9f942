// Barrel by barrel. The expected fillings come from trying every way to fill the vessels.
#include "engine/plan/filling.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>
#include <random>
#include <tuple>

namespace tierce {
namespace {

using Vessels = std::vector<double>;

double sum_of(const Vessels& litres) { return std::accumulate(litres.begin(), litres.end(), 0.0); }

/// How good a way to fill is, best first: vessels part full, litres of air over the wine, litres of wine under that
/// air, vessels used.
using Merit = std::tuple<int, double, double, int>;

double to_the_drop(double litres) { return std::round(litres * 1e6) / 1e6; }

Merit merit_of(const Vessels& brim_l, const Vessels& level_l) {
  int part_full = 0, used = 0;
  double air_l = 0.0, under_air_l = 0.0;
  for (std::size_t i = 0; i < brim_l.size(); ++i) {
    if (level_l[i] <= 1e-6) continue;
    ++used;
    air_l += brim_l[i] - level_l[i];
    if (brim_l[i] - level_l[i] <= 1e-6) continue;
    ++part_full;
    under_air_l += level_l[i];
  }
  return {part_full, to_the_drop(air_l), to_the_drop(under_air_l), used};
}

/// Every set of full vessels with what is left over in each of the others in turn. More than one vessel part full is
/// never better: one of the two could be filled from the other.
Merit best_of_all(const Vessels& brim_l, double litres) {
  Merit best{9, 0, 0, 0};
  for (unsigned full = 0; full < (1u << brim_l.size()); ++full) {
    Vessels level_l(brim_l.size(), 0.0);
    for (std::size_t i = 0; i < brim_l.size(); ++i)
      if ((full >> i) & 1u) level_l[i] = brim_l[i];
    const double left_l = litres - sum_of(level_l);
    if (std::abs(left_l) <= 1e-6) best = std::min(best, merit_of(brim_l, level_l));
    for (std::size_t home = 0; home < brim_l.size(); ++home) {
      if (((full >> home) & 1u) || left_l <= 1e-6 || left_l > brim_l[home]) continue;
      level_l[home] = left_l;
      best = std::min(best, merit_of(brim_l, level_l));
      level_l[home] = 0.0;
    }
  }
  return best;
}

TEST(Filling, FullFirstIsAsGoodAsTheBestOfAllWaysUpToEightVessels) {
  const Vessels sizes = {500, 300, 228, 225, 225, 114, 112, 100, 57.5, 50.1, 33.3, 20};
  std::mt19937 rng(6);
  for (int trial = 0; trial < 1500; ++trial) {
    SCOPED_TRACE("trial " + std::to_string(trial));
    Vessels brim_l(1 + rng() % 8);
    for (double& brim : brim_l) brim = sizes[rng() % sizes.size()];
    const double all_l = sum_of(brim_l);
    double litres = std::uniform_real_distribution<>(0.01, 1.0)(rng) * all_l;
    if (trial % 3 == 0) litres = std::round(litres);
    if (trial % 5 == 0) {  // a sum of some of the brims: nothing is left over
      litres = 0.0;
      for (const double brim : brim_l)
        if (rng() % 2 == 0) litres += brim;
      if (litres == 0.0) litres = brim_l[0];
    }
    const auto filling = fill_vessels(brim_l, litres, Level::full_first);
    ASSERT_TRUE(filling);
    EXPECT_NEAR(sum_of(filling->level_l), litres, 1e-9 * all_l);
    for (std::size_t i = 0; i < brim_l.size(); ++i) {
      EXPECT_LE(filling->level_l[i], brim_l[i] + 1e-9 * all_l);
      EXPECT_GE(filling->level_l[i], 0.0);
    }
    EXPECT_EQ(merit_of(brim_l, filling->level_l), best_of_all(brim_l, litres));
    EXPECT_EQ(filling->part_full.has_value(), std::get<0>(best_of_all(brim_l, litres)) == 1);
    if (filling->part_full) { EXPECT_EQ(filling->order.back(), *filling->part_full); }
  }
}

// By hand: 1330 L into five barrels of 228 L and two of 112 L (1364 L in all) leave 34 L of air; under it lies the
// least wine, 78 L, in a barrel of 112 L. The first of two alike is filled first.
TEST(Filling, TheRemainderGoesWhereTheLeastWineLiesUnderAir) {
  const auto filling = fill_vessels({228, 228, 228, 228, 228, 112, 112}, 1330, Level::full_first);
  ASSERT_TRUE(filling);
  EXPECT_EQ(filling->level_l, (Vessels{228, 228, 228, 228, 228, 112, 78}));
  EXPECT_EQ(filling->part_full, 6u);
  EXPECT_EQ(filling->order, (std::vector<std::size_t>{0, 1, 2, 3, 4, 5, 6}));
  EXPECT_DOUBLE_EQ(filling->air_l, 34.0);
}

TEST(Filling, EvenFillsEveryVesselToTheSamePart) {
  const auto filling = fill_vessels({200, 100, 50}, 280, Level::even);
  ASSERT_TRUE(filling);
  EXPECT_NEAR(filling->level_l[0], 160, 1e-12);
  EXPECT_NEAR(filling->level_l[1], 80, 1e-12);
  EXPECT_NEAR(filling->level_l[2], 40, 1e-12);
  EXPECT_FALSE(filling->part_full);
}

TEST(Filling, MoreThanTheVesselsHoldIsRefusedAndAllThatTheyHoldIsNot) {
  for (const Level level : {Level::even, Level::full_first}) {
    EXPECT_FALSE(fill_vessels({225, 225}, 450.1, level));
    const auto all = fill_vessels({227.124707, 227.124707}, 454.249414, level);  // 60 gal: no whole tenth of a litre
    ASSERT_TRUE(all);
    EXPECT_LE(all->level_l[0], 227.124707);
    EXPECT_NEAR(sum_of(all->level_l), 454.249414, 1e-9);
    const auto nothing = fill_vessels({225, 225}, 0.0, level);
    ASSERT_TRUE(nothing);
    EXPECT_TRUE(nothing->order.empty());
  }
}

// Far more vessels than can be tried one by one: still one at most is part full, and none holds too much.
TEST(Filling, ThousandsOfVesselsOfManySizesTakeNoLongTime) {
  std::mt19937 rng(7);
  Vessels brim_l(5000);
  for (double& brim : brim_l) brim = std::round(std::uniform_real_distribution<>(20, 700)(rng) * 10) / 10;
  const double litres = 0.71 * sum_of(brim_l);
  const auto filling = fill_vessels(brim_l, litres, Level::full_first);
  ASSERT_TRUE(filling);
  EXPECT_NEAR(sum_of(filling->level_l), litres, 1e-6);
  for (std::size_t i = 0; i < brim_l.size(); ++i) EXPECT_LE(filling->level_l[i], brim_l[i] + 1e-9);
}

TEST(Filling, PoursBetweenVesselsBringThemToTheirLevels) {
  std::mt19937 rng(8);
  for (int trial = 0; trial < 300; ++trial) {
    SCOPED_TRACE("trial " + std::to_string(trial));
    const std::size_t count = 1 + rng() % 9;
    Vessels now_l(count), wanted_l(count);
    for (double& level : now_l) level = std::uniform_real_distribution<>(0, 228)(rng);
    for (double& level : wanted_l) level = rng() % 4 == 0 ? 0.0 : std::uniform_real_distribution<>(0, 228)(rng);
    const double part = sum_of(wanted_l) > 0.0 ? sum_of(now_l) / sum_of(wanted_l) : 0.0;
    if (part == 0.0) wanted_l = now_l;
    else
      for (double& level : wanted_l) level *= part;
    const auto pours = pours_between(now_l, wanted_l, 0.01);
    EXPECT_LT(pours.size(), count);
    for (const VesselPour& pour : pours) {
      EXPECT_GT(pour.litres, 0.0);
      EXPECT_LE(pour.litres, now_l[pour.from] + 1e-12);
      now_l[pour.from] -= pour.litres;
      now_l[pour.to] += pour.litres;
    }
    for (std::size_t i = 0; i < count; ++i) {
      EXPECT_NEAR(now_l[i], wanted_l[i], 0.005 * static_cast<double>(count) + 1e-9);
      if (wanted_l[i] == 0.0) { EXPECT_LE(now_l[i], 1e-9); }
    }
  }
}

}  // namespace
}  // namespace tierce
