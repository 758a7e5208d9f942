// Strength from density and back, and free SO2 from the total, as many readings need them. Wanted: a million strengths
// in under a second, an equilibrium in under a microsecond, with one binder or with all five.
#include <benchmark/benchmark.h>

#include "engine/wine/alcoholometry.h"
#include "engine/wine/sulfur.h"

namespace tierce {
namespace {

void StrengthFromDensity(benchmark::State& state) {
  double density_kg_m3 = 960.0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(alcohol_pct_from_density(density_kg_m3, 17.0));
    density_kg_m3 = density_kg_m3 > 990.0 ? 960.0 : density_kg_m3 + 0.013;
  }
  state.SetItemsProcessed(state.iterations());
}
BENCHMARK(StrengthFromDensity);

void DensityFromStrength(benchmark::State& state) {
  double alcohol_pct = 1.0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(density_of_strength_kg_m3(alcohol_pct, 17.0));
    alcohol_pct = alcohol_pct > 95.0 ? 1.0 : alcohol_pct + 0.017;
  }
  state.SetItemsProcessed(state.iterations());
}
BENCHMARK(DensityFromStrength);

void FreeSulfurAtEquilibrium(benchmark::State& state, const Binders& binders) {
  double total_mg_l = 1.0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(free_for_total_mg_l(total_mg_l, binders));
    total_mg_l = total_mg_l > 300.0 ? 1.0 : total_mg_l + 0.37;
  }
  state.SetItemsProcessed(state.iterations());
}
BENCHMARK_CAPTURE(FreeSulfurAtEquilibrium, acetaldehyde, Binders{.acetaldehyde_mg_l = 90.0});
BENCHMARK_CAPTURE(FreeSulfurAtEquilibrium, five_binders, Binders{90.0, 30.0, 40.0, 300.0, 50000.0});

}  // namespace
}  // namespace tierce
