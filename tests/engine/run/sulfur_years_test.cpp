// Sulfur dioxide over many years, through the engine's own loop of events: against the tabled cases of the yearly
// model, against closed forms, and against recurrences written here apart from the engine, in a wider type.
#include "engine/plan/sulfur_years.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

#include "engine/measure/balance.h"
#include "engine/run/outlook.h"
#include "tests/project/csv.h"
#include "tests/twin/yearly_reserve.h"

namespace tierce {
namespace {

using test::CsvRow;
using test::number;
using test::read_csv;
using namespace scenes;

// The tables print 12 digits: half a unit of the last one, and a little for our own rounding.
double twelve_digits(double value) {
  return 0.5 * std::pow(10.0, std::floor(std::log10(std::abs(value))) - 11.0) + 1e-14 * std::abs(value);
}

double after_dose_of_year(const Outlook& outlook, int year) {
  return outlook.run.doses.at(static_cast<std::size_t>(year) - 1).after.total_mg_l;
}

Yearly case_of(const CsvRow& row) {
  Yearly yearly{.draw = number(row, "draw_fraction_w"), .evaporation = number(row, "evaporation_fraction_a")};
  yearly.new_wine_total_mg_l = number(row, "new_wine_total_mg_per_L");
  yearly.dose_mg_l = number(row, "dose_mg_per_L_year");
  yearly.start_total_mg_l = number(row, "start_total_mg_per_L");
  const std::string& model = row.at("model");
  if (model == "LINEAR") yearly.loss = {Law::of_total, 1.0 - number(row, "retention_r_or_lambda")};
  else if (model == "ZERO_ORDER") yearly.loss = {Law::fixed, number(row, "loss_mg_per_L_year")};
  else {
    yearly.loss = {Law::of_free, number(row, "retention_r_or_lambda")};
    yearly.acetaldehyde_mg_l = number(row, "acetaldehyde_mg_per_L");
  }
  return yearly;
}

std::vector<CsvRow> cases(bool with_binders) {
  std::vector<CsvRow> chosen;
  for (const CsvRow& row : read_csv("so2_steady_state_cases.csv"))
    if ((row.at("model") == "FREE_LOSS") == with_binders) chosen.push_back(row);
  return chosen;
}

// so2_steady_state_cases.csv, by 50-digit decimals: six of the eight rows; 400 years leave 0.9^400 of the gap.
TEST(SulfurYears, TheLoopOfEventsReproducesTheTabledYearsToTwelveDigits) {
  ASSERT_EQ(cases(false).size(), 6u);
  for (const CsvRow& row : cases(false)) {
    SCOPED_TRACE(row.at("case_id"));
    const Outlook outlook = run_years(case_of(row), 400);
    const auto expect = [&](double value, const std::string& heading) {
      EXPECT_NEAR(value, number(row, heading), 2.0 * twelve_digits(number(row, heading))) << heading;
    };
    for (const int year : {1, 5, 10})
      expect(after_dose_of_year(outlook, year), "total_year" + std::to_string(year) + "_mg_per_L");
    expect(after_dose_of_year(outlook, 400), "steady_total_mg_per_L");
    const DrawRecord& draw = outlook.run.draws.back();
    expect(draw.wine.solutes[kSo2Total] / draw.volume_l, "steady_total_at_draw_mg_per_L");
  }
}

/// Free SO2 beside acetaldehyde alone, by halving, from mol and the law of mass action.
long double free_by_halving(long double total_mg_l, long double acetaldehyde_mg_l) {
  long double low = 0.0L, high = total_mg_l;
  for (int i = 0; i < 200; ++i) {
    const long double middle = (low + high) / 2.0L, f = middle / 64.06L;
    const long double bound_mg_l = 64.06L * acetaldehyde_mg_l / 44.05L * f / (0.0024L + f);
    (middle + bound_mg_l < total_mg_l ? low : high) = middle;
  }
  return (low + high) / 2.0L;
}

/// The recurrence of the yearly model with twelve (or one) equal steps a year, step by step, per litre of the full
/// reserve. Free SO2 is lost; what stays is shared anew in the volume that is left at the step's end.
long double next_total(const Yearly& yearly, long double total_mg_l) {
  const long double keep_volume = std::pow(1.0L - static_cast<long double>(yearly.evaporation), 1.0L / yearly.steps);
  const long double lost = 1.0L - std::pow(1.0L - static_cast<long double>(yearly.loss.rate), 1.0L / yearly.steps);
  long double volume = 1.0L, total = total_mg_l;
  for (int step = 0; step < yearly.steps; ++step) {
    if (yearly.loss.law == Law::of_free) {
      const long double acetaldehyde_mg_l = static_cast<long double>(yearly.acetaldehyde_mg_l) / volume;
      total -= lost * volume * free_by_halving(total / volume, acetaldehyde_mg_l);
    } else {
      total -= std::min(total, static_cast<long double>(yearly.loss.rate) / yearly.steps * volume);
    }
    volume *= keep_volume;
  }
  const long double stays = 1.0L - static_cast<long double>(yearly.draw);
  return stays * total + (1.0L - volume * stays) * yearly.new_wine_total_mg_l + yearly.dose_mg_l;
}

void expect_the_recurrence(const Yearly& yearly, int years) {
  const Outlook outlook = run_years(yearly, years);
  ASSERT_FALSE(outlook.run.stopped);
  long double expected = yearly.start_total_mg_l;
  for (int year = 1; year <= years; ++year) {
    expected = next_total(yearly, expected);
    // Roundings of some 2e-16 a step add up over the years but fade with each draw.
    EXPECT_NEAR(after_dose_of_year(outlook, year), static_cast<double>(expected), 1e-12 * static_cast<double>(expected))
        << "year " << year;
  }
}

// Cases S6 and S7 name four binders beside acetaldehyde; a scenario knows acetaldehyde alone, so that the same reserve
// with that one binder is held against the recurrence above instead.
TEST(SulfurYears, ALossOfTheFreeFollowsTheRecurrenceWithOneStepAYear) {
  ASSERT_EQ(cases(true).size(), 2u);
  for (const CsvRow& row : cases(true)) {
    SCOPED_TRACE(row.at("case_id"));
    expect_the_recurrence(case_of(row), 60);
  }
}

TEST(SulfurYears, ALossOfTheFreeFollowsTheRecurrenceWithTwelveStepsAYear) {
  for (const CsvRow& row : cases(true)) {
    SCOPED_TRACE(row.at("case_id"));
    Yearly yearly = case_of(row);
    yearly.steps = 12;
    expect_the_recurrence(yearly, 40);
  }
}

TEST(SulfurYears, AFixedLossCountsOnTheLitresAtEachStepsBeginning) {
  for (const int steps : {1, 12})
    expect_the_recurrence({.draw = 0.15,
                           .evaporation = 0.04,
                           .loss = {Law::fixed, 36.0},
                           .new_wine_total_mg_l = 60.0,
                           .dose_mg_l = 40.0,
                           .start_total_mg_l = 80.0,
                           .steps = steps},
                          60);
}

TEST(SulfurYears, StepsChangeNothingWhereTheTotalIsLost) {  // (1-x)^(1/n) n times is 1-x
  for (const CsvRow& row : cases(false)) {
    Yearly yearly = case_of(row);
    if (yearly.loss.law != Law::of_total) continue;
    const Outlook one = run_years(yearly, 10);
    for (const int steps : {2, 12, 365}) {
      yearly.steps = steps;
      const Outlook many = run_years(yearly, 10);
      for (int year = 1; year <= 10; ++year)
        EXPECT_NEAR(after_dose_of_year(many, year), after_dose_of_year(one, year),
                    1e-12 * after_dose_of_year(one, year))
            << row.at("case_id") << ", " << steps << " steps, year " << year;
    }
  }
}

TEST(SulfurYears, EveryMilligramIsHeldDrawnOrOxidised) {
  for (const CsvRow& row : read_csv("so2_steady_state_cases.csv")) {
    const Outlook outlook = run_years(case_of(row), 50);
    const Balance balance = balance_of(outlook.run, kSo2Total);
    EXPECT_LE(std::abs(balance.gap()), kBalanceTolerance * balance.throughput()) << row.at("case_id");
  }
  // By hand: 100 mg/L in 1000 L, 40 % of it gone after a year, nothing drawn or dosed but by the habit's day.
  const Outlook one = run_years({.draw = 0.1, .start_total_mg_l = 100.0}, 1);
  const Balance balance = balance_of(one.run, kSo2Total);
  const double to_new_year = std::pow(0.6, 325.0 / 365.0);  // from the refresh of 10 Feb to the year's close
  EXPECT_NEAR(-balance.flow[kGained], 40000.0 + 54000.0 * (1.0 - to_new_year), 1e-6);
  EXPECT_NEAR(balance.flow[kDrawn], 6000.0, 1e-8);
}

// The long run.

TEST(SulfurLongRun, SettlesWhereTheTabledCasesDoAndAgreesWithTheClosedForm) {
  for (const CsvRow& row : cases(false)) {
    SCOPED_TRACE(row.at("case_id"));
    const SulfurLongRun long_run = sulfur_long_run(scenario_of(case_of(row)));
    ASSERT_TRUE(long_run.settles());
    ASSERT_EQ(long_run.steady.size(), 2u);
    // It stops when a year changes less than 1e-9; at 0.85 (S5) what is still to come is 0.85 / 0.15 of that.
    EXPECT_NEAR(long_run.steady[0].total_mg_l, number(row, "steady_total_mg_per_L"), 1e-6);
    EXPECT_NEAR(long_run.steady[1].total_mg_l, number(row, "steady_total_at_draw_mg_per_L"), 1e-6);
    EXPECT_NEAR(long_run.closed_form_mg_l, number(row, "steady_total_mg_per_L"), 1e-9);
  }
}

TEST(SulfurLongRun, SettlesWithBindersWhereTheClosedFormDoes) {
  for (const CsvRow& row : cases(true)) {
    const SulfurLongRun long_run = sulfur_long_run(scenario_of(case_of(row)));
    ASSERT_TRUE(long_run.settles());
    EXPECT_NEAR(long_run.steady[0].total_mg_l, long_run.closed_form_mg_l, 1e-6) << row.at("case_id");
  }
}

TEST(SulfurLongRun, SaysFromWhichYearTheTotalsAreWithinOnePercent) {
  // S1 starts at 0: the gap after n doses is 0.54^n, below 1 % from n = 8 (ln 0.01 / ln 0.54 = 7.5); a draw shows the
  // dose of the year before, so all totals are there from the ninth year.
  EXPECT_EQ(sulfur_long_run(scenario_of(case_of(cases(false)[0]))).settled_year, 2009);
}

TEST(SulfurLongRun, IsNotThereWithoutAHabitOrWhereNothingCarriesSulfurOff) {
  Scenario scenario = scenario_of({});
  scenario.habit.clear();
  EXPECT_EQ(sulfur_long_run(scenario).unsettled, Unsettled::no_habit);
  Scenario undrawn = scenario_of({.evaporation = 0.03, .loss = {Law::of_total, 0.0}, .dose_mg_l = 10.0});
  undrawn.habit[0].usual.draw.reset();
  const SulfurLongRun rising = sulfur_long_run(undrawn);
  EXPECT_EQ(rising.unsettled, Unsettled::does_not_repeat);
  EXPECT_FALSE(
      is_known(largest_plain_dose_mg_l(rising, {&TestedMoment::total_mg_l, [](const auto&) { return 200.0; }})));
}

TEST(LargestDose, IsTheTabledInverse) {  // case S8: 84.38 mg/L a year holds 200 just after dosing
  const CsvRow row = cases(false).back();
  ASSERT_EQ(row.at("case_id"), "S8");
  EXPECT_NEAR(largest_plain_dose_mg_l(sulfur_long_run(scenario_of(case_of(row))), flat(200.0)), 84.38, 1e-6);
}

/// Reserves that start without SO2, so that totals only rise and the steady state is their highest.
Yearly random_reserve(std::mt19937& rng) {
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  Yearly yearly{
      .draw = 0.1 + 0.3 * unit(rng), .evaporation = 0.06 * unit(rng), .new_wine_total_mg_l = 60.0 * unit(rng)};
  const auto law = rng() % 3;
  if (law == 0) yearly.loss = {Law::of_total, 0.2 + 0.6 * unit(rng)};
  if (law == 1) yearly.loss = {Law::fixed, 20.0 + 20.0 * unit(rng)};
  if (law == 2) {
    yearly.loss = {Law::of_free, 0.3 + 0.6 * unit(rng)};
    yearly.acetaldehyde_mg_l = 20.0 + 60.0 * unit(rng);
  }
  return yearly;
}

// The closed forms of engine/wine/sulfur.h, tested there against 50-digit decimals; the smaller of the two moments.
TEST(LargestDose, IsTheSmallerOfTheTwoClosedForms) {
  std::mt19937 rng(31);
  for (int i = 0; i < 40; ++i) {
    const Yearly yearly = random_reserve(rng);
    const YearlyCycle cycle{yearly.draw, yearly.evaporation, yearly.new_wine_total_mg_l, 0.0};
    const Binders binders{.acetaldehyde_mg_l = is_known(yearly.acetaldehyde_mg_l) ? yearly.acetaldehyde_mg_l : 0.0};
    const CapDoses doses = largest_doses_for_cap(180.0, cycle, yearly.loss, binders);
    const double expected = std::min(doses.after_dosing_mg_l, doses.at_draw_mg_l);
    EXPECT_NEAR(largest_plain_dose_mg_l(sulfur_long_run(scenario_of(yearly)), flat(180.0)), expected, 1e-6)
        << "draw " << i << ", law " << static_cast<int>(yearly.loss.law);
  }
}

TEST(LargestDose, IsNegativeWhereTheCapIsPassedWithoutAnyAndInfiniteWhereNoneApplies) {
  // 250 mg/L that lose 10 % a year: the next draw holds 225, over 200 by 25.
  const SulfurLongRun full = sulfur_long_run(
      scenario_of({.draw = 0.2, .loss = {Law::of_total, 0.1}, .dose_mg_l = 5.0, .start_total_mg_l = 250.0}));
  EXPECT_NEAR(largest_plain_dose_mg_l(full, flat(200.0)), -25.0, 1e-9);
  EXPECT_TRUE(std::isinf(largest_plain_dose_mg_l(full, flat(std::numeric_limits<double>::infinity()))));
}

TEST(LargestDose, DoesNotCountWhatTheBookHolds) {
  // The book once dosed to 250 mg/L, and the wine was found to hold 50 since. With a tenth drawn and 60 % of the total
  // left each year, the totals rise from there to D / (1 - 0.54).
  Scenario scenario = scenario_of({.dose_mg_l = 5.0, .start_total_mg_l = 50.0});
  Entry entry;
  entry.date = kStart;
  Dose dose;
  dose.value = 200.0;
  entry.action = dose;
  scenario.log.push_back(entry);
  Analyse found;
  found.place = {{}, 0, -1};
  found.found.so2_total_mg_l = 50.0;
  entry.action = found;
  scenario.log.push_back(entry);
  EXPECT_NEAR(largest_plain_dose_mg_l(sulfur_long_run(scenario), flat(200.0)), 200.0 * (1.0 - 0.54), 1e-6);
}

TEST(LargestDose, HoldsInTheYearsThatDifferToo) {
  // 60 % of the total stays a year, half is drawn, new wine holds none: T* = D / (1 - 0.3). A year without a draw keeps
  // 0.6 T* instead of 0.3 T* and, dosed too, comes to D + 0.6 T* = D (1 + 0.6 / 0.7) = 1.857 D at the most.
  Scenario scenario = scenario_of({.draw = 0.5, .dose_mg_l = 20.0});
  HabitDay resting = scenario.habit[0].usual;
  resting.draw.reset();
  scenario.habit[0].except[2060] = resting;  // long after all has settled
  EXPECT_NEAR(largest_plain_dose_mg_l(sulfur_long_run(scenario), flat(130.0)), 130.0 / (1.0 + 0.6 / 0.7), 1e-6);
}

}  // namespace
}  // namespace tierce
