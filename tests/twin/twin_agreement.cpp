#include "tests/twin/twin_agreement.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>
#include <string>
#include <tuple>
#include <vector>

#include "engine/measure/age.h"
#include "engine/run/simulate.h"
#include "tests/twin/slow_twin.h"

namespace tierce::test {
namespace {

using twin::at;

// Both sides round each of some thousand operations to 1e-16 of what a tier holds, each in its own order. 1e-10 leaves
// room for that, and is far below any mistake in a rule.
constexpr double kAgree = 1e-10;

/// Litres, litres as entered and litres of pure alcohol, by kind of parcel.
using Wine = std::vector<std::array<double, 3>>;

/// Brings the columns of the engine and the parcels of the twin to one numbering: by lot, and where the clock tells
/// them apart, by day of entry and by time in wood.
class Kinds {
 public:
  Kinds(const Timeline& line, const twin::Cellar& cellar)
      : line_(line),
        cellar_(cellar),
        by_harvest_(cellar.scenario->clock == Clock::harvest),
        by_wood_(cellar.scenario->clock == Clock::wood),
        tells_days_(by_wood_ && !line.wood.shared()) {}

  Wine wine_of(const Parcelled& part, int day) {
    Wine wine(numbers_.size());
    for (const Share& share : shares_of(line_, cellar_.scenario->clock, part, day)) {
      const int c = share.parcel;
      const Parcel& parcel = line_.parcels[at(c)];
      const double wood_y = is_known(share.age_y) ? share.age_y : share.at_least_y;
      add(wine, number(key_of(parcel, wood_y)), part.litres[c], part.entered[c], part.alcohol[c]);
    }
    return wine;
  }

  Wine wine_of(const std::vector<twin::Parcel>& parcels) {
    Wine wine(numbers_.size());
    for (const twin::Parcel& parcel : parcels)
      add(wine, number(key_of(parcel)), parcel.litres, parcel.entered_l, parcel.alcohol_l);
    return wine;
  }

 private:
  enum Told { kByLot, kByEntry, kOutside, kAsOpened };
  using Key = std::tuple<std::string, Told, int, long long>;  // the last: thousandths of a day in wood

