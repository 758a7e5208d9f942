// Free SO2 between its ends: what else binds, which share of a dose, what a reading tells.
#include "tests/engine/run/sulfur_scenes.h"

namespace tierce {
namespace {

using namespace scenes;

// What is not sure: what else binds, or which share.

// so2_bound_vs_free.csv, the reference wine (100 mg/L of acetaldehyde, 45 g/L of glucose): 10 mg/L stand free of
// 169.766978733 in all, 30 of 211.610613892.
TEST(FreeSo2, OfTheLowReckoningIsThatOfTheReferenceWine) {
  Lot lot = lot_of(0.0, 169.766978733 - 30.0, 100.0);
  lot.wine.sugar_g_l = 90.0;
  const SulfurMoment ten = dosed(lot, dose_of(Dose::Kind::plain, 30.0)).after;
  EXPECT_NEAR(ten.now.free_mg_l.low, 10.0, 1e-8);
  const SulfurMoment thirty = dosed(lot, dose_of(Dose::Kind::plain, 211.610613892 - 139.766978733)).after;
  EXPECT_NEAR(thirty.now.free_mg_l.low, 30.0, 1e-8);
}

TEST(FreeSo2, LiesBetweenAllBindersAndAcetaldehydeAloneWhereThatIsKnown) {
  const SulfurMoment after = dosed(lot_of(0.0, 60.0, 60.0), dose_of(Dose::Kind::plain, 35.0)).after;
  EXPECT_NEAR(after.now.free_mg_l.high, free_by_halving(95.0, 60.0, 0.0024), 1e-10);
  EXPECT_NEAR(after.now.free_mg_l.low, free_beside_all(95.0, 60.0, 47500.0), 1e-9);  // half of 95 g/L
  EXPECT_EQ(after.now.free_mg_l.planned, after.now.free_mg_l.high);
  const double molecular_part = 1.0 / (1.0 + std::pow(10.0, 3.6 - kPk));
  EXPECT_NEAR(after.molecular_mg_l.low, after.now.free_mg_l.low * molecular_part, 1e-12);
  EXPECT_NEAR(after.molecular_mg_l.high, after.now.free_mg_l.high * molecular_part, 1e-12);
  EXPECT_NEAR(after.molecular_other_mg_l.high, after.now.free_mg_l.high / (1.0 + std::pow(10.0, 3.6 - 1.81)), 1e-12);
}

TEST(FreeSo2, TakesTheBindersThatALotStates) {
  Lot lot = lot_of(0.0, 60.0, 60.0);
  lot.wine.pyruvic_mg_l = lot.wine.oxoglutaric_mg_l = lot.wine.galacturonic_mg_l = lot.wine.sugar_g_l = 0.0;
  const SulfurMoment after = dosed(lot, dose_of(Dose::Kind::plain, 35.0)).after;
  EXPECT_NEAR(after.now.free_mg_l.low, after.now.free_mg_l.high, 1e-9);  // nothing but acetaldehyde is left
}

// The wine of docs/dose.md as its book opens: 3 free of 146 mg/L, measured; 109 g/L of sugar, pH 3.61, 18.6 %vol, 16
// °C. By the law of mass action with what the reading leaves to acetaldehyde: 25 mg/L more leave 21.7 free with that
// alone and 10.7 with the other binders of the reference wine and half of its sugar. 0.5 molecular stands beside 0.5 (1
// + 10^(3.61 - 2.042)) = 19.0 free: pK 2.014 + 0.72 x 0.100 - 4 x 0.011. It takes 22.1 to 44.2 mg/L.
TEST(FreeSo2, OfAReadWineRunsFromAllBindersToAcetaldehydeAlone) {
  Lot lot = lot_of(3.0, 146.0, 104.0);
  lot.wine.sugar_g_l = 109.0;
  lot.wine.ph = 3.61;
  lot.wine.alcohol_pct = 18.6;
  EXPECT_NEAR(dosed(lot, dose_of(Dose::Kind::plain, 1e-9)).before.now.free_mg_l.low, 3.0, 1e-9);
  const SulfurMoment after = dosed(lot, dose_of(Dose::Kind::plain, 25.0)).after;
  EXPECT_NEAR(after.now.free_mg_l.low, 10.7, 0.05);
  EXPECT_NEAR(after.now.free_mg_l.high, 21.7, 0.05);
  Scenario scenario = cellar_with(lot);
  scenario.cellar.temperature_c = 16.0;
  book(scenario, {2021, 2, 10}, filling(1000.0));
  book(scenario, {2021, 2, 10}, dose_of(Dose::Kind::to_molecular, 0.5));
  const DoseRecord record = plan_of(scenario).at(0).record;
  EXPECT_NEAR(record.dose_mg_l, 22.1, 0.05);
  EXPECT_NEAR(record.low_end_mg_l, 44.2, 0.05);
}

TEST(FreeSo2, LiesBetweenTwoThirdsAndAFifthBoundInSweetWineWhereNoBinderIsKnown) {
  const SulfurMoment after = dosed(lot_of(4.0, 60.0), dose_of(Dose::Kind::plain, 30.0)).after;
  EXPECT_NEAR(after.now.free_mg_l.low, 4.0 + 30.0 / 3.0, 1e-10);
  EXPECT_NEAR(after.now.free_mg_l.planned, 4.0 + 30.0 * 2.0 / 3.0, 1e-10);
  EXPECT_NEAR(after.now.free_mg_l.high, 4.0 + 30.0 * 4.0 / 5.0, 1e-10);
  Lot dry = lot_of(4.0, 60.0);
  dry.wine.sugar_g_l = 11.9;
  EXPECT_NEAR(dosed(dry, dose_of(Dose::Kind::plain, 30.0)).after.now.free_mg_l.low, 4.0 + 30.0 / 2.0, 1e-10);
}

TEST(FreeSo2, IsOneFigureWhereTheFileStatesTheShare) {
  const SulfurMoment after = dosed(lot_of(4.0, 60.0), dose_of(Dose::Kind::plain, 30.0), true).after;
  EXPECT_EQ(after.now.free_mg_l.low, after.now.free_mg_l.high);
  EXPECT_NEAR(after.now.free_mg_l.low, 24.0, 1e-10);
}

TEST(FreeSo2, RunsOverTheErrorOfAShareThatIsStatedWithOne) {
  Scenario scenario = cellar_with(lot_of(4.0, 60.0));
  scenario.so2_binding_stated = true;
  scenario.so2_binding_fraction = 0.38;
  scenario.so2_binding_error = 0.05;
  book(scenario, {2021, 2, 10}, filling(1000.0));
  book(scenario, {2021, 2, 10}, dose_of(Dose::Kind::plain, 30.0));
  const SulfurRange free_mg_l = plan_of(scenario).at(0).after.now.free_mg_l;
  EXPECT_NEAR(free_mg_l.low, 4.0 + 30.0 * 0.57, 1e-10);
  EXPECT_NEAR(free_mg_l.planned, 4.0 + 30.0 * 0.62, 1e-10);
  EXPECT_NEAR(free_mg_l.high, 4.0 + 30.0 * 0.67, 1e-10);
}

TEST(FreeSo2, TheDosePlannedIsWeighedAndTheEndsOnlySaid) {
  const PlannedDose dose = dosed(lot_of(10.0, 60.0), dose_of(Dose::Kind::to_free, 30.0));
  EXPECT_NEAR(dose.record.dose_mg_l, 30.0, 1e-10);     // 20 / (2/3)
  EXPECT_NEAR(dose.record.low_end_mg_l, 60.0, 1e-10);  // 20 / (1/3)
  EXPECT_NEAR(dose.after.now.free_mg_l.low, 10.0 + 30.0 / 3.0, 1e-10);
  EXPECT_NEAR(dose.after.now.free_mg_l.high, 10.0 + 30.0 * 4.0 / 5.0, 1e-10);
}

// A demo's year by hand: 60 mg/L in all, 7 free, dosed with 25 (sweet): 15.3, 23.7 and 27.0 free. 40 % of the 85
// go: 34. The high keeps its share, 16.2; the others would be below none, and keep a tenth of that.
TEST(FreeSo2, IsNeverNoneBesideABoundTotalAYearAfterItsDose) {
  Scenario scenario = cellar_with(lot_of(7.0, 60.0));
  scenario.so2_loss = SulfurLoss{SulfurLoss::Law::of_total, 0.4};
  scenario.tiers[0].evaporation.per_year = 0.0;
  book(scenario, {2021, 2, 10}, filling(1000.0));
  book(scenario, {2021, 2, 10}, dose_of(Dose::Kind::plain, 25.0));
  book(scenario, {2022, 2, 10}, drawing(100.0, "a year later"));
  const SulfurMoment later = plan_of(scenario).at(0).next->wine;
  EXPECT_NEAR(later.now.total_mg_l, 51.0, 1e-10);
  EXPECT_NEAR(later.now.free_mg_l.high, 27.0 * 0.6, 1e-10);
  EXPECT_NEAR(later.now.free_mg_l.planned, 1.62, 1e-10);
  EXPECT_NEAR(later.now.free_mg_l.low, 1.62, 1e-10);
}

// An analysis that finds 14 free of 50 beside a stated 90 mg/L of acetaldehyde: the free is believed. 36 mg/L bound
// beside 14 free: c = b (K + f) / f = 25.0 mg/L that binds.
TEST(FreeSo2, MeasuredIsBelievedBeforeAnAcetaldehydeThatLeavesItNoRoom) {
  Lot lot = lot_of(14.0, 50.0, 90.0);
  EXPECT_TRUE(contradicts_itself(lot.wine));
  const double f = 14.0 / 64.06, expected = 44.05 * (36.0 / 64.06) * (0.0024 + f) / f;
  const PlannedDose of_lot = dosed(lot, dose_of(Dose::Kind::plain, 1.0));
  EXPECT_NEAR(of_lot.before.now.free_mg_l.planned, 14.0, 1e-9);
  EXPECT_NEAR(of_lot.before.now.free_mg_l.low, 14.0, 1e-9);
  EXPECT_NEAR(of_lot.before.now.acetaldehyde_mg_l, expected, 1e-9);
  Scenario scenario = cellar_with(lot_of(0.0, 60.0, 200.0));
  book(scenario, {2021, 2, 10}, filling(1000.0));
  Analyse analyse;
  analyse.place = {{}, 0, -1};
  analyse.found.so2_free_mg_l = 14.0;
  analyse.found.so2_total_mg_l = 50.0;
  analyse.found.acetaldehyde_mg_l = 90.0;
  book(scenario, {2021, 2, 10}, analyse);
  book(scenario, {2021, 2, 10}, dose_of(Dose::Kind::plain, 1.0));
  EXPECT_NEAR(plan_of(scenario).at(0).before.now.free_mg_l.planned, 14.0, 1e-9);
  EXPECT_NEAR(plan_of(scenario).at(0).before.now.acetaldehyde_mg_l, expected, 1e-9);
}

TEST(FreeSo2, MeasuredResetsWhatIsTakenToBind) {
  Scenario scenario = cellar_with(lot_of(0.0, 60.0, 200.0));
  book(scenario, {2021, 2, 10}, filling(1000.0));
  Analyse analyse;
  analyse.place = {{}, 0, -1};
  analyse.found.so2_free_mg_l = 10.0;
  analyse.found.so2_total_mg_l = 150.0;
  book(scenario, {2021, 2, 10}, analyse);
  book(scenario, {2021, 2, 10}, dose_of(Dose::Kind::plain, 20.0));
  const PlannedDose dose = plan_of(scenario).at(0);
  // 140 mg/L bound beside 10 free: c = b (K + f) / f, in mmol/L.
  const double f = 10.0 / 64.06, expected = 44.05 * (140.0 / 64.06) * (0.0024 + f) / f;
  EXPECT_NEAR(dose.before.now.acetaldehyde_mg_l, expected, 1e-10);
  EXPECT_NEAR(dose.before.now.free_mg_l.planned, 10.0, 1e-9);
  EXPECT_NEAR(dose.after.now.free_mg_l.planned, free_by_halving(170.0, expected, 0.0024), 1e-9);
}

}  // namespace
}  // namespace tierce
