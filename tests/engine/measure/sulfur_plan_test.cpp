// What each dose does: the dose for a level, held down or not, its share for every vessel, the wine just after it and
// at the next draw, what is not sure about it, and why a level cannot stand.
#include "engine/measure/sulfur_plan.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

#include "engine/measure/balance.h"
#include "engine/run/outlook.h"
#include "tests/engine/run/sulfur_scenes.h"

namespace tierce {
namespace {

using namespace scenes;

// What a dose for a level adds. docs/model.md, section 13; the functions of engine/wine/sulfur.h have tables of their
// own.

TEST(DoseForALevel, AddsFreeAndBoundLessTheTotalWhereAcetaldehydeIsKnown) {
  const PlannedDose dose = dosed(lot_of(0.0, 60.0, 50.0), dose_of(Dose::Kind::to_free, 20.0));
  EXPECT_NEAR(dose.record.dose_mg_l, 20.0 + bound_by_hand(20.0, 50.0) - 60.0, 1e-10);
  EXPECT_NEAR(dose.after.now.free_mg_l.planned, 20.0, 1e-9);
}

TEST(DoseForALevel, DividesTheRiseByWhatStaysFreeWhereNoBinderIsKnown) {
  const PlannedDose dose = dosed(lot_of(10.0, 60.0), dose_of(Dose::Kind::to_free, 30.0));
  EXPECT_NEAR(dose.record.dose_mg_l, 30.0, 1e-10);  // so2_dosing_examples.csv, D24: a rise of 20 takes 30
  EXPECT_NEAR(dose.after.now.free_mg_l.planned, 30.0, 1e-10);
  EXPECT_NEAR(dose.after.bound_mg_l(), 60.0, 1e-10);
}

TEST(DoseForALevel, TurnsMolecularIntoFreeByThePkOfTheWine) {
  // Case S7 of so2_steady_state_cases.csv: 0.5 mg/L molecular at pH 3.6, pK 2.074 stands beside 17.2868807121 free.
  for (const double acetaldehyde_mg_l : {30.0, kUnknown}) {
    const PlannedDose dose = dosed(lot_of(0.0, 60.0, acetaldehyde_mg_l), dose_of(Dose::Kind::to_molecular, 0.5));
    EXPECT_NEAR(dose.after.now.free_mg_l.planned, 17.2868807121, 5e-10);
    EXPECT_NEAR(dose.after.molecular_mg_l.planned, 0.5, 1e-10);
    const double expected = is_known(acetaldehyde_mg_l) ? 17.2868807121 + bound_by_hand(17.2868807121, 30.0) - 60.0
                                                        : 17.2868807121 / (1.0 - 1.0 / 3.0);
    EXPECT_NEAR(dose.record.dose_mg_l, std::max(0.0, expected), 1e-9);
  }
}

TEST(DoseForALevel, IsNoneWhereTheLevelStandsAlready) {
  EXPECT_EQ(dosed(lot_of(31.0, 90.0), dose_of(Dose::Kind::to_free, 30.0)).record.dose_mg_l, 0.0);
  EXPECT_EQ(dosed(lot_of(0.0, 200.0, 50.0), dose_of(Dose::Kind::to_free, 30.0)).record.dose_mg_l, 0.0);
}

TEST(DoseForALevel, IsHeldDownToTheTotalThatMayStandJustAfterIt) {
  Dose dose = dose_of(Dose::Kind::to_free, 30.0);  // wants 45 beside the 120 that are there
  dose.at_most_total_mg_l = 150.0;
  const PlannedDose held = dosed(lot_of(0.0, 120.0), dose);
  EXPECT_NEAR(held.record.wanted_mg_l.planned, 45.0, 1e-10);
  EXPECT_NEAR(held.record.dose_mg_l, 30.0, 1e-10);
  EXPECT_NEAR(held.after.now.total_mg_l, 150.0, 1e-10);
  dose.at_most_total_mg_l = 100.0;  // full already
  EXPECT_EQ(dosed(lot_of(0.0, 120.0), dose).record.dose_mg_l, 0.0);
  dose.at_most_total_mg_l = 165.0;  // exactly what is wanted
  EXPECT_NEAR(dosed(lot_of(0.0, 120.0), dose).record.dose_mg_l, 45.0, 1e-10);
}

// Vessels.

double sum_of(const PlannedDose& dose, double VesselDose::*value) {
  return std::accumulate(dose.vessels.begin(), dose.vessels.end(), 0.0,
                         [&](double sum, const VesselDose& vessel) { return sum + vessel.*value; });
}

TEST(Vessels, ShareTheDoseByTheirLitres) {
  Scenario scenario = cellar_with(lot_of(0.0, 60.0));
  book(scenario, {2021, 2, 10}, filling(900.0));
  book(scenario, {2021, 2, 10}, Lose{{{}, 0, 1}, litres(150.0), "leak"});
  book(scenario, {2021, 2, 10}, dose_of(Dose::Kind::plain, 30.0));
  const PlannedDose dose = plan_of(scenario).at(0);
  ASSERT_EQ(dose.vessels.size(), 2u);
  EXPECT_EQ(dose.vessels[1].name, "B");
  EXPECT_NEAR(dose.vessels[0].litres, 450.0, 1e-9);
  EXPECT_NEAR(dose.vessels[1].litres, 300.0, 1e-9);
  EXPECT_NEAR(dose.vessels[0].so2_g, 13.5, 1e-11);  // 30 x 450 / 1000
  EXPECT_NEAR(dose.vessels[1].so2_g, 9.0, 1e-11);
}

TEST(Vessels, HoldTogetherWhatTheTierHeldWhenItWasDosed) {
  Scenario scenario = cellar_with(lot_of(0.0, 60.0));
  book(scenario, {2021, 2, 10}, filling(900.0));
  book(scenario, {2021, 2, 10}, dose_of(Dose::Kind::plain, 30.0));
  book(scenario, {2021, 2, 10}, drawing(300.0, "same day"));
  const PlannedDose dose = plan_of(scenario).at(0);
  EXPECT_NEAR(sum_of(dose, &VesselDose::litres), 900.0, 1e-9);
  EXPECT_NEAR(sum_of(dose, &VesselDose::so2_g), 27.0, 1e-10);
}

// Moments after the dose.

/// Two tiers worked once a year; 40 % of the total is lost.
Scenario two_tiers() {
  Scenario scenario = cellar_with(lot_of(5.0, 60.0));
  scenario.so2_loss = SulfurLoss{SulfurLoss::Law::of_total, 0.4};
  scenario.tiers.push_back(tier_of("oldest", {{{}, "O", 500.0}}, 500.0));
  book(scenario, {2021, 2, 10}, filling(1000.0, 0));
  book(scenario, {2021, 2, 10}, filling(500.0, 1));
  book(scenario, {2021, 2, 10}, dose_of(Dose::Kind::plain, 30.0));
  Routine routine;
  routine.day = DayOfYear{2, 10};
  routine.from = Date{2022, 2, 10};
  routine.usual.draw = Amount{{}, Amount::Kind::share, 0.2, 0.0};
  routine.usual.name = "Bottling {year}";
  routine.usual.refill.kind = HabitRefill::Kind::lot;
  routine.usual.refill.lot = 0;
  routine.usual.doses = {dose_of(Dose::Kind::plain, 30.0)};
  scenario.habit = {routine};
  scenario.until = 2024;
  return scenario;
}

TEST(NextDraw, IsTheWineDrawnWhereTheTierIsDrawnAndTheWineThatDayElsewhere) {
  const auto plan = plan_of(two_tiers());
  ASSERT_EQ(plan.size(), 8u);  // two tiers, four years
  const PlannedDose &nursery = plan[0], &oldest = plan[1];
  ASSERT_TRUE(nursery.next && oldest.next);
  EXPECT_FALSE(nursery.next->from_this_row);
  EXPECT_TRUE(oldest.next->from_this_row);
  EXPECT_EQ(oldest.next->name, "Bottling 2022");
  // 90 mg/L, of which 60 % are left in 96 % of the volume: 56.25 mg/L a year later, in both tiers.
  EXPECT_NEAR(nursery.next->wine.now.total_mg_l, 56.25, 1e-10);
  EXPECT_NEAR(oldest.next->wine.now.total_mg_l, 56.25, 1e-10);
  // 25 free as planned, and 36 are lost, free first: a tenth is left of the high end's 29 x 0.6, in 96 % of the volume.
  EXPECT_NEAR(oldest.next->wine.now.free_mg_l.planned, 0.1 * 29.0 * 0.6 / 0.96, 1e-10);
  EXPECT_FALSE(plan[6].next || plan[7].next);  // the forecast ends before another draw
}

TEST(NextDraw, MayBeOnTheDayOfTheDose) {
  Scenario scenario = cellar_with(lot_of(0.0, 60.0));
  book(scenario, {2021, 2, 10}, filling(900.0));
  book(scenario, {2021, 2, 10}, drawing(100.0, "before"));
  book(scenario, {2021, 2, 10}, dose_of(Dose::Kind::plain, 30.0));
  book(scenario, {2021, 2, 10}, drawing(100.0, "after"));
  const PlannedDose dose = plan_of(scenario).at(0);
  ASSERT_TRUE(dose.next);
  EXPECT_EQ(dose.next->name, "after");
  EXPECT_NEAR(dose.next->wine.now.total_mg_l, 90.0, 1e-10);
}

TEST(NextDraw, IsOfTheTierItselfWhereSeveralAreDrawnOnThatDay) {
  Scenario scenario = two_tiers();
  scenario.habit.clear();
  book(scenario, {2022, 2, 10}, drawing(10.0, "young", 0));
  book(scenario, {2022, 2, 10}, drawing(10.0, "old", 1));
  const auto plan = plan_of(scenario);
  EXPECT_EQ(plan.at(0).next->name, "young");
  EXPECT_EQ(plan.at(1).next->name, "old");
  EXPECT_TRUE(plan.at(0).next->from_this_row && plan.at(1).next->from_this_row);
}

TEST(TestedMoments, AreEveryDoseThenEveryDraw) {
  const Scenario scenario = two_tiers();
  const Outlook outlook = run_scenario(scenario, {});
  const auto moments = tested_moments(outlook.run);
  ASSERT_EQ(moments.size(), 8u + 3u);
  EXPECT_TRUE(moments[0].past && !moments[0].at_draw && !moments[7].past && !moments[7].at_draw);
  EXPECT_NEAR(moments[0].total_mg_l, 90.0, 1e-10);
  EXPECT_NEAR(moments[0].sugar_g_l, 95.0, 1e-10);
  EXPECT_TRUE(moments[8].at_draw);
  EXPECT_NEAR(moments[8].total_mg_l, 56.25, 1e-10);
  EXPECT_NEAR(moments[8].sugar_g_l, 95.0 / 0.96, 1e-10);  // nothing but wine evaporates
}

TEST(PlannedDoses, CloseTheBalanceOfSulfurTogetherWithWhatIsOxidised) {
  const Outlook outlook = run_scenario(two_tiers(), {});
  const Balance balance = balance_of(outlook.run, kSo2Total);
  double dosed_mg = 0.0;
  for (const PlannedDose& dose : planned_doses(outlook.scenario, outlook.line, outlook.run))
    dosed_mg += 1000.0 * sum_of(dose, &VesselDose::so2_g);
  EXPECT_NEAR(balance.flow[kDosed], dosed_mg, 1e-9 * dosed_mg);
  EXPECT_LE(std::abs(balance.gap()), kBalanceTolerance * balance.throughput());
  EXPECT_LT(balance.flow[kGained], 0.0);
  // Sulfate made: 174.26 / 64.06 of what is oxidised, milligrams to grams.
  EXPECT_NEAR(balance_of(outlook.run, kSulfate).flow[kGained], -balance.flow[kGained] * 174.26 / 64.06 / 1000.0, 1e-9);
}

TEST(PlannedDoses, AskTheirOwnDoseWhereSeveralStandOnOneDay) {
  Scenario scenario = two_tiers();
  scenario.habit.clear();
  Dose own = dose_of(Dose::Kind::to_free, 40.0);
  own.place = Place{{}, 1, -1};
  book(scenario, {2021, 2, 10}, own);
  const auto plan = plan_of(scenario);
  ASSERT_EQ(plan.size(), 3u);
  EXPECT_TRUE(plan[1].record.row == 1 && plan[1].asked.kind == Dose::Kind::plain);
  EXPECT_TRUE(plan[2].record.row == 1 && plan[2].asked.kind == Dose::Kind::to_free);
}

TEST(PlannedDoses, AreNotMixedUpWhereTheFirstOneFoundATierEmpty) {
  Scenario scenario = two_tiers();
  scenario.habit.clear();
  scenario.log.erase(scenario.log.begin() + 1);  // the oldest tier is filled between the two doses
  book(scenario, {2021, 2, 10}, filling(500.0, 1));
  Dose own = dose_of(Dose::Kind::to_free, 40.0);
  own.place = Place{{}, 1, -1};
  book(scenario, {2021, 2, 10}, own);
  const auto plan = plan_of(scenario);
  ASSERT_EQ(plan.size(), 2u);
  EXPECT_TRUE(plan[0].asked.kind == Dose::Kind::plain && plan[1].asked.kind == Dose::Kind::to_free);
  EXPECT_NEAR(plan[1].after.now.free_mg_l.planned, 40.0, 1e-10);
}

// Levels that cannot stand.

TEST(Shortfall, SaysThatAcetaldehydeAloneReachesTheLimit) {
  // 138 mg/L of acetaldehyde bind 138 x 64.06 / 44.05 = 200.687 mg/L: over 200 before anything is free.
  const Lot lot = lot_of(0.0, 150.0, 138.0);
  const Scenario scenario = cellar_with(lot);
  const PlannedDose dose = dosed(lot, dose_of(Dose::Kind::to_molecular, 0.5));
  const auto shortfall = shortfall_under(scenario, dose, 200.0);
  ASSERT_TRUE(shortfall);
  EXPECT_NEAR(shortfall->acetaldehyde_binds_mg_l, 200.687, 5e-4);
  EXPECT_NEAR(shortfall->wanted_total_mg_l.planned, 17.2868807121 + bound_by_hand(17.2868807121, 138.0), 1e-8);
  EXPECT_NEAR(shortfall->best.now.total_mg_l, 200.0, 1e-12);
  EXPECT_NEAR(shortfall->best.now.free_mg_l.high, free_by_halving(200.0, 138.0, 0.0024), 1e-9);
  EXPECT_NEAR(shortfall->best.now.free_mg_l.low, free_beside_all(200.0, 138.0, 47500.0), 1e-9);
  EXPECT_FALSE(shortfall->perhaps);
  EXPECT_NEAR(shortfall->best.molecular_mg_l.planned,
              free_by_halving(200.0, 138.0, 0.0024) / (1.0 + std::pow(10.0, 3.6 - kPk)), 1e-10);
  EXPECT_FALSE(shortfall->full_before);
  EXPECT_FALSE(shortfall_under(scenario, dose, 300.0));
}

TEST(Shortfall, LeavesWhatAnAdditionUpToTheCapLeavesFreeWhereNoBinderIsKnown) {
  const Lot lot = lot_of(5.0, 160.0);
  const PlannedDose dose = dosed(lot, dose_of(Dose::Kind::to_free, 40.0));  // wants 52.5: 212.5 in all
  const auto shortfall = shortfall_under(cellar_with(lot), dose, 200.0);
  ASSERT_TRUE(shortfall);
  EXPECT_NEAR(shortfall->wanted_total_mg_l.planned, 212.5, 1e-9);
  EXPECT_NEAR(shortfall->best.now.free_mg_l.low, 5.0 + 40.0 / 3.0, 1e-10);
  EXPECT_NEAR(shortfall->best.now.free_mg_l.high, 5.0 + 40.0 * 4.0 / 5.0, 1e-10);
  EXPECT_FALSE(shortfall->perhaps);  // with a fifth bound it takes 35 / 0.8 = 43.75: 203.75, over 200 too
  EXPECT_TRUE(shortfall_under(cellar_with(lot), dose, 204.0)->perhaps);
  EXPECT_FALSE(shortfall_under(cellar_with(lot), dose, 265.0));  // the low end's 35 x 3 = 105: exactly at the cap
}

TEST(Shortfall, LeavesTheWineAsItIsWhereItHoldsTheCapAlready) {
  const Lot lot = lot_of(0.0, 210.0, 150.0);
  const auto shortfall = shortfall_under(cellar_with(lot), dosed(lot, dose_of(Dose::Kind::to_free, 20.0)), 200.0);
  ASSERT_TRUE(shortfall);
  EXPECT_TRUE(shortfall->full_before);
  EXPECT_NEAR(shortfall->best.now.total_mg_l, 210.0, 1e-12);
}

TEST(Shortfall, IsNoMatterOfAPlainDose) {
  const Lot lot = lot_of(0.0, 190.0, 138.0);
  EXPECT_FALSE(shortfall_under(cellar_with(lot), dosed(lot, dose_of(Dose::Kind::plain, 30.0)), 200.0));
}

// Oxygen.

TEST(OxygenBudget, IsWhatOneFillingOfTheAirSpaceCanUseUp) {
  // An air space of 5 %: 14.66722314 mg/L of oxygen and, two molecules of SO2 for each of it, 58.7275651194 mg/L of
  // SO2; half of that at one for one (0.2095 x 31.998 / 24.055 g in a litre of air, 64.06 and 31.998 g/mol).
  Scenario scenario = cellar_with(lot_of(0.0, 60.0));
  book(scenario, {2021, 2, 10}, filling(950.0));
  book(scenario, {2021, 2, 10}, dose_of(Dose::Kind::plain, 30.0));
  const OxygenBudget cask = plan_of(scenario).at(0).oxygen;
  EXPECT_NEAR(cask.air_high_mg_l, 58.7275651194, 1e-9);
  EXPECT_NEAR(cask.air_low_mg_l, 58.7275651194 / 2.0, 1e-9);
  EXPECT_NEAR(cask.wood_low_mg_l, 10.0 * 2.00200012501, 1e-9);
  EXPECT_NEAR(cask.wood_high_mg_l, 27.0 * 4.00400025002, 1e-9);
  scenario.tiers[0].wood = false;
  EXPECT_EQ(plan_of(scenario).at(0).oxygen.wood_high_mg_l, 0.0);
}

}  // namespace
}  // namespace tierce
