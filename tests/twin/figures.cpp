#include "tests/twin/figures.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "engine/measure/age.h"
#include "engine/run/simulate.h"

namespace tierce::test {
namespace {

// Of less wine than this a rounding of 1e-9 L shows in what it holds and how old it is.
constexpr double kRemainderL = 1.0;

class Teller {
 public:
  Teller(const Scenario& scenario, const Timeline& line) : scenario_(scenario), line_(line) {}

  void tell(const std::string& of, const Parcelled& wine, double volume_l, int day, double ph) {
    add("volume", of, Kind::amount, volume_l);
    if (!(volume_l > 0.0)) return;
    add("strength", of, Kind::strength, 100.0 * wine.alcohol.sum() / volume_l);
    const std::pair<const char*, Solute> held[] = {
        {"sugar", kSugar}, {"acid", kAcid}, {"volatile acid", kVolatileAcid}, {"acetaldehyde", kAldehyde}};
    for (const auto& [what, solute] : held) add(what, of, Kind::strength, wine.solutes[solute] / volume_l);
    add("cost", of, Kind::cost, wine.solutes[kMoney] / volume_l);
    add("pH", of, Kind::strength, ph);
    add("SO2", of, Kind::sulfur, wine.solutes[kSo2Total] / volume_l);
    add("free SO2", of, Kind::free_sulfur, wine.solutes[kSo2Free] / volume_l);
    tell_ages(of, age_of(line_, scenario_.clock, wine, day));
  }

  std::vector<Figure> all{};

 private:
  void add(const char* what, const std::string& of, Kind kind, double value) { all.push_back({what, of, kind, value}); }

  void tell_ages(const std::string& of, const AgeSummary& age) {
    const std::pair<const char*, double> ages[] = {
        {"mean age", age.mean_y},
        {"youngest", age.youngest_y},
        {"oldest", age.oldest_y},
        {"spread", age.sd_y},
        {"of unknown age", age.unknown_fraction},
    };
    for (const auto& [what, years] : ages) add(what, of, Kind::age, years);
    for (const double years : age.quantiles_y) add("quantile", of, Kind::of_parts, years);
    add("mean by alcohol", of, Kind::of_parts, age.mean_by_alcohol_y);
    add("mean by what stays", of, Kind::solid_age, age.mean_by_solids_y);
    add("mean at least", of, Kind::solid_age, age.mean_at_least_y);
  }

  const Scenario& scenario_;
  const Timeline& line_;
};

double allowed(const Tolerance& tolerance, const Figure& a, double b) {
  const double size = std::max({1.0, std::abs(a.value), std::abs(b)});
  switch (a.kind) {
    case Kind::amount: return tolerance.amount * size;
    case Kind::strength: return tolerance.strength * size;
    case Kind::cost: return tolerance.cost * size;
    case Kind::of_parts:
    case Kind::age: return tolerance.age * size;
    case Kind::solid_age: return tolerance.solid_age * size;
    case Kind::sulfur: return tolerance.sulfur_mg_l;
    case Kind::free_sulfur: return tolerance.free_sulfur_mg_l;
  }
  return 0.0;
}

}  // namespace

Figures figures_of(const Scenario& scenario, std::size_t tanks, const Date& since) {
  const Timeline line = timeline(scenario, {});
  const Trajectory run = simulate(scenario, line);
  Teller teller(scenario, line);
  for (const DrawRecord& draw : run.draws)
    if (draw.date > since) teller.tell("draw of " + iso_text(draw.date), draw.wine, draw.volume_l, draw.day, draw.ph);
  if (!run.looks.empty()) {
    const Stock& stock = run.looks.back();
    const int rows = scenario.tier_count() + static_cast<int>(tanks);
    for (int row = 0; row < rows; ++row)
      teller.tell("row " + std::to_string(row), part_of(stock, row, 1.0), stock.volume[row], stock.day, stock.ph(row));
  }
  return {std::move(teller.all), run.problems.size() + line.problems.size(), run.stopped.has_value(),
          !run.looks.empty()};
}

void expect_same(const Figures& a, const Figures& b, const Tolerance& tolerance, double factor) {
  ASSERT_EQ(a.faults, b.faults);
  ASSERT_EQ(a.stopped, b.stopped);
  ASSERT_EQ(a.all.size(), b.all.size());
  double volume_l = 0.0;  // of the wine that the figures are of; its volume comes first
  for (std::size_t i = 0; i < a.all.size(); ++i) {
    const Figure& one = a.all[i];
    if (one.kind == Kind::amount) volume_l = one.value;
    else if (volume_l < kRemainderL) continue;
    const double other = b.all[i].value / (one.kind == Kind::amount ? factor : 1.0);
    if (allowed(tolerance, one, other) >= kNotLookedAt) continue;
    // These need every part, and are not known of wine of more parts than are kept (design decision 11).
    const bool needs_parts = one.kind == Kind::of_parts || one.kind == Kind::solid_age;
    if (needs_parts && is_known(one.value) != is_known(other)) continue;
    ASSERT_EQ(is_known(one.value), is_known(other)) << one.what << " of " << one.of;
    if (!is_known(other)) continue;
    ASSERT_NEAR(one.value, other, allowed(tolerance, one, other)) << one.what << " of " << one.of;
  }
}

}  // namespace tierce::test
