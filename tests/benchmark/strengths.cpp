// Strength from density and back, as a correction of many readings needs it. Wanted: a million each in under a second.
#include <benchmark/benchmark.h>

#include "engine/alcoholometry.h"

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

}  // namespace
}  // namespace tierce
