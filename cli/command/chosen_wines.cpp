#include "cli/command/chosen_wines.h"

#include <algorithm>

#include "engine/measure/this_bottling.h"

namespace tierce {
namespace {

bool is_asked(const DrawRecord& wine, const std::string& asked) {
  return wine.name == asked || iso_text(wine.date) == asked;
}

bool is_of_any(const Trajectory& run, const BottlingRecord& bottling, const std::vector<const DrawRecord*>& draws) {
  return std::any_of(draws.begin(), draws.end(), [&](const DrawRecord* draw) {
    const auto of_it = bottlings_of(run, *draw);
    return std::find(of_it.begin(), of_it.end(), &bottling) != of_it.end();
  });
}

}  // namespace

ChosenWines chosen_wines(const Trajectory& run, const std::optional<std::string>& asked) {
  ChosenWines chosen;
  if (!asked) {
    const DrawRecord* wine = this_bottling(run);
    if (wine == nullptr) return chosen;
    if (const BottlingRecord* bottling = bottling_with(run, *wine)) chosen.bottlings = {bottling};
    else chosen.draws = {wine};
    return chosen;
  }
  for (const DrawRecord& draw : run.draws)
    if (is_asked(draw, *asked)) chosen.draws.push_back(&draw);
  for (const BottlingRecord& bottling : run.bottlings)
    if (is_asked(bottling.wine, *asked) || is_of_any(run, bottling, chosen.draws))
      chosen.bottlings.push_back(&bottling);
  return chosen;
}

}  // namespace tierce
