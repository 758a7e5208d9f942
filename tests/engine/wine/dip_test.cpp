// What a cask holds by a dip, against the old rule of the gaugers, closed forms and a plain sum of slices.
#include "engine/wine/dip.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace tierce {
namespace {

constexpr double kGallons = 118.80;
const CaskShape kButt{32.0, 32.0};  // inches; no head is stated

// Share of a circle below a chord: (acos(1 - 2r) - (1 - 2r) 2 sqrt(r (1 - r))) / pi, r = wet / diameter. For a cask of
// 32 in and 118.80 gal at 15 wet inches 54.68 gal.
TEST(Dip, OfACylinderIsTheSegmentOfItsCircle) {
  EXPECT_NEAR(kGallons * wet_share(kButt, 15.0).value(), 54.68, 0.005);
  for (const double r : {0.05, 0.2, 0.46875, 0.5, 0.8, 0.99}) {
    const double segment =
        (std::acos(1.0 - 2.0 * r) - (1.0 - 2.0 * r) * 2.0 * std::sqrt(r * (1.0 - r))) / std::numbers::pi;
    EXPECT_NEAR(wet_share(kButt, 32.0 * r).value(), segment, 1e-12) << r;
  }
}

// The old gauging rule, published in mechanics' handbooks of the 19th century: of the whole, r + (r - 1/2)/4. For the
// same cask 54.76 gal. It is good about the middle and useless near the ends, where it gives less than nothing.
TEST(Dip, LiesByTheOldGaugingRuleAboutTheMiddleOnly) {
  const auto old_rule = [](double r) { return r + (r - 0.5) / 4.0; };
  EXPECT_NEAR(kGallons * old_rule(15.0 / 32.0), 54.76, 0.005);
  EXPECT_NEAR(kGallons * wet_share(kButt, 15.0).value(), kGallons * old_rule(15.0 / 32.0), 0.1);
  EXPECT_LT(old_rule(0.05), 0.0);
  EXPECT_GT(wet_share(kButt, 0.05 * 32.0).value(), 0.0);
}

/// The same cask as a plain sum over slices and chords.
double sum_of_slices(const CaskShape& cask, double wet) {
  const int slices = 400, chords = 4000;
  double below = 0.0, whole = 0.0;
  for (int i = 0; i < slices; ++i) {
    const double z = (i + 0.5) / slices;
    const double radius = 0.5 * (cask.bung - (cask.bung - cask.head) * z * z);
    for (int k = 0; k < chords; ++k) {
      const double height = radius * (2.0 * (k + 0.5) / chords - 1.0);
      const double area = 2.0 * std::sqrt(radius * radius - height * height) * (2.0 * radius / chords);
      whole += area;
      if (height < wet - 0.5 * cask.bung) below += area;
    }
  }
  return below / whole;
}

TEST(Dip, OfABentCaskIsTheSumOfItsSlices) {
  const CaskShape cask{69.0, 57.0};
  for (const double wet : {2.0, 5.0, 12.0, 30.0, 34.5, 50.0, 66.0})  // the sum itself is good to some 1e-4
    EXPECT_NEAR(wet_share(cask, wet).value(), sum_of_slices(cask, wet), 3e-4) << wet;
}

TEST(Dip, OfAFullAnEmptyAndAHalfCask) {
  const CaskShape cask{69.0, 57.0};
  EXPECT_EQ(wet_share(cask, 0.0), 0.0);
  EXPECT_NEAR(wet_share(cask, 69.0).value(), 1.0, 1e-12);
  EXPECT_NEAR(wet_share(cask, 34.5).value(), 0.5, 1e-11);
  for (const double wet : {1.0, 20.0, 33.0})
    EXPECT_NEAR(wet_share(cask, wet).value() + wet_share(cask, 69.0 - wet).value(), 1.0, 1e-12) << wet;
}

TEST(Dip, ThatNoCaskHoldsIsNone) {
  EXPECT_FALSE(wet_share(kButt, 32.1));
  EXPECT_FALSE(wet_share(kButt, -0.1));
  EXPECT_FALSE(wet_share({30.0, 32.0}, 10.0));
  EXPECT_FALSE(wet_share({0.0, 0.0}, 0.0));
}

// A solid of revolution of a parabola, integrated by hand: pi L (8 D^2 + 4 D d + 3 d^2) / 60. A cylinder is pi D^2 L
// / 4.
TEST(CaskVolume, IsThatOfAParabolicSolid) {
  EXPECT_NEAR(cask_volume({2.0, 2.0}, 3.0), std::numbers::pi * 3.0, 1e-12);
  const CaskShape cask{69.0, 57.0};
  double sum = 0.0;
  for (int i = 0; i < 20000; ++i) {
    const double z = (i + 0.5) / 20000.0, radius = 0.5 * (69.0 - 12.0 * z * z);
    sum += std::numbers::pi * radius * radius * 90.0 / 20000.0;
  }
  EXPECT_NEAR(cask_volume(cask, 90.0), sum, 1e-3);
}

TEST(DipTable, RunsStraightBetweenItsLinesAndIsNeverRoundedToOne) {
  const DipTable table = {{10.0, 30.0}, {20.0, 80.0}};
  EXPECT_NEAR(litres_at(table, 12.5).value(), 42.5, 1e-12);
  EXPECT_NEAR(litres_at(table, 5.0).value(), 15.0, 1e-12);  // nothing at depth zero
  EXPECT_EQ(litres_at(table, 20.0), 80.0);
  EXPECT_FALSE(litres_at(table, 20.5));
  EXPECT_FALSE(litres_at({}, 1.0));
}

}  // namespace
}  // namespace tierce
