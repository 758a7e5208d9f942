// When things happen: the order inside a day, the days of a habit, and the lots that it brings.
#include "engine/run/timeline.h"

#include <gtest/gtest.h>

#include "cli/read/load.h"
#include "engine/run/outlook.h"
#include "engine/run/routine.h"

namespace tierce {
namespace {

Outlook outlook_of(const std::string& text) {
  std::vector<Problem> problems;
  const LoadedScenario loaded = check_source(source_from("inline.yaml", text, problems));
  EXPECT_TRUE(problems.empty());
  for (const Problem& problem : loaded.problems) ADD_FAILURE() << problem.at.line << ": " << problem.what;
  return run_scenario(loaded.scenario, {});
}

/// A vat of 1000 L that loses nothing, filled on 10 February 2020; `habit` and `log` are YAML.
Outlook vat(const std::string& habit, const std::string& log = "", const std::string& more_lots = "") {
  return outlook_of(
      "reserve: Test\ntiers: [{name: vat, vessels: [{name: v, capacity: 1000 L}], evaporation: 0 %/yr}]\n"
      "lots:\n  - {name: GG19, vintage: 2019, harvested: 2019-09-18, alcohol: 18 %vol}\n" +
      more_lots + "log:\n  - {date: 2020-02-10, do: add, lot: GG19, to: vat, volume: 1000 L}\n" + log + "habit: {" +
      habit + "}\nuntil: 2023\n");
}

std::vector<std::string> days_of_draws(const Outlook& outlook) {
  std::vector<std::string> days;
  for (const DrawRecord& draw : outlook.run.draws) days.push_back(iso_text(draw.date));
  return days;
}

std::vector<std::string> lots_of(const Outlook& outlook) {
  std::vector<std::string> names;
  for (const RefreshRecord& refresh : outlook.run.refreshes)
    for (const auto& [name, litres] : refresh.lots) names.push_back(name);
  return names;
}

using Texts = std::vector<std::string>;

TEST(HabitDays, BeginAfterTheLogsLastEntry) {
  EXPECT_EQ(days_of_draws(vat("day: 9 Feb, draw: 10 %")), (Texts{"2021-02-09", "2022-02-09", "2023-02-09"}));
  EXPECT_EQ(days_of_draws(vat("day: 1 Dec, draw: 10 %",
                              "  - {date: 2020-12-02, do: lose, from: vat, volume: 1 L, cause: sample}\n")),
            (Texts{"2021-12-01", "2022-12-01", "2023-12-01"}));
}

// From 2 November to 10 February are 100 days, to 3 May 182, to 4 May 183; half a year is 182.5.
TEST(HabitDays, BeginMoreThanHalfAPeriodAfterTheLogsLastRefill) {
  const std::string refill = "  - {date: 2020-11-02, do: refill, lot: GG19}\n";
  EXPECT_EQ(days_of_draws(vat("day: 10 Feb, draw: 10 %", refill)).front(), "2022-02-10");
  EXPECT_EQ(days_of_draws(vat("day: 3 May, draw: 10 %", refill)).front(), "2022-05-03");
  EXPECT_EQ(days_of_draws(vat("day: 4 May, draw: 10 %", refill)).front(), "2021-05-04");
}

// Half of six months is 91.25 days: 91 days after the refill of 2 November is 1 February, 92 days after it 2 February.
TEST(HabitDays, OfAShorterPeriodNeedHalfOfThatPeriod) {
  const std::string refill = "  - {date: 2020-11-02, do: refill, lot: GG19}\n";
  EXPECT_EQ(days_of_draws(vat("every: 6 months, from: 2021-02-01, draw: 10 %", refill)).front(), "2021-08-01");
  EXPECT_EQ(days_of_draws(vat("every: 6 months, from: 2021-02-02, draw: 10 %", refill)).front(), "2021-02-02");
}

// Months are added to `from` itself, so a short February does not shorten the days that follow.
// The description of routine_on: the one that has the day, else the first that refills, else the first.
TEST(HabitDays, BelongToTheRoutineThatHasThem) {
  Scenario scenario;
  Routine draws, winter, quarters;
  draws.day = DayOfYear{12, 24};
  winter.day = DayOfYear{2, 10};
  winter.usual.refill.kind = HabitRefill::Kind::like;
  quarters.every_months = 3;
  quarters.from = Date{2021, 1, 31};
  quarters.usual.refill.kind = HabitRefill::Kind::like;
  scenario.habit = {draws, winter, quarters};
  const auto index_on = [&](const Date& date) { return routine_on(scenario, date) - scenario.habit.data(); };
  EXPECT_EQ(index_on({2027, 12, 24}), 0);
  EXPECT_EQ(index_on({2027, 2, 10}), 1);
  EXPECT_EQ(index_on({2027, 4, 30}), 2);  // the 31st of January, and of every third month
  EXPECT_EQ(index_on({2027, 4, 29}), 1);
}

TEST(HabitDays, EveryAddsMonthsToFromAndKeepsToTheEndOfShortMonths) {
  EXPECT_EQ(days_of_draws(vat("every: 6 months, from: 2020-08-31, draw: 10 %")),
            (Texts{"2020-08-31", "2021-02-28", "2021-08-31", "2022-02-28", "2022-08-31", "2023-02-28", "2023-08-31"}));
}

// 100 L are a tenth of 1000; in 2022 a fifth is drawn from the 1000 L that were refilled, and nothing comes back; in
// 2023 a tenth of the 800 L left.
TEST(HabitExceptions, ReplaceOnlyTheKeysTheyGive) {
  const Outlook outlook =
      vat("day: 1 Mar, draw: 10 %, for: 'Bottling {year}', refill: {like: GG19}, except: {2020: {draw: none, refill: "
          "none}, 2022: {draw: 20 %, refill: none}}");
  ASSERT_EQ(outlook.run.draws.size(), 3u);
  const double litres[] = {100.0, 200.0, 80.0};
  for (std::size_t i = 0; i < 3; ++i) EXPECT_NEAR(outlook.run.draws[i].volume_l, litres[i], 1e-9);
  EXPECT_EQ(outlook.run.draws[1].name, "Bottling 2022");
  ASSERT_EQ(outlook.run.refreshes.size(), 2u);
  EXPECT_NEAR(outlook.run.refreshes[1].new_wine_l, 280.0, 1e-9);
}

// Draw first takes a tenth of the 900 L that lie there; refill first fills up to 1000 L before the tenth is drawn.
TEST(HabitOrder, SaysWhetherTheTargetIsTheLevelBeforeOrAfterTheDraw) {
  const std::string leak = "  - {date: 2020-06-01, do: lose, from: vat, volume: 100 L, cause: leak}\n";
  EXPECT_NEAR(vat("day: 1 Aug, draw: 10 %, refill: {like: GG19}", leak).run.draws[0].volume_l, 90.0, 1e-9);
  EXPECT_NEAR(vat("day: 1 Aug, order: refill first, draw: 10 %, refill: {like: GG19}", leak).run.draws[0].volume_l,
              100.0, 1e-9);
}

// On 17 September 2021 the last harvest is that of 2020; on 18 September it is the new one.
TEST(HabitLots, AreOfTheLastHarvestOnOrBeforeTheDay) {
  EXPECT_EQ(lots_of(vat("day: 17 Sep, draw: 10 %, refill: {like: GG19}")),
            (Texts{"GG19/2019", "GG19/2020", "GG19/2021", "GG19/2022"}));
  EXPECT_EQ(lots_of(vat("day: 18 Sep, draw: 10 %, refill: {like: GG19}")),
            (Texts{"GG19/2020", "GG19/2021", "GG19/2022", "GG19/2023"}));
}

TEST(HabitLots, OneLotServesAllRefreshesUntilTheNextHarvest) {
  EXPECT_EQ(lots_of(vat("every: 6 months, from: 2020-10-01, draw: 10 %, refill: {like: GG19}")).size(), 7u);
  const Outlook outlook = vat("every: 6 months, from: 2020-10-01, draw: 10 %, refill: {like: GG19}");
  EXPECT_EQ(lots_of(outlook)[0], "GG19/2020");
  EXPECT_EQ(lots_of(outlook)[1], "GG19/2020");
  EXPECT_EQ(lots_of(outlook)[2], "GG19/2021");
  EXPECT_EQ(outlook.line.lots.size(), 5u);  // GG19 and the harvests of 2020 to 2023
}

TEST(HabitLots, AStatedLotOfThatVintageIsTakenUnlessTheLogUsesIt) {
  const std::string stated =
      "  - {name: GG21, vintage: 2021, harvested: 2021-09-25, alcohol: 18.2 %vol}\n  - {name: GG22, vintage: 2022, "
      "harvested: 2022-09-25, alcohol: 18.3 %vol}\n";
  const std::string used =
      "  - {date: 2021-10-01, do: lose, from: vat, volume: 1 L, cause: sample}\n  - {date: 2021-10-01, do: add, lot: "
      "GG21, to: vat, volume: 1 L}\n";
  EXPECT_EQ(lots_of(vat("day: 1 Nov, draw: 10 %, refill: {like: GG19}", "", stated)),
            (Texts{"GG19/2020", "GG21", "GG22", "GG19/2023"}));
  EXPECT_EQ(lots_of(vat("day: 1 Nov, draw: 10 %, refill: {like: GG19}", used, stated)),
            (Texts{"GG19/2021", "GG22", "GG19/2023"}));
}

// The refill of 20 L at 20 %vol after a draw of 20 from 1000 L at 18: the draw of the next year holds 18.04 %vol.
TEST(HabitLots, AreAsTheLotTheyAreLikeButForWhatTheRefillStates) {
  const Outlook outlook = vat("day: 1 Nov, draw: 20 L, refill: {like: GG19, alcohol: 20 %vol}");
  const Parcelled& wine = outlook.run.draws[1].wine;
  EXPECT_NEAR(100.0 * wine.alcohol.sum() / wine.litres.sum(), (980.0 * 18.0 + 20.0 * 20.0) / 1000.0, 1e-9);
}

TEST(Draws, WithoutANameAreNamedAfterTheirDate) {
  EXPECT_EQ(vat("day: 1 Nov, draw: 20 L").run.draws[0].name, "2020-11-01");
}

// 800 bottles of 375 mL are 300 L; what the tier holds at the close of 2023 is 1000 - 3 x 300 L, and the fourth stops
// it.
TEST(Forecast, EndsWhereTheHabitAsksForMoreThanThereIsAndSaysWhatIsShort) {
  const Outlook outlook = vat("day: 1 Nov, draw: 800 x 375 mL");
  ASSERT_TRUE(outlook.run.stopped);
  EXPECT_EQ(iso_text(outlook.run.stopped->date), "2023-11-01");
  EXPECT_NEAR(outlook.run.stopped->short_l, 200.0, 1e-9);
  EXPECT_EQ(outlook.run.draws.size(), 3u);
  EXPECT_NEAR(outlook.run.looks.back().volume[0], 100.0, 1e-9);
}

}  // namespace
}  // namespace tierce
