// How fast a reserve is run: small ones many thousands of times, as a search or an uncertainty band needs it, and a
// large one once, as a house with many tiers needs it.
#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include <string>

#include "engine/run/simulate.h"

namespace tierce {
namespace {

constexpr int kFirstYear = 1900;

/// What a benchmark's reserve is like. `dosed`: every tier to a molecular level at each refresh.
struct Shape {
  int tiers = 4;
  int years = 40;  // one lot a year
  int vessels = 1;
  double loss_per_year = 0.03;
  // SO2 is lost, bound by acetaldehyde and dosed to a molecular level in every tier at each refresh.
  bool sulfur = false;
  bool vapour_stated = true;  // else it follows from the cellar's air
};

Tier tier_of(int index, const Shape& shape) {
  constexpr double kTierL = 1000.0;
  Tier tier;
  tier.name = "tier" + std::to_string(index);
  for (int vessel = 0; vessel < shape.vessels; ++vessel)
    tier.vessels.push_back({{}, tier.name + "v" + std::to_string(vessel), kTierL / shape.vessels});
  tier.target_l = kTierL;
  tier.evaporation = {Evaporation::Kind::share, shape.loss_per_year, true};
  tier.vapour_pct = 12.0;
  tier.vapour_stated = shape.vapour_stated;
  return tier;
}

Lot lot_of(int year, const Shape& shape) {
  Lot lot;
  lot.name = "L" + std::to_string(year);
  lot.vintage = year;
  lot.harvested = {year, 9, 20};
  lot.wine.alcohol_pct = 18.0;
  lot.wine.sugar_g_l = 95.0;
  lot.wine.acidity_g_l = 5.0;
  lot.wine.so2_total_mg_l = 70.0;
  lot.wine.so2_free_mg_l = 20.0;
  lot.wine.ph = 3.5;
  if (shape.sulfur) lot.wine.acetaldehyde_mg_l = 30.0;
  return lot;
}

void do_on(Scenario& scenario, const Date& date, const Action& action) {
  Entry& entry = scenario.log.emplace_back();
  entry.date = date;
  entry.action = action;
}

/// All tiers filled with the first lot; then every year a fifth of the last tier drawn and all refilled with the year's
/// lot. Without sulfur, SO2 still travels with the wine, as sugar and acids do.
Scenario reserve(const Shape& shape) {
  Scenario scenario;
  if (!shape.sulfur) scenario.so2_loss = SulfurLoss{SulfurLoss::Law::of_total, 0.0};
  for (int k = 0; k < shape.tiers; ++k) scenario.tiers.push_back(tier_of(k, shape));
  for (int year = 0; year < shape.years; ++year) scenario.lots.push_back(lot_of(kFirstYear + year, shape));
  for (int k = 0; k < shape.tiers; ++k)
    do_on(scenario, {kFirstYear + 1, 2, 10}, Add{0, {}, Place{{}, k, -1}, {{}, Amount::Kind::litres, 1000.0, 0.0}});
  for (int year = 1; year < shape.years; ++year) {
    const Date day{kFirstYear + 1 + year, 2, 10};
    do_on(scenario, day, Draw{Place{{}, shape.tiers - 1, -1}, {{}, Amount::Kind::share, 0.2, 0.0}, "Bottling"});
    do_on(scenario, day, Refill{year, {}, RefillOrder::oldest_first, {}});
    Dose dose;
    dose.kind = Dose::Kind::to_molecular;
    dose.value = 0.6;
    if (shape.sulfur) do_on(scenario, day, dose);
  }
  return scenario;
}

/// A run that stops early would look fast.
bool is_sound(benchmark::State& state, const Trajectory& run, int years) {
  const bool sound = run.problems.empty() && !run.stopped && run.draws.size() == static_cast<std::size_t>(years - 1);
  if (!sound) state.SkipWithError("the reserve does not run to its end");
  return sound;
}

/// 4 tiers, 40 lots, 40 years; the timeline is made once. With the flows alone, as a search runs it: all state and all
/// flows, no stock kept but the last. With everything: the record of each draw and each refresh too.
void SmallReserve(benchmark::State& state, const Shape& shape, Keep keep) {
  const Scenario scenario = reserve(shape);
  const Timeline line = timeline(scenario, {});
  if (!is_sound(state, simulate(scenario, line), shape.years)) return;
  Simulator simulator;
  for (auto _ : state) benchmark::DoNotOptimize(&simulator.run(scenario, line, keep));
  state.SetItemsProcessed(state.iterations() * shape.years);  // reserve-years
}
constexpr Shape kPlain{};
constexpr Shape kFourVessels{.vessels = 4};
constexpr Shape kSulfur{.sulfur = true};
constexpr Shape kVapourFromTheAir{.vapour_stated = false};
constexpr Shape kSulfurFourVessels{.vessels = 4, .sulfur = true};
BENCHMARK_CAPTURE(SmallReserve, plain, kPlain, Keep::flows);
BENCHMARK_CAPTURE(SmallReserve, plain_four_vessels_a_tier, kFourVessels, Keep::flows);
BENCHMARK_CAPTURE(SmallReserve, sulfur, kSulfur, Keep::flows);
BENCHMARK_CAPTURE(SmallReserve, vapour_from_the_air, kVapourFromTheAir, Keep::flows);
BENCHMARK_CAPTURE(SmallReserve, sulfur_four_vessels_a_tier, kSulfurFourVessels, Keep::flows);
BENCHMARK_CAPTURE(SmallReserve, everything, kSulfurFourVessels, Keep::everything);

/// 200 tiers, 150 lots, 150 years, the timeline too. To stay under 1 s and 300 MB.
void LargeReserve(benchmark::State& state) {
  constexpr Shape kLarge{
      .tiers = 200, .years = 150, .vessels = 4, .loss_per_year = 0.003};  // no more than one tier passes on
  const Scenario scenario = reserve(kLarge);
  if (!is_sound(state, simulate(scenario, timeline(scenario, {})), kLarge.years)) return;
  for (auto _ : state) {
    const Timeline line = timeline(scenario, {});
    benchmark::DoNotOptimize(simulate(scenario, line));
  }
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  state.counters["peak_MB"] = static_cast<double>(usage.ru_maxrss) / 1024.0;  // Linux counts in kB
}
BENCHMARK(LargeReserve)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace tierce

BENCHMARK_MAIN();
