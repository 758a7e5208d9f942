// How fast a reserve is run: small ones many thousands of times, as a search or an uncertainty band needs it, and a
// large one once, as a house with many tiers needs it.
#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include <string>

#include "engine/simulate.h"

namespace tierce {
namespace {

constexpr int kFirstYear = 1900;

Tier tier_of(int index, double loss_per_year) {
  Tier tier;
  tier.name = "tier" + std::to_string(index);
  for (int vessel = 0; vessel < 4; ++vessel)
    tier.vessels.push_back({{}, tier.name + "v" + std::to_string(vessel), 250.0});
  tier.target_l = 1000.0;
  tier.evaporation = {Evaporation::Kind::share, loss_per_year, true};
  tier.vapour_pct = 12.0;
  tier.vapour_stated = true;
  return tier;
}

Lot lot_of(int year) {
  Lot lot;
  lot.name = "L" + std::to_string(year);
  lot.vintage = year;
  lot.harvested = {year, 9, 20};
  lot.wine.alcohol_pct = 18.0;
  lot.wine.sugar_g_l = 95.0;
  lot.wine.acidity_g_l = 5.0;
  lot.wine.so2_total_mg_l = 70.0;
  lot.wine.so2_free_mg_l = 20.0;
  return lot;
}

void do_on(Scenario& scenario, const Date& date, const Action& action) {
  Entry& entry = scenario.log.emplace_back();
  entry.date = date;
  entry.action = action;
}

/// All tiers filled with the first lot; then every year a fifth of the last tier drawn and all refilled with the year's
/// lot.
Scenario reserve(int tiers, int years, double loss_per_year) {
  Scenario scenario;
  for (int k = 0; k < tiers; ++k) scenario.tiers.push_back(tier_of(k, loss_per_year));
  for (int year = 0; year < years; ++year) scenario.lots.push_back(lot_of(kFirstYear + year));
  for (int k = 0; k < tiers; ++k)
    do_on(scenario, {kFirstYear + 1, 2, 10}, Add{0, {}, Place{{}, k, -1}, {{}, Amount::Kind::litres, 1000.0, 0.0}});
  for (int year = 1; year < years; ++year) {
    const Date day{kFirstYear + 1 + year, 2, 10};
    do_on(scenario, day, Draw{Place{{}, tiers - 1, -1}, {{}, Amount::Kind::share, 0.2, 0.0}, "Bottling"});
    do_on(scenario, day, Refill{year, {}, RefillOrder::oldest_first, {}});
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
void SmallReserve(benchmark::State& state, Keep keep) {
  constexpr int kYears = 40;
  const Scenario scenario = reserve(4, kYears, 0.03);
  const Timeline line = timeline(scenario, {});
  if (!is_sound(state, simulate(scenario, line), kYears)) return;
  for (auto _ : state) benchmark::DoNotOptimize(simulate(scenario, line, keep));
  state.SetItemsProcessed(state.iterations() * kYears);  // reserve-years
}
BENCHMARK_CAPTURE(SmallReserve, flows, Keep::flows);
BENCHMARK_CAPTURE(SmallReserve, everything, Keep::everything);

/// 200 tiers, 150 lots, 150 years, the timeline too. To stay under 1 s and 300 MB.
void LargeReserve(benchmark::State& state) {
  constexpr int kYears = 150;
  const Scenario scenario = reserve(200, kYears, 0.003);  // each tier passes on what all below it lose
  if (!is_sound(state, simulate(scenario, timeline(scenario, {})), kYears)) return;
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
