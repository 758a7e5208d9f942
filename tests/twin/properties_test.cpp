// Laws that hold in every cellar, tried on random ones: nothing is lost, nothing is negative, time can be cut anywhere,
// the size of a cellar changes no age, and wine that is left alone grows older by the calendar. A failure prints the
// smallest cellar found and a line for RC_PARAMS that replays it; RC_PARAMS="max_success=5000" tries harder.
#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <string>
#include <tuple>
#include <vector>

#include "engine/measure/age.h"
#include "engine/measure/balance.h"
#include "engine/run/simulate.h"
#include "tests/twin/cellar_changes.h"
#include "tests/twin/random_cellar.h"

namespace tierce {
namespace {

using test::CellarBounds;
using test::rows_filled;
using test::rows_of;
using test::scaled;

/// A cellar that shrinks to fewer tiers and fewer years when a law fails.
Scenario any_cellar(CellarBounds bounds) {
  bounds.most_tiers = *rc::gen::resize(rc::kNominalSize, rc::gen::inRange(1, 9));  // large ones from the first try
  bounds.most_years = *rc::gen::resize(rc::kNominalSize, rc::gen::inRange(1, 61));
  return test::random_cellar(*rc::gen::resize(rc::kNominalSize, rc::gen::arbitrary<unsigned>()), bounds);
}

CellarBounds known() { return {.all_known = true}; }
CellarBounds known_binder() { return {.all_known = true, .acetaldehyde = true}; }

struct Ran {
  Scenario scenario;
  Timeline line;
  Trajectory run;
  bool ended() const { return !run.looks.empty(); }  // not so if a tier dries up between two entries of the book
  const Stock& last() const { return run.looks.back(); }
};

Ran ran(Scenario scenario, const Span& span = {}) {
  Timeline line = timeline(scenario, span);
  Trajectory run = simulate(scenario, line);
  return {std::move(scenario), std::move(line), std::move(run)};
}

// Both sides of each comparison round some thousand operations to 1e-16 of the amounts that pass through.
constexpr double kRounding = 1e-10;

bool close(double a, double b, double scale) {
  if (!is_known(a) || !is_known(b)) return is_known(a) == is_known(b);
  return std::abs(a - b) <= kRounding * std::max(1.0, scale);
}

// Conservation: opening + in = held + drawn + evaporated + gauge + lost, to 1e-9 of what came in (design decision 15).
/// What came in by a column of the flows, and what of it cannot be found again.
struct Account {
  double came = 0.0;
  double missing = 0.0;
  bool balances() const { return std::abs(missing) <= 1e-9 * came; }
};

void enter(Account& account, const RowMajorMatrix& flows, Eigen::Index column, double held) {
  account.came += flows(kOpening, column) + flows(kIn, column) + flows(kDosed, column) + flows(kWater, column);
  account.came += std::abs(flows(kAnalysed, column));  // a measured value is held against the book like what came in
  for (const Flow in : {kOpening, kIn, kDosed, kWater, kAnalysed, kGained}) account.missing += flows(in, column);
  for (const Flow out : {kDrawn, kEvaporated, kGauged, kLost, kContracted, kBottled})
    account.missing -= flows(out, column);
  account.missing -= held;
}

RC_GTEST_PROP(EveryReserve, KeepsEveryLotWhole, ()) {
  const Ran ran = tierce::ran(any_cellar({}));
  RC_PRE(ran.ended());
  std::map<std::string, Account> lots;
  for (std::size_t i = 0; i < ran.line.parcels.size(); ++i) {
    const auto column = static_cast<Eigen::Index>(i);
    enter(lots[ran.line.parcels[i].lot], ran.run.flows.litres, column, ran.last().litres.col(column).sum());
  }
  for (const auto& [name, account] : lots) RC_ASSERT(account.balances());
}

RC_GTEST_PROP(EveryReserve, PrintsABalanceThatCloses, ()) {
  const Ran ran = tierce::ran(any_cellar(known()));
  RC_PRE(ran.ended());
  const double throughput_l = balance_of_volume(ran.run).throughput();
  RC_ASSERT(std::abs(balance_of_volume(ran.run).gap()) <= 1e-9 * throughput_l);
  RC_ASSERT(std::abs(balance_of_alcohol(ran.run).gap()) <= 1e-9 * throughput_l);
  RC_ASSERT(largest_parcel_gap_l(ran.run) <= 1e-9 * throughput_l);
  for (const YearFlows& year : ran.run.flows.years) {
    RC_ASSERT(std::abs(year.gap_l()) <= 1e-9 * throughput_l);
    const auto& alcohol_l = year.alcohol;
    const double gone_l = alcohol_l[kDrawn] + alcohol_l[kEvaporated] + alcohol_l[kGauged] + alcohol_l[kLost] +
                          alcohol_l[kBottled] + year.closing_alcohol_l;
    RC_ASSERT(std::abs(alcohol_l[kOpening] + alcohol_l[kIn] + alcohol_l[kAnalysed] - gone_l) <= 1e-9 * throughput_l);
  }
}

RC_GTEST_PROP(EveryReserve, KeepsAlcoholAndSugarAndAcidAndSulfurWhole, ()) {
  const Ran ran = tierce::ran(any_cellar(*rc::gen::element(known(), known_binder())));
  RC_PRE(ran.ended());
  Account alcohol;
  for (Eigen::Index column = 0; column < ran.last().alcohol.cols(); ++column)
    enter(alcohol, ran.run.flows.alcohol, column, ran.last().alcohol.col(column).sum());
  RC_ASSERT(alcohol.balances());
  for (const Solute solute : {kSugar, kAcid, kSo2Total}) {
    Account account;
    enter(account, ran.run.flows.solutes, solute, ran.last().solutes.col(solute).sum());
    RC_ASSERT(account.balances());
  }
}

RC_GTEST_PROP(EveryReserve, KeepsItsMoneyWhole, ()) {
  const Ran ran = tierce::ran(any_cellar(known()));
  RC_PRE(ran.ended());
  Account money;
  enter(money, ran.run.flows.solutes, kMoney, ran.last().solutes.col(kMoney).sum());
  money.came += ran.run.flows.solutes(kGained, kMoney);  // interest
  RC_ASSERT(is_known(money.missing) && money.balances());
  RC_ASSERT(ran.run.flows.solutes(kEvaporated, kMoney) == 0.0);
}

/// Days within the run, in order.
std::vector<Date> some_days(const Timeline& line, int most) {
  const Date first = line.events.front().date, last = line.events.back().date;
  std::set<Date> days;
  const int count = *rc::gen::inRange(1, most + 1);
  for (int i = 0; i < count; ++i) {
    const Date day{*rc::gen::inRange(first.year, last.year + 1), *rc::gen::inRange(1, 13), *rc::gen::inRange(1, 29)};
    if (first <= day && day < last) days.insert(day);
  }
  return {days.begin(), days.end()};
}

/// The same cellar, looked at now and then on its way.
Ran ran_with_looks(const Scenario& scenario, int most) {
  Span span;
  span.looks = some_days(timeline(scenario, {}), most);
  return ran(scenario, span);
}

RC_GTEST_PROP(EveryReserve, HoldsNoNegativeAmount, ()) {
  const Ran ran = ran_with_looks(any_cellar(*rc::gen::element(known(), known_binder())), 12);
  for (const Stock& stock : ran.run.looks) {
    RC_ASSERT(stock.litres.minCoeff() >= 0.0);
    RC_ASSERT(stock.entered.minCoeff() >= 0.0);
    RC_ASSERT(stock.alcohol.minCoeff() >= 0.0);
    RC_ASSERT(stock.solutes.leftCols(kPhByAcid).minCoeff() >= 0.0);
    for (int row = 0; row < ran.scenario.rows(); ++row) RC_ASSERT(std::ranges::min(stock.levels.of(row)) >= 0.0);
  }
  for (const DrawRecord& draw : ran.run.draws) RC_ASSERT(draw.wine.litres.minCoeff() >= 0.0 && draw.volume_l >= 0.0);
}

RC_GTEST_PROP(EveryReserve, HoldsInItsVesselsWhatItHoldsInItsLots, ()) {
  const Ran ran = ran_with_looks(any_cellar({}), 12);
  for (const Stock& stock : ran.run.looks)
    for (int row = 0; row < ran.scenario.rows(); ++row) {
      double in_vessels_l = 0.0;
      for (const double level_l : stock.levels.of(row)) in_vessels_l += level_l;
      RC_ASSERT(close(in_vessels_l, stock.volume[row], 10.0 * ran.scenario.capacity_of(row)));  // to 1e-9 of it
      RC_ASSERT(close(stock.litres.row(row).sum(), stock.volume[row], ran.scenario.capacity_of(row)));
    }
}

// A period may be cut anywhere.
void assert_same_draws(const Trajectory& a, const Trajectory& b) {
  RC_ASSERT(a.draws.size() == b.draws.size());
  for (std::size_t i = 0; i < a.draws.size(); ++i) {
    const double scale = a.draws[i].volume_l;
    RC_ASSERT(close(scale, b.draws[i].volume_l, scale));
    for (Eigen::Index column = 0; column < a.draws[i].wine.litres.size(); ++column) {
      RC_ASSERT(close(a.draws[i].wine.litres[column], b.draws[i].wine.litres[column], scale));
      RC_ASSERT(close(a.draws[i].wine.alcohol[column], b.draws[i].wine.alcohol[column], scale));
    }
    for (const Solute solute : {kSugar, kVolatileAcid, kSo2Total, kSo2Free, kAldehyde})
      RC_ASSERT(close(a.draws[i].wine.solutes[solute], b.draws[i].wine.solutes[solute], 100.0 * scale));
  }
}

void assert_same_stock(const Stock& a, const Stock& b) {
  for (Eigen::Index row = 0; row < a.litres.rows(); ++row) {
    const double scale = a.volume[row];
    for (Eigen::Index column = 0; column < a.litres.cols(); ++column) {
      RC_ASSERT(close(a.litres(row, column), b.litres(row, column), scale));
      RC_ASSERT(close(a.entered(row, column), b.entered(row, column), scale));
      RC_ASSERT(close(a.alcohol(row, column), b.alcohol(row, column), scale));
    }
    for (Eigen::Index solute = 0; solute < kPhByAcid; ++solute)
      RC_ASSERT(close(a.solutes(row, solute), b.solutes(row, solute), 100.0 * scale));
    const int r = static_cast<int>(row);
    for (std::size_t vessel = 0; vessel < a.levels.of(r).size(); ++vessel)
      RC_ASSERT(close(a.levels.of(r)[vessel], b.levels.of(r)[vessel], a.levels.capacities_of(r)[vessel]));
  }
}

/// Runs a cellar at one go and with looks on the way, and wants the same end.
void assert_looking_changes_nothing(const Scenario& scenario) {
  const Ran whole = ran(scenario), parts = ran_with_looks(scenario, 40);
  RC_PRE(whole.ended() && !whole.run.stopped);
  RC_ASSERT(!parts.run.stopped && parts.ended());
  assert_same_draws(whole.run, parts.run);
  assert_same_stock(whole.last(), parts.last());
}

RC_GTEST_PROP(EveryReserve, ComesOutTheSameHoweverItsTimeIsCut, ()) { assert_looking_changes_nothing(any_cellar({})); }

RC_GTEST_PROP(EveryReserve, ComesOutTheSameHoweverItsTimeIsCutWhereAcetaldehydeForms, ()) {
  Scenario scenario = any_cellar(known_binder());
  scenario.acetaldehyde_gain_mg_l_year = *rc::gen::inRange(0, 20);
  scenario.va_gain_g_l_year = 0.01 * *rc::gen::inRange(0, 5);
  assert_looking_changes_nothing(scenario);
}

bool unrelated(const Scenario& scenario, const Entry& a, const Entry& b) {
  const std::set<int> rows_a = rows_of(scenario, a.action), rows_b = rows_of(scenario, b.action);
  return a.date == b.date && std::none_of(rows_a.begin(), rows_a.end(), [&](int row) { return rows_b.contains(row); });
}

/// Litres, litres as entered and alcohol by row and by what the wine is: columns of two timelines may differ in order.
using Contents = std::map<std::tuple<Eigen::Index, std::string, Date, double>, std::array<double, 3>>;
Contents contents_of(const Ran& ran) {
  Contents contents;
  for (Eigen::Index row = 0; row < ran.last().litres.rows(); ++row)
    for (std::size_t i = 0; i < ran.line.parcels.size(); ++i) {
      const auto column = static_cast<Eigen::Index>(i);
      if (!(ran.last().litres(row, column) > 0.0)) continue;
      const Parcel& parcel = ran.line.parcels[i];
      double told_apart = is_known(parcel.zero_day) ? parcel.zero_day : -1.0;
      if (is_known(parcel.rests_since_day)) told_apart -= parcel.rests_since_day;  // its days in wood, negative
      auto& amounts = contents[{row, parcel.lot, parcel.entered, told_apart}];
      amounts[0] += ran.last().litres(row, column);
      amounts[1] += ran.last().entered(row, column);
      amounts[2] += ran.last().alcohol(row, column);
    }
  return contents;
}

using Draws = std::multiset<std::tuple<Date, int, std::string, long long>>;  // day, row, name, microlitres
Draws draws_of(const Trajectory& run) {
  Draws draws;
  for (const DrawRecord& draw : run.draws)
    draws.insert({draw.date, draw.row, draw.name, std::llround(draw.volume_l * 1e6)});
  return draws;
}

RC_GTEST_PROP(EveryReserve, MindsNoOrderAmongUnrelatedEntriesOfOneDay, ()) {
  Scenario scenario = any_cellar(known());
  const Ran as_written = ran(scenario);
  int swapped = 0;
  for (std::size_t i = 1; i < scenario.log.size(); ++i)
    if (unrelated(scenario, scenario.log[i - 1], scenario.log[i]) && *rc::gen::arbitrary<bool>()) {
      std::swap(scenario.log[i - 1], scenario.log[i]);
      ++swapped;
    }
  RC_PRE(swapped > 0 && as_written.ended());
  const Ran shuffled = ran(scenario);
  RC_ASSERT(draws_of(as_written.run) == draws_of(shuffled.run));
  const Contents before = contents_of(as_written), after = contents_of(shuffled);
  RC_ASSERT(before.size() == after.size());
  for (const auto& [what, amounts] : before)
    for (std::size_t i = 0; i < 3; ++i)
      RC_ASSERT(close(amounts[i], after.at(what)[i], scenario.capacity_of(static_cast<int>(std::get<0>(what)))));
  RC_ASSERT((as_written.last().solutes - shuffled.last().solutes).cwiseAbs().maxCoeff() <=
            1e-6 * (1.0 + as_written.last().solutes.maxCoeff()));
}

// Twice the cellar, twice the wine, the same ages.
void assert_scaled(const Ran& small, const Ran& large, double factor) {
  RC_ASSERT(small.run.draws.size() == large.run.draws.size());
  for (std::size_t i = 0; i < small.run.draws.size(); ++i) {
    const DrawRecord &a = small.run.draws[i], &b = large.run.draws[i];
    RC_ASSERT(close(a.volume_l, b.volume_l / factor, a.volume_l));
    if (!(a.volume_l > 1e-3)) continue;  // the age of a remainder of rounding means nothing
    const AgeSummary age = age_of(small.line, small.scenario.clock, a.wine, a.day);
    RC_ASSERT(close(age.mean_y, age_of(large.line, large.scenario.clock, b.wine, b.day).mean_y, 100.0));
    RC_ASSERT(close(a.wine.alcohol.sum() / a.volume_l, b.wine.alcohol.sum() / b.volume_l, 1.0));
  }
  for (Eigen::Index row = 0; row < small.last().litres.rows(); ++row) {
    const double litres = small.scenario.capacity_of(static_cast<int>(row));
    RC_ASSERT(close(small.last().volume[row], large.last().volume[row] / factor, litres));
    for (const Solute solute : {kSugar, kAcid, kSo2Total, kSo2Free})
      RC_ASSERT(close(small.last().solutes(row, solute), large.last().solutes(row, solute) / factor, 100.0 * litres));
  }
}

RC_GTEST_PROP(EveryReserve, KeepsItsAgesAndStrengthsWhenAllItsLitresAreScaled, ()) {
  const double factor = 0.01 * *rc::gen::inRange(3, 3000);
  const Ran small = ran(any_cellar({}));
  RC_PRE(small.ended());
  const Ran large = ran(scaled(small.scenario, factor));
  RC_ASSERT(large.ended());
  RC_ASSERT(small.run.stopped.has_value() == large.run.stopped.has_value());
  assert_scaled(small, large, factor);
}

// Ages.
bool left_alone(const Ran& ran, int row, const Date& after, const Date& until) {
  return std::none_of(ran.line.events.begin(), ran.line.events.end(), [&](const Event& event) {
    return after < event.date && event.date <= until && rows_filled(ran.scenario, event).contains(row);
  });
}

double mean_age(const Ran& ran, const Stock& stock, int row) {
  return age_of(ran.line, ran.scenario.clock, part_of(stock, row, 1.0), stock.day).mean_y;
}

RC_GTEST_PROP(EveryReserve, GrowsOlderByTheCalendarWhileNothingIsPutIn, ()) {
  const Ran ran = ran_with_looks(any_cellar(known()), 60);
  RC_PRE(!ran.run.stopped);
  int tried = 0;
  for (std::size_t i = 1; i < ran.run.looks.size(); ++i)
    for (int row = 0; row < ran.scenario.tier_count(); ++row) {
      const Stock &before = ran.run.looks[i - 1], &after = ran.run.looks[i];
      if (!(after.volume[row] > 1e-3) || !left_alone(ran, row, before.date, after.date)) continue;
      const bool counts = ran.scenario.clock != Clock::wood || ran.scenario.is_wooden(row);
      const double years = counts ? (after.day - before.day) / 365.0 : 0.0;
      RC_ASSERT(close(mean_age(ran, after, row), mean_age(ran, before, row) + years, 100.0));
      ++tried;
    }
  RC_PRE(tried > 0);
}

void assert_in_order(const AgeSummary& age) {
  constexpr double kSame = 1e-9;  // years; a mean of equal ages may come out a hair beside them
  RC_ASSERT(age.youngest_at_least_y <= age.mean_at_least_y + kSame);
  RC_ASSERT(age.mean_at_least_y <= age.oldest_at_least_y + kSame);
  if (age.unknown_fraction > 0.0) return RC_ASSERT(!is_known(age.mean_y));
  RC_ASSERT(is_known(age.mean_y));
  for (const double mean_y : {age.mean_y, age.mean_by_solids_y}) {
    if (!is_known(mean_y)) continue;  // by the clock `wood`, of parts that share a column
    RC_ASSERT(age.youngest_y <= mean_y + kSame);
    RC_ASSERT(mean_y <= age.oldest_y + kSame);
  }
  if (!is_known(age.mean_by_solids_y)) return;  // nor then are quantiles
  RC_ASSERT(age.youngest_y <= age.quantiles_y.front());
  RC_ASSERT(std::is_sorted(age.quantiles_y.begin(), age.quantiles_y.end()));
  RC_ASSERT(age.quantiles_y.back() <= age.oldest_y);
  RC_ASSERT(age.sd_y <= (age.oldest_y - age.youngest_y) / 2.0 + kSame);  // Popoviciu's bound
}

RC_GTEST_PROP(EveryReserve, HasItsMeanAgeBetweenItsYoungestAndItsOldest, ()) {
  const Ran ran = ran_with_looks(any_cellar({}), 5);
  for (const DrawRecord& draw : ran.run.draws)
    if (draw.volume_l > 0.0) assert_in_order(age_of(ran.line, ran.scenario.clock, draw.wine, draw.day));
  for (const Stock& stock : ran.run.looks)
    for (int row = 0; row < ran.scenario.rows(); ++row)
      if (stock.volume[row] > 0.0)
        assert_in_order(age_of(ran.line, ran.scenario.clock, part_of(stock, row, 1.0), stock.day));
}

}  // namespace
}  // namespace tierce
