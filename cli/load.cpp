#include "cli/load.h"

#include <algorithm>

#include "cli/read_scenario.h"
#include "engine/simulate.h"
#include "engine/validate.h"

namespace tierce {

LoadedScenario check_source(Source source) {
  ReadScenario read = read_scenario(source);
  LoadedScenario loaded{std::move(source), std::move(read.scenario), std::move(read.problems)};
  auto& problems = loaded.problems;
  bool sound = read.parsed && read.whole;
  if (read.parsed) {
    const auto broken = validate(loaded.scenario);
    sound = sound && broken.empty();
    problems.insert(problems.end(), broken.begin(), broken.end());
  }
  if (sound) {
    const Timeline line = timeline(loaded.scenario, {});
    const Trajectory run = simulate(loaded.scenario, line);
    problems.insert(problems.end(), line.problems.begin(), line.problems.end());
    problems.insert(problems.end(), run.problems.begin(), run.problems.end());
  }
  std::stable_sort(problems.begin(), problems.end(), [](const Problem& a, const Problem& b) {
    return std::pair(a.at.line, a.at.column) < std::pair(b.at.line, b.at.column);
  });
  return loaded;
}

LoadedScenario load_scenario(const std::string& path) {
  std::vector<Problem> problems;
  Source source = load_source(path, problems);
  if (!problems.empty()) return {std::move(source), {}, std::move(problems)};
  return check_source(std::move(source));
}

}  // namespace tierce
