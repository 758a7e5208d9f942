#include "cli/command/chosen_wines.h"

#include <algorithm>

#include "cli/report/report.h"

namespace tierce {
namespace {

bool is_asked(const DrawRecord& wine, const std::string& asked) {
  return wine.name == asked || iso_text(wine.date) == asked;
}

}  // namespace

/// The draws that a name or a date means; the last one of the log where nothing is asked.
std::vector<const DrawRecord*> chosen_draws(const std::vector<DrawRecord>& draws,
                                            const std::optional<std::string>& asked) {
  std::vector<const DrawRecord*> chosen;
  for (const DrawRecord& draw : draws) {
    if (asked && is_asked(draw, *asked)) chosen.push_back(&draw);
    if (!asked && draw.past) chosen = {&draw};
  }
  if (!asked && chosen.empty() && !draws.empty()) chosen.push_back(&draws.front());
  return chosen;
}

/// The bottlings of that name or day, and those of the draws chosen.
std::vector<const BottlingRecord*> chosen_bottlings(const Trajectory& run, const std::vector<const DrawRecord*>& draws,
                                                    const std::optional<std::string>& asked) {
  std::vector<const BottlingRecord*> chosen;
  for (const BottlingRecord& bottling : run.bottlings) {
    bool of_a_draw = false;
    for (const DrawRecord* draw : draws) {
      const auto of_it = bottlings_of(run, *draw);
      of_a_draw = of_a_draw || std::find(of_it.begin(), of_it.end(), &bottling) != of_it.end();
    }
    if (of_a_draw || (asked && is_asked(bottling.wine, *asked))) chosen.push_back(&bottling);
  }
  return chosen;
}

}  // namespace tierce