  long long in_wood(double years) const { return tells_days_ ? std::llround(365'000.0 * years) : 0; }

  Key key_of(const Parcel& parcel, double wood_y) const {
    const long long in = in_wood(wood_y);
    if (is_known(parcel.older_than_day))
      return {parcel.lot, kAsOpened, by_wood_ ? 0 : static_cast<int>(parcel.older_than_day), in};
    if (by_harvest_) return {parcel.lot, kByLot, 0, in};
    return parcel.outside ? Key{parcel.lot, kOutside, 0, in}
                          : Key{parcel.lot, kByEntry, twin::day_of(parcel.entered), in};
  }

  Key key_of(const twin::Parcel& parcel) const {
    const twin::Source& source = cellar_.sources[at(parcel.source)];
    const long long in = in_wood(parcel.wood_y);
    if (by_harvest_ && source.harvested_day != twin::kNever) return {source.name, kByLot, 0, in};
    if (source.opened_day != twin::kNever) return {source.name, kAsOpened, by_wood_ ? 0 : source.opened_day, in};
    return parcel.entered_day == twin::kNever ? Key{source.name, kOutside, 0, in}
                                              : Key{source.name, kByEntry, parcel.entered_day, in};
  }

  std::size_t number(const Key& key) { return numbers_.try_emplace(key, numbers_.size()).first->second; }

  static void add(Wine& wine, std::size_t kind, double litres, double entered_l, double alcohol_l) {
    if (wine.size() <= kind) wine.resize(kind + 1);
    wine[kind][0] += litres;
    wine[kind][1] += entered_l;
    wine[kind][2] += alcohol_l;
  }

  const Timeline& line_;
  const twin::Cellar& cellar_;
  bool by_harvest_, by_wood_, tells_days_;  // the last: no parts share a column
  std::map<Key, std::size_t> numbers_;
};

/// How far two values are apart; unknown agrees with unknown only.
double apart(double a, double b) {
  if (is_known(a) != is_known(b)) return INFINITY;
  return is_known(a) ? std::abs(a - b) : 0.0;
}

/// Wine of which any alcohol is unknown is compared without: how a strength that nobody knows is shared among the lots
/// means nothing.
std::size_t comparable(const Wine& a, const Wine& b) {
  double alcohol_a_l = 0.0, alcohol_b_l = 0.0;
  for (const auto& kind : a) alcohol_a_l += kind[2];
  for (const auto& kind : b) alcohol_b_l += kind[2];
  EXPECT_EQ(is_known(alcohol_a_l), is_known(alcohol_b_l)) << "one side knows the alcohol";
  return is_known(alcohol_a_l) ? 3 : 2;
}

double furthest_apart(Wine a, Wine b) {
  a.resize(std::max(a.size(), b.size()));
  b.resize(a.size());
  double furthest = 0.0;
  const std::size_t values = comparable(a, b);
  for (std::size_t kind = 0; kind < a.size(); ++kind)
    for (std::size_t i = 0; i < values; ++i) furthest = std::max(furthest, apart(a[kind][i], b[kind][i]));
  return furthest;
}

double tolerance_for(double litres) { return kAgree * std::max(1.0, litres); }

void expect_same_dissolved(const Amounts& engine, const twin::Dissolved& twin, double litres) {
  EXPECT_LE(apart(engine[kSugar], twin.sugar_g), 100.0 * tolerance_for(litres)) << "sugar";  // up to some 100 g/L
  EXPECT_LE(apart(engine[kAcid], twin.acid_g), 100.0 * tolerance_for(litres)) << "acid";
  EXPECT_LE(apart(engine[kSo2Total], twin.so2_total_mg), 100.0 * tolerance_for(litres)) << "total SO2";
  EXPECT_LE(apart(engine[kSo2Free], twin.so2_free_mg), 100.0 * tolerance_for(litres)) << "free SO2";
  EXPECT_LE(apart(engine[kSo2FreeLow], twin.so2_free_low_mg), 100.0 * tolerance_for(litres)) << "free SO2, low";
  EXPECT_LE(apart(engine[kSo2FreeHigh], twin.so2_free_high_mg), 100.0 * tolerance_for(litres)) << "free SO2, high";
  const double money = is_known(twin.money) ? std::abs(twin.money) : 0.0;  // with interest it may outgrow the litres
  EXPECT_LE(apart(engine[kMoney], twin.money), tolerance_for(100.0 * litres + money)) << "money";
}

/// Mean, youngest, oldest, spread and quantiles. Where the age of any of it is not known, the twin gives none of them.
/// `may_share`: so many parts that some share a column, and then no quantile is known.
void expect_same_ages(const AgeSummary& engine, const twin::Ages& twin, bool may_share) {
  constexpr double kSame = 1e-9;  // years
  EXPECT_LE(apart(engine.mean_y, twin.mean_y), kSame) << "mean age";
  EXPECT_LE(apart(engine.sd_y, twin.sd_y), 1e-6) << "spread";  // a root: of 1e-12 it is 1e-6
  if (!is_known(twin.mean_y)) return;
  EXPECT_LE(apart(engine.youngest_y, twin.youngest_y), kSame) << "youngest";
  EXPECT_LE(apart(engine.oldest_y, twin.oldest_y), kSame) << "oldest";
  for (std::size_t i = 0; !may_share && i < engine.quantiles_y.size(); ++i) {
    EXPECT_GE(engine.quantiles_y[i], twin.quantiles[i].least_y - kSame) << "quantile " << i;
    EXPECT_LE(engine.quantiles_y[i], twin.quantiles[i].most_y + kSame) << "quantile " << i;
  }
}

void expect_same_wine(const Scenario& scenario, const Timeline& line, const DrawRecord& draw, const twin::Drawn& same,
                      Kinds& kinds) {
  EXPECT_EQ(draw.date, same.date);
  EXPECT_EQ(draw.row, same.row);
  EXPECT_LE(apart(draw.volume_l, same.litres), tolerance_for(same.litres));
  EXPECT_LE(furthest_apart(kinds.wine_of(draw.wine, draw.day), kinds.wine_of(same.wine)), tolerance_for(same.litres));
  expect_same_ages(age_of(line, scenario.clock, draw.wine, draw.day), same.ages, line.wood.shared());
  expect_same_dissolved(draw.wine.solutes, same.dissolved, same.litres);
}

void expect_same_draws(const Scenario& scenario, const Timeline& line, const Trajectory& engine,
                       const twin::Cellar& twin, Kinds& kinds) {
  ASSERT_EQ(engine.draws.size(), twin.draws.size());
  for (std::size_t i = 0; i < twin.draws.size(); ++i) {
    const twin::Drawn& same = twin.draws[i];
    SCOPED_TRACE("draw of " + iso_text(same.date));
    EXPECT_EQ(engine.draws[i].name, same.name.empty() ? iso_text(same.date) : same.name);
    expect_same_wine(scenario, line, engine.draws[i], same, kinds);
  }
  ASSERT_EQ(engine.bottlings.size(), twin.bottlings.size());
  for (std::size_t i = 0; i < twin.bottlings.size(); ++i) {
    SCOPED_TRACE("bottling of " + iso_text(twin.bottlings[i].wine.date));
    EXPECT_EQ(engine.bottlings[i].bottles, twin.bottlings[i].bottles);
    EXPECT_EQ(engine.bottlings[i].draws, twin.bottlings[i].draws);
    expect_same_wine(scenario, line, engine.bottlings[i].wine, twin.bottlings[i].wine, kinds);
  }
}

void expect_same_refreshes(const Trajectory& engine, const twin::Cellar& twin) {
  ASSERT_EQ(engine.refreshes.size(), twin.refreshes.size());
  for (std::size_t i = 0; i < twin.refreshes.size(); ++i) {
    EXPECT_EQ(engine.refreshes[i].date, twin.refreshes[i].date);
    EXPECT_LE(apart(engine.refreshes[i].new_wine_l, twin.refreshes[i].new_wine_l),
              tolerance_for(twin.refreshes[i].new_wine_l));
  }
}

void expect_same_stock(const Timeline& line, const Stock& engine, const twin::Cellar& twin, Kinds& kinds) {
  for (int index = 0; index < static_cast<int>(twin.rows.size()); ++index) {
    SCOPED_TRACE("row " + std::to_string(index));
    const twin::Row& row = twin.rows[at(index)];
    const double litres = twin::litres_in(row);
    EXPECT_LE(apart(engine.volume[index], litres), tolerance_for(litres)) << "volume";
    const Parcelled wine = part_of(engine, index, 1.0);
    EXPECT_LE(furthest_apart(kinds.wine_of(wine, engine.day), kinds.wine_of(row.wine)), tolerance_for(litres));
    expect_same_ages(age_of(line, twin.scenario->clock, wine, engine.day), twin::ages_of(twin, row.wine),
                     line.wood.shared());
    expect_same_dissolved(engine.solutes.row(index), row.dissolved, litres);
    for (std::size_t vessel = 0; vessel < row.levels_l.size(); ++vessel)
      EXPECT_LE(apart(engine.levels.of(index)[vessel], row.levels_l[vessel]), tolerance_for(litres))
          << "vessel " << vessel;
  }
}

/// Litres and alcohol of every lot by the way they came or went, added up over the days of entry.
template <class LotOf, class AmountOf>
std::map<std::string, std::array<double, twin::kWays>> by_lot(std::size_t count, LotOf lot_of, AmountOf amount_of) {
  std::map<std::string, std::array<double, twin::kWays>> sums;
  for (std::size_t i = 0; i < count; ++i)
    for (std::size_t way = 0; way < twin::kWays; ++way) sums[lot_of(i)][way] += amount_of(i, way);
  return sums;
}

void expect_same_flows(const Timeline& line, const RowMajorMatrix& engine, const twin::Cellar& twin, bool alcohol) {
  constexpr std::array<Flow, twin::kWays> kFlows = {kOpening, kIn, kDrawn, kEvaporated, kGauged, kLost, kBottled};
  const auto engine_sums = by_lot(
      line.parcels.size(), [&](std::size_t i) { return line.parcels[i].lot; },
      [&](std::size_t i, std::size_t way) { return engine(kFlows[way], static_cast<Eigen::Index>(i)); });
  const auto twin_sums = by_lot(
      twin.sources.size(), [&](std::size_t i) { return twin.sources[i].name; },
      [&](std::size_t i, std::size_t way) { return alcohol ? twin.ways[i].alcohol_l[way] : twin.ways[i].litres[way]; });
  for (const auto& [lot, ways] : twin_sums)
    for (std::size_t way = 0; way < twin::kWays; ++way) {
      const auto found = engine_sums.find(lot);
      const double booked = found == engine_sums.end() ? 0.0 : found->second[way];
      EXPECT_LE(apart(booked, ways[way]), tolerance_for(ways[twin::kOpened] + ways[twin::kBrought]))
          << lot << ", way " << way;
    }
}

std::set<int> lines_of(const std::vector<Problem>& problems) {
  std::set<int> lines;
  for (const Problem& problem : problems) lines.insert(problem.at.line);
  return lines;
}

std::set<int> lines_of(const std::vector<twin::Refusal>& refusals) {
  std::set<int> lines;
  for (const twin::Refusal& refusal : refusals) lines.insert(refusal.at.line);
  return lines;
}

/// The same entries cannot be done, and the forecast ends on the same day for want of the same litres. Between two
/// entries the engine stops at the end of a year already, where the twin does not look.
void expect_same_faults(const Trajectory& engine, const twin::Outcome& outcome) {
  EXPECT_EQ(lines_of(engine.problems), lines_of(outcome.left_out));
  if (!outcome.left_out.empty()) return;  // nobody is shown the forecast of a book with faults
  ASSERT_EQ(engine.stopped.has_value(), outcome.stopped.has_value());
  if (!engine.stopped) return;
  EXPECT_EQ(engine.stopped->row, outcome.stopped->row);
  if (outcome.stopped->in_between) return;
  EXPECT_EQ(engine.stopped->date, outcome.stopped->date);
  EXPECT_LE(apart(engine.stopped->short_l, outcome.stopped->short_l), tolerance_for(1000.0));
}

bool reached_its_end(const twin::Outcome& outcome) {
  const auto in_between = [](const twin::Refusal& refusal) { return refusal.in_between; };
  return !outcome.stopped && std::none_of(outcome.left_out.begin(), outcome.left_out.end(), in_between);
}

/// The end of a run, whatever else it wrote down.
void expect_same_end(const Timeline& line, const Trajectory& engine, const twin::Cellar& twin, Kinds& kinds) {
  ASSERT_FALSE(engine.looks.empty()) << "the engine stopped before the end";
  expect_same_stock(line, engine.looks.back(), twin, kinds);
  expect_same_flows(line, engine.flows.litres, twin, false);
  if (is_known(engine.flows.alcohol.sum())) expect_same_flows(line, engine.flows.alcohol, twin, true);
  const double interest = engine.flows.solutes(kGained, kMoney), same = twin.interest;
  EXPECT_LE(apart(interest, same), tolerance_for(is_known(same) ? std::abs(same) : 0.0)) << "interest";
}

/// What the twin does not follow year by year: the two ways in which the engine runs must agree on it.
void expect_same_years(const Trajectory& with_records, const Trajectory& flows_alone) {
  const auto &years = with_records.flows.years, &others = flows_alone.flows.years;
  ASSERT_EQ(years.size(), others.size());
  for (std::size_t i = 0; i < years.size(); ++i) {
    SCOPED_TRACE(years[i].year);
    EXPECT_EQ(years[i].year, others[i].year);
    EXPECT_EQ(years[i].closed, others[i].closed);
    const auto expect = [&](const char* what, double one, double other) {
      EXPECT_LE(apart(one, other), tolerance_for(is_known(one) ? std::abs(one) : 0.0)) << what;
    };
    for (std::size_t flow = 0; flow < kFlowCount; ++flow) {
      expect("litres", years[i].litres[flow], others[i].litres[flow]);
      expect("alcohol", years[i].alcohol[flow], others[i].alcohol[flow]);
    }
    expect("years", years[i].years, others[i].years);
    expect("litre-years", years[i].litre_years, others[i].litre_years);
    expect("closing litres", years[i].closing_l, others[i].closing_l);
    expect("closing alcohol", years[i].closing_alcohol_l, others[i].closing_alcohol_l);
    expect("sugar", years[i].sugar_g, others[i].sugar_g);
    expect("acid", years[i].acid_g, others[i].acid_g);
    expect("volatile acid", years[i].volatile_acid_g, others[i].volatile_acid_g);
  }
}

}  // namespace

void expect_agreement(const Scenario& scenario) {
  const Timeline line = timeline(scenario, {});
  ASSERT_TRUE(line.problems.empty()) << line.problems.front().what;
  static Simulator simulator;  // one for all cellars: whatever an earlier one left in its memory must not matter
  const Trajectory engine = simulate(scenario, line), &flows_alone = simulator.run(scenario, line);
  const twin::Outcome outcome = twin::run(scenario);
  Kinds kinds(line, outcome.cellar);
  expect_same_faults(engine, outcome);
  expect_same_faults(flows_alone, outcome);
  if (!outcome.left_out.empty() && outcome.stopped) return;
  expect_same_draws(scenario, line, engine, outcome.cellar, kinds);
  expect_same_refreshes(engine, outcome.cellar);
  if (!reached_its_end(outcome)) return;
  expect_same_end(line, engine, outcome.cellar, kinds);
  SCOPED_TRACE("with the flows alone");
  expect_same_end(line, flows_alone, outcome.cellar, kinds);
  expect_same_years(engine, flows_alone);
}

}  // namespace tierce::test
