// What changes no figure: the size of the cellar, a lot under two names, an entry in two parts, other names of vessels,
// a tank or a lot that nobody uses. Laws over random cellars with fixed seeds; both sides are runs of this program, so
// that nothing is expected but that they agree.
#include <gtest/gtest.h>

#include <functional>
#include <string>

#include "tests/twin/cellar_changes.h"
#include "tests/twin/figures.h"
#include "tests/twin/random_cellar.h"

namespace tierce {
namespace {

using test::CellarBounds;
using test::expect_same;
using test::Figures;
using test::figures_of;
using test::Tolerance;

constexpr unsigned kCellars = 250;

/// A cellar in which no account of a lot can run out: two lots in place of one would share it.
Scenario any_cellar(unsigned seed) {
  Scenario scenario =
      test::random_cellar(seed, {.most_tiers = 4, .most_years = 12, .acetaldehyde = seed % 3 == 0, .faults = false});
  for (Lot& lot : scenario.lots) lot.made.reset();
  return scenario;
}

using Change = std::function<Scenario(Scenario)>;

/// Holds every cellar against the same with a change; wants enough of them in which the change is one.
void expect_no_difference(const Change& change, const Tolerance& tolerance = {}, double factor = 1.0) {
  unsigned tried = 0;
  for (unsigned seed = 1; seed <= kCellars; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    const Scenario scenario = any_cellar(seed);
    const Figures before = figures_of(scenario, scenario.tanks.size());
    if (before.faults > 0 || !before.ended) continue;  // half an entry may succeed where the whole cannot
    expect_same(before, figures_of(change(scenario), scenario.tanks.size()), tolerance, factor);
    if (testing::Test::HasFatalFailure()) return;
    ++tried;
  }
  EXPECT_GT(tried, kCellars / 2);
}

Action halved(Action action, double part) {
  const auto cut = [&](Amount& amount) { amount.value *= part; };
  if (auto* add = std::get_if<Add>(&action)) cut(add->amount);
  if (auto* move = std::get_if<Move>(&action)) cut(move->amount);
  if (auto* lose = std::get_if<Lose>(&action)) cut(lose->amount);
  return action;
}

bool is_in_litres(const Action& action) {
  const auto* move = std::get_if<Move>(&action);
  const auto* lose = std::get_if<Lose>(&action);
  return std::holds_alternative<Add>(action) || (move != nullptr && move->amount.kind == Amount::Kind::litres) ||
         (lose != nullptr && lose->amount.kind == Amount::Kind::litres);
}

/// Each entry in litres in two of the same day.
Scenario in_two_parts(Scenario scenario) {
  std::vector<Entry> log;
  for (const Entry& entry : scenario.log) {
    if (!is_in_litres(entry.action)) {
      log.push_back(entry);
      continue;
    }
    for (const double part : {0.6, 0.4}) {
      log.push_back(entry);
      log.back().action = halved(entry.action, part);
    }
  }
  scenario.log = std::move(log);
  return scenario;
}

/// A second lot that is the same wine under another name, for each that the log adds; every add brings half of both.
Scenario with_twins(Scenario scenario) {
  std::map<int, int> twins;
  std::vector<Entry> log;
  for (const Entry& entry : scenario.log) {
    const auto* add = std::get_if<Add>(&entry.action);
    log.push_back(entry);
    if (add == nullptr) continue;
    const auto [twin, is_new] = twins.try_emplace(add->lot, static_cast<int>(scenario.lots.size()));
    if (is_new) {
      Lot lot = scenario.lots[static_cast<std::size_t>(add->lot)];
      lot.name += " again";
      scenario.lots.push_back(lot);
    }
    log.back().action = halved(entry.action, 0.5);
    log.push_back(log.back());
    std::get<Add>(log.back().action).lot = twin->second;
  }
  scenario.log = std::move(log);
  return scenario;
}

Scenario renamed(Scenario scenario) {
  for (Tier& tier : scenario.tiers) {
    tier.name = "the " + tier.name + " of old";
    for (Vessel& vessel : tier.vessels) vessel.name = "cask " + vessel.name;
  }
  for (Tank& tank : scenario.tanks) tank.name = "vat " + tank.name;
  return scenario;
}

Scenario with_a_tank_more(Scenario scenario) {
  scenario.tanks.push_back({{}, "nobody's", 1000.0});
  return scenario;
}

/// A lot before all others, so that every lot has another number; of a year that no habit can ask for.
Scenario with_a_lot_more(Scenario scenario) {
  constexpr int kLongBefore = 1700;
  Lot lot = scenario.lots.front();
  lot.name = "nobody's";
  lot.vintage = kLongBefore;
  lot.harvested.year = kLongBefore;
  lot.wine.alcohol_pct = 12.0;
  scenario.lots.insert(scenario.lots.begin(), lot);
  const auto next = [](int& index) { index += index >= 0 ? 1 : 0; };
  for (Opening& opening : scenario.opening)
    for (Opening::Part& part : opening.parts) next(part.lot);
  for (Entry& entry : scenario.log) {
    if (auto* add = std::get_if<Add>(&entry.action)) next(add->lot);
    if (auto* refill = std::get_if<Refill>(&entry.action)) next(refill->lot);
  }
  for (Routine& routine : scenario.habit) {
    next(routine.usual.refill.lot);
    for (auto& [year, doing] : routine.except) next(doing.refill.lot);
  }
  return scenario;
}

/// Doses weighed as metabisulfite: so many mg/L of a full row, in grams.
Scenario weighed(Scenario scenario) {
  for (Entry& entry : scenario.log)
    if (auto* dose = std::get_if<Dose>(&entry.action); dose != nullptr && dose->place) {
      dose->kind = Dose::Kind::metabisulfite;
      dose->value *= scenario.capacity_of(dose->place->row) / 1000.0;
    }
  return scenario;
}

// Twice is exact in binary numbers: what differs by more than the last digits is measured by a fixed number of litres.
TEST(NoFigureChanges, WhenAllLitresGramsAndBottlesAreDoubled) {
  for (unsigned seed = 1; seed <= kCellars; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    const Scenario scenario = weighed(any_cellar(seed));
    const std::size_t tanks = scenario.tanks.size();
    expect_same(figures_of(scenario, tanks), figures_of(test::scaled(scenario, 2.0), tanks), {}, 2.0);
    if (HasFatalFailure()) return;
  }
}

TEST(NoFigureChanges, WhenALotIsTwoOfTheSameWine) { expect_no_difference(with_twins); }
TEST(NoFigureChanges, WhenAnEntryIsWrittenInTwoParts) { expect_no_difference(in_two_parts); }
TEST(NoFigureChanges, WhenTiersAndVesselsHaveOtherNames) { expect_no_difference(renamed); }
TEST(NoFigureChanges, WhenThereIsATankThatNobodyUses) { expect_no_difference(with_a_tank_more); }
TEST(NoFigureChanges, WhenThereIsALotThatNobodyUses) { expect_no_difference(with_a_lot_more); }

}  // namespace
}  // namespace tierce
