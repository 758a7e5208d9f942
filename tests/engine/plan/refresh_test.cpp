// The plan of a refresh: entered into the log it gives what it promised; its figures follow closed forms.
#include "engine/plan/refresh.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <sstream>

#include "cli/read/load.h"
#include "cli/read/quantity_text.h"
#include "cli/report/refresh/refresh_entries.h"
#include "engine/run/outlook.h"
#include "tests/cli/command/program.h"

namespace tierce {
namespace {

LoadedScenario loaded_from(const std::string& text) {
  std::vector<Problem> problems;
  Source source = source_from("plan.yaml", text, problems);
  return check_source(std::move(source));
}

std::string faults_of(const LoadedScenario& loaded) {
  std::string text;
  for (const Problem& problem : loaded.problems)
    text += std::to_string(problem.at.line) + ": " + problem.what + " (" + problem.allowed + ")\n";
  return text;
}

/// The text with lines at the end of one of its lists; the list is begun where there is none.
std::string with_lines(const std::string& text, const std::string& list, const std::vector<std::string>& lines) {
  std::istringstream in(text);
  std::string result;
  bool inside = false, done = false;
  const auto put = [&] {
    for (const std::string& line : lines) result += line + '\n';
    done = true;
  };
  for (std::string line; std::getline(in, line);) {
    const bool top = !line.empty() && line[0] != ' ' && line[0] != '#';
    if (inside && top) {
      put();
      inside = false;
    }
    if (line.starts_with(list + ":")) inside = true;
    result += line + '\n';
  }
  if (inside) put();
  if (!done) {
    result += list + ":\n";
    put();
  }
  return result;
}

RefreshPlan plan_of(const LoadedScenario& loaded, const RefreshWish& wish = {}) {
  auto planned = plan_refresh(loaded.scenario, wish);
  if (const auto* refusal = std::get_if<RefreshRefusal>(&planned)) ADD_FAILURE() << refusal->problem.what;
  return std::get<RefreshPlan>(std::move(planned));
}

template <class Matrix>
void expect_same(const Matrix& found, const Matrix& planned, const char* what) {
  ASSERT_EQ(found.size(), planned.size()) << what;
  for (Eigen::Index i = 0; i < planned.size(); ++i) {
    const double a = found.data()[i], b = planned.data()[i];
    EXPECT_EQ(is_known(a), is_known(b)) << what;
    if (is_known(b)) { EXPECT_NEAR(a, b, 1e-9 * std::max(1.0, std::abs(b))) << what; }
  }
}

/// Types the plan into the file and reads it again: what the book then holds is what the plan promised, to 1e-9.
void expect_the_book_to_say(const std::string& text, const RefreshWish& wish = {}) {
  const LoadedScenario loaded = loaded_from(text);
  ASSERT_TRUE(loaded.problems.empty()) << faults_of(loaded);
  const RefreshPlan plan = plan_of(loaded, wish);
  std::string entered = with_lines(text, "lots", lot_lines(plan));
  entered = with_lines(entered, "log", log_lines(plan));
  const LoadedScenario again = loaded_from(entered);
  ASSERT_TRUE(again.problems.empty()) << faults_of(again) << entered;
  const Outlook book = run_scenario(again.scenario, {.habit = false, .end_on = plan.date});
  ASSERT_FALSE(book.run.looks.empty());
  const Stock &found = book.run.looks.back(), &promised = plan.after.stock();
  expect_same(found.litres, promised.litres, "litres by lot");
  expect_same(found.entered, promised.entered, "litres as entered");
  expect_same(found.alcohol, promised.alcohol, "alcohol by lot");
  expect_same(found.solutes, promised.solutes, "sugar, acids, SO2");
  expect_same(found.volume, promised.volume, "litres by tier");
  for (int row = 0; row < plan.booked.rows(); ++row) {
    const std::vector<double> there = found.levels.of(row), wanted = promised.levels.of(row);
    ASSERT_EQ(there.size(), wanted.size());
    for (std::size_t i = 0; i < wanted.size(); ++i) EXPECT_NEAR(there[i], wanted[i], 1e-9 * std::max(1.0, wanted[i]));
  }
  for (std::size_t i = 0; i < plan.booked.lots.size(); ++i) EXPECT_EQ(book.line.lots[i].name, plan.booked.lots[i].name);
}

std::string replaced(std::string text, const std::string& what, const std::string& by) {
  const auto at = text.find(what);
  EXPECT_NE(at, std::string::npos) << what;
  return at == std::string::npos ? text : text.replace(at, what.size(), by);
}

std::string file(const std::string& name) { return test::read_file(std::string(TIERCE_SOURCE_DIR) + "/" + name); }
const Date kDay{2027, 2, 10};

TEST(Refresh, ThePlanTypedIntoTheLogGivesWhatItPromised) {
  for (const char* name : {"scenarios/amber.yaml", "scenarios/three_tiers.yaml", "scenarios/five_casks.yaml",
                           "scenarios/steel_reserve.yaml", "scenarios/in_the_cask.yaml", "docs/examples/first.yaml",
                           "docs/examples/dose.yaml", "docs/examples/starter.yaml"}) {
    SCOPED_TRACE(name);
    expect_the_book_to_say(file(name));
  }
}

TEST(Refresh, AnyDayCanBePlannedWithTheHabitDaysBeforeIt) {
  const std::string amber = file("scenarios/amber.yaml");
  for (const Date& day :
       {Date{2026, 2, 10}, Date{2026, 12, 24}, Date{2027, 5, 3}, Date{2031, 2, 10}, Date{2032, 9, 1}}) {
    SCOPED_TRACE(iso_text(day));
    expect_the_book_to_say(amber, {.on = day});
  }
  // 3 May 2027 takes the place of 10 Feb 2027; 1 Sep 2032 is more than half a year after 10 Feb 2032, which stays.
  EXPECT_EQ(plan_of(loaded_from(amber), {.on = Date{2027, 5, 3}}).entries.front().entry.date, (Date{2027, 5, 3}));
  const RefreshPlan late = plan_of(loaded_from(amber), {.on = Date{2028, 9, 1}});
  std::vector<Date> days;
  for (const PlannedEntry& planned : late.entries)
    if (std::holds_alternative<Draw>(planned.entry.action)) days.push_back(planned.entry.date);
  EXPECT_EQ(days, (std::vector<Date>{{2027, 2, 10}, {2028, 2, 10}, {2028, 9, 1}}));
}

TEST(Refresh, EveryKindOfDoseLevelAndOrderIsTypedAsItWasPlanned) {
  const std::string amber = file("scenarios/amber.yaml");
  for (const char* dose : {"{to: {molecular: 0.3 mg/L}}", "{to: {free: 17 mg/L}, at most: {total: 90 mg/L}}",
                           "{metabisulfite: 63.7 g}", "none"}) {
    SCOPED_TRACE(dose);
    expect_the_book_to_say(replaced(amber, "{so2: 25 mg/L}\n  except", std::string(dose) + "\n  except"));
  }
  expect_the_book_to_say(replaced(amber, "draw: 20 %", "draw: 600 x 375 mL"));
  expect_the_book_to_say(replaced(amber, "draw: 20 %", "draw: 7.1 %"));
  expect_the_book_to_say(replaced(amber, "order: draw first", "order: refill first"));
  expect_the_book_to_say(amber, {.level = Level::full_first});
  expect_the_book_to_say(amber, {.level = Level::full_first, .ullage_part = 0.01});
  expect_the_book_to_say(replaced(amber, "clock: harvest", "clock: wood"));
  const std::string tiers = file("scenarios/three_tiers.yaml");
  expect_the_book_to_say(replaced(tiers, "  draw: 25 %", "  order: refill first\n  draw: 5 %"));
  expect_the_book_to_say(replaced(tiers, "refill: {like: V19}", "refill: {like: V19, volume: 300 L}"));
}

TEST(Refresh, NewWineFromSeveralLotsIsTypedAsItWasPlanned) {
  // Amounts of the lots are stated; the last one fills what is left.
  const std::string amber = file("scenarios/amber.yaml");
  expect_the_book_to_say(amber, {.lots = {{6, 120.5}, {5, 100.0}, {4, 88.7}}});
  expect_the_book_to_say(file("scenarios/three_tiers.yaml"), {.lots = {{2, 300.0}, {1, 150.0}}});
  const std::string first = replaced(amber, "order: draw first", "order: refill first");
  expect_the_book_to_say(first, {.lots = {{6, 20.5}, {5, 26.0}}});
}

// The report breaks the entries over lines; typed in so, they mean the same.
TEST(Refresh, EntriesBrokenOverLinesMeanTheSame) {
  const std::string amber = file("scenarios/amber.yaml");
  const RefreshPlan plan = plan_of(loaded_from(amber));
  for (const std::size_t width : {30u, 60u, 100u}) {
    std::vector<std::string> lots, log;
    for (const auto& [entries, broken] : {std::pair(lot_lines(plan), &lots), std::pair(log_lines(plan), &log)})
      for (const std::string& entry : entries)
        for (const std::string& line : entry_on_lines(entry, width)) {
          broken->push_back(line);
          if (width == 100) { EXPECT_LE(line.size(), width); }
        }
    const LoadedScenario again = loaded_from(with_lines(with_lines(amber, "lots", lots), "log", log));
    ASSERT_TRUE(again.problems.empty()) << faults_of(again);
    EXPECT_EQ(again.scenario.log.size(), plan.booked.log.size());
    EXPECT_EQ(again.scenario.lots.back().wine.acidity_g_l, plan.booked.lots.back().wine.acidity_g_l);
  }
}

// The forecast reaches the same day by its own way: the habit's events, not entries of the log.
TEST(Refresh, IsWhatTheForecastSaysOfThatDay) {
  for (const char* name : {"scenarios/amber.yaml", "scenarios/three_tiers.yaml", "scenarios/five_casks.yaml"}) {
    SCOPED_TRACE(name);
    const LoadedScenario loaded = loaded_from(file(name));
    const RefreshPlan plan = plan_of(loaded);
    const Outlook forecast = run_scenario(loaded.scenario, {.end_on = plan.date});
    const Stock& there = forecast.run.looks.back();
    for (int row = 0; row < loaded.scenario.rows(); ++row) {
      EXPECT_NEAR(there.volume[row], plan.after.stock().volume[row], 1e-9 * loaded.scenario.capacity_of(row));
      EXPECT_NEAR(there.alcohol_l(row), plan.after.stock().alcohol_l(row), 1e-9 * loaded.scenario.capacity_of(row));
    }
    EXPECT_DOUBLE_EQ(forecast.run.draws.back().volume_l, draws_of_day(plan).back()->volume_l);
    EXPECT_FALSE(draws_of_day(plan).back()->past);
    EXPECT_FALSE(refresh_of_day(plan)->past);
    EXPECT_DOUBLE_EQ(forecast.run.refreshes.back().new_wine_l, refresh_of_day(plan)->new_wine_l);
  }
}

// One tier, found to hold g: draw g/5, new wine 1330 - 4g/5, and 25 mg/L into 1330 L (by hand).
TEST(Refresh, OfAnotherGaugeFollowsByHandInOneTier) {
  const RefreshPlan plan = plan_of(loaded_from(file("scenarios/amber.yaml")));
  for (const double found_l : {1200.0, 1260.0, 1277.5, 1300.0, 1330.0}) {
    const IfGauged then = if_gauged(plan, {{0, found_l}});
    EXPECT_FALSE(then.fault);
    EXPECT_NEAR(then.drawn_l, found_l / 5, 1e-9);
    EXPECT_NEAR(then.new_wine_l, 1330 - 0.8 * found_l, 1e-9);
    ASSERT_EQ(then.doses.size(), 1u);
    EXPECT_NEAR(then.doses[0].dose_mg_l * then.doses[0].litres, 25 * 1330, 1e-6);
  }
}

// Three tiers with targets 1900, 1430 and 960 L: what a tier lacks comes from the one above, so that its lack is passed
// on to the new wine (by hand).
TEST(Refresh, OfAnotherGaugeFollowsByHandInThreeTiers) {
  const RefreshPlan plan = plan_of(loaded_from(file("scenarios/three_tiers.yaml")));
  const auto& before = plan.before.stock().volume;
  for (const double found_l : {900.0, 931.0, 955.0}) {
    const IfGauged then = if_gauged(plan, {{2, found_l}});
    const double lack_l = 960 - 0.75 * found_l;
    EXPECT_NEAR(then.drawn_l, 0.25 * found_l, 1e-9);
    ASSERT_EQ(then.moves.size(), 2u);
    EXPECT_NEAR(then.moves[0].litres, lack_l, 1e-9);
    EXPECT_NEAR(then.moves[1].litres, lack_l + 1430 - before[1], 1e-9);
    EXPECT_NEAR(then.new_wine_l, lack_l + 1430 - before[1] + 1900 - before[0], 1e-9);
  }
  EXPECT_TRUE(if_gauged(plan, {{1, 50.0}}).fault);  // it cannot give what the oldest tier lacks
}

TEST(Refresh, FullFirstFillsTheVesselsAsTheFillingSays) {
  const RefreshPlan plan = plan_of(loaded_from(file("scenarios/amber.yaml")), {.level = Level::full_first});
  const auto levels = plan.after.stock().levels.of(0);
  // By hand: 1330 L, five barrels of 228 L and one of 112 L full, 78 L in the last; pours are rounded to 0.01 L.
  const std::vector<double> wanted = {228, 228, 228, 228, 228, 112, 78};
  for (std::size_t i = 0; i < wanted.size(); ++i) EXPECT_NEAR(levels[i], wanted[i], 0.04) << i;
  EXPECT_TRUE(plan.fillings[0].poured);
  double sum = 0.0;
  for (const double level : levels) sum += level;
  EXPECT_NEAR(sum, 1330, 1e-9);
}

RefreshRefusal refused_of(const std::string& text, const RefreshWish& wish = {}) {
  const LoadedScenario loaded = loaded_from(text);
  EXPECT_TRUE(loaded.problems.empty()) << faults_of(loaded);
  auto planned = plan_refresh(loaded.scenario, wish);
  if (!std::holds_alternative<RefreshRefusal>(planned)) {
    ADD_FAILURE() << "it was planned";
    return {};
  }
  return std::get<RefreshRefusal>(planned);
}

TEST(Refresh, ADrawLargerThanTheStockNamesTheLargestThatGoes) {
  const std::string amber = replaced(file("scenarios/amber.yaml"), "draw: 20 %", "draw: 1500 L");
  const RefreshRefusal refusal = refused_of(amber);
  const double held_l = 1330 * 0.96;  // 4 % a year, one year (by hand)
  EXPECT_NEAR(refusal.short_l, 1500 - held_l, 1e-9);
  EXPECT_NEAR(refusal.draw_possible_l, held_l, 1e-6);
}

TEST(Refresh, ATierThatCannotSupplyTheNextNamesTheLargestDrawThatGoes) {
  // Old wine of 20 L fills a young tier of 100 L only in part; the oldest holds 100 L. Draws go up to what the young
  // tier can give: no loss, targets 100 L, so at most 20 L may be drawn (by hand).
  const std::string text =
      "reserve: Two\ntiers:\n"
      "  - {name: young, vessels: [{name: Y, capacity: 100 L}], target: 20 L, evaporation: 0 %/yr, vapour: 10 %vol}\n"
      "  - {name: old, vessels: [{name: O, capacity: 100 L}], evaporation: 0 %/yr, vapour: 10 %vol}\n"
      "lots:\n  - {name: A20, vintage: 2020, alcohol: 18 %vol}\n"
      "log:\n  - {date: 2021-01-10, do: add, lot: A20, to: old, volume: 100 L}\n"
      "  - {date: 2021-01-10, do: add, lot: A20, to: young, volume: 20 L}\n"
      "habit: {day: 10 Jan, draw: 30 L, refill: {like: A20}}\nuntil: 2030\n";
  const RefreshRefusal refusal = refused_of(text);
  EXPECT_EQ(refusal.date, (Date{2022, 1, 10}));
  EXPECT_NEAR(refusal.short_l, 10, 1e-9);
  EXPECT_NEAR(refusal.draw_possible_l, 20, 1e-6);
  EXPECT_NEAR(draws_of_day(plan_of(loaded_from(replaced(text, "30 L", "19.9 L"))))[0]->volume_l, 19.9, 1e-9);
}

// Amber holds 1276.8 L, a fifth is drawn: 1364 L of capacity leave room for 1364 - 1021.44 = 342.56 L (by hand).
TEST(Refresh, VesselsThatRunOverNameTheMostNewWineThatGoes) {
  const RefreshRefusal refusal = refused_of(
      replaced(file("scenarios/amber.yaml"), "refill: {like: GG25, ", "refill: {volume: 600 L, like: GG25, "));
  EXPECT_LT(refusal.short_l, 0.0);
  EXPECT_NEAR(refusal.refill_l, 600.0, 1e-12);
  // Each of the seven barrels may be over by 1e-9 of the tier's capacity (design decision 6).
  EXPECT_NEAR(refusal.refill_possible_l, 1364 - 1276.8 * 0.8, 7 * 1.4e-6);
}

// What a tier states is what a plan does without being asked; an option asks for something else.
TEST(Refresh, TakesLevelAndUllageFromTheTier) {
  const std::string amber = file("scenarios/amber.yaml");
  const std::string stated =
      replaced(amber, "target: 1330 L", "target: 1330 L\n    level: full first\n    ullage: 1 %");
  const auto levels = [](const RefreshPlan& plan) { return plan.fillings.at(0).filling.level_l; };
  const RefreshPlan plan = plan_of(loaded_from(stated));
  EXPECT_EQ(levels(plan), levels(plan_of(loaded_from(amber), {.level = Level::full_first, .ullage_part = 0.01})));
  for (const double level_l : levels(plan)) EXPECT_LE(level_l, 228 * 0.99 + 1e-9);
  EXPECT_EQ(levels(plan_of(loaded_from(stated), {.level = Level::even, .ullage_part = 0.0})),
            levels(plan_of(loaded_from(amber))));
}

// Capacities 5 x 228 + 2 x 112 = 1364 L: without a target they are refilled up to the ullage.
TEST(Refresh, ATierWithoutATargetIsRefilledUpToItsUllage) {
  const std::string amber = file("scenarios/amber.yaml");
  const LoadedScenario loaded = loaded_from(replaced(amber, "target: 1330 L", "ullage: 2 %"));
  EXPECT_NEAR(loaded.scenario.tiers[0].target_l, 1364 * 0.98, 1e-9);
  EXPECT_NEAR(plan_of(loaded).after.stock().volume[0], 1364 * 0.98, 1e-9);
  const LoadedScenario full = loaded_from(replaced(amber, "target: 1330 L", "target: 1350 L\n    ullage: 2 %"));
  ASSERT_EQ(full.problems.size(), 1u);
  EXPECT_NE(full.problems[0].allowed.find("up to 1.02 %"), std::string::npos) << full.problems[0].allowed;
  EXPECT_NE(full.problems[0].allowed.find("1336.7 L"), std::string::npos) << full.problems[0].allowed;
}

TEST(Refresh, WhatCannotBePlannedIsRefused) {
  const std::string amber = file("scenarios/amber.yaml");
  const auto without_habit = amber.substr(0, amber.find("habit:")) + "until: 2045\n";
  EXPECT_EQ(refused_of(without_habit).fault, RefreshFault::no_habit);
  EXPECT_EQ(refused_of(amber, {.on = Date{2026, 1, 1}}).fault, RefreshFault::day_in_the_book);
  EXPECT_EQ(refused_of(amber, {.ullage_part = 0.05}).fault, RefreshFault::ullage);
  std::string idle = replaced(amber, "draw: 20 %", "draw: none");
  idle = replaced(idle, "refill: {like: GG25, alcohol: 18.0 %vol, sugar: 100 g/L}", "refill: none");
  idle = replaced(idle, "  except:\n    2031: {draw: 10 %}\n", "");
  EXPECT_EQ(refused_of(idle).fault, RefreshFault::no_day);
  // Without a habit a day, a draw and a lot make a plan.
  const RefreshWish wish{.on = kDay, .draw = std::get<Amount>(read_amount("20 %")), .lot = 6};
  EXPECT_NEAR(draws_of_day(plan_of(loaded_from(without_habit), wish))[0]->volume_l, 1330 * 0.96 * 0.2, 1e-9);
  expect_the_book_to_say(without_habit, wish);
}

}  // namespace
}  // namespace tierce
