#include "cli/read/load.h"

#include <algorithm>
#include <tuple>

#include "cli/read/claim_check.h"
#include "cli/read/other_reserve.h"
#include "engine/book/validate.h"
#include "engine/run/simulate.h"

namespace tierce {
namespace {

void append(std::vector<Problem>& problems, const std::vector<Problem>& more) {
  problems.insert(problems.end(), more.begin(), more.end());
}

/// Doses up to a level need the contents of the wine, and change no litre.
bool is_dose_to_a_level(const Entry& entry) {
  const auto* dose = std::get_if<Dose>(&entry.action);
  return dose != nullptr && (dose->kind == Dose::Kind::to_free || dose->kind == Dose::Kind::to_molecular);
}

/// These need the contents of the wine to know the litres.
bool litres_follow_from_contents(const Entry& entry) {
  const auto* gauge = std::get_if<Gauge>(&entry.action);
  return (gauge != nullptr && is_known(gauge->temperature_c)) || std::holds_alternative<Fortify>(entry.action) ||
         std::holds_alternative<Reduce>(entry.action);
}

/// The part of the scenario that can be run: its log up to the first entry that was not read, or that stands out of
/// order. Faults found in it are faults of the file, whatever else is wrong there.
Scenario trusted_part(const Scenario& scenario, const Trust& trust) {
  Scenario part = scenario;
  part.log.resize(std::min(part.log.size(), trust.log_entries));
  const auto in_order = std::is_sorted_until(part.log.begin(), part.log.end(),
                                             [](const Entry& a, const Entry& b) { return a.date < b.date; });
  part.log.erase(in_order, part.log.end());
  if (trust.wines) return part;
  part.log.erase(std::find_if(part.log.begin(), part.log.end(), litres_follow_from_contents), part.log.end());
  std::erase_if(part.log, is_dose_to_a_level);
  return part;
}

std::vector<Problem> faults_of_run(const Scenario& scenario, const Trust& trust) {
  const Scenario part = trusted_part(scenario, trust);
  std::vector<Problem> problems = simulate(part, timeline(part, {.habit = false}), Keep::flows).problems;
  const bool whole = trust.habit && part.log.size() == scenario.log.size();
  if (whole) append(problems, timeline(scenario, {}).problems);
  return problems;
}

/// In the order of the file; what two checks have found is said once.
void put_in_order(std::vector<Problem>& problems) {
  const auto place = [](const Problem& problem) { return std::pair(problem.at.line, problem.at.column); };
  std::stable_sort(problems.begin(), problems.end(),
                   [&](const Problem& a, const Problem& b) { return place(a) < place(b); });
  const auto same = [&](const Problem& a, const Problem& b) { return place(a) == place(b) && a.what == b.what; };
  problems.erase(std::unique(problems.begin(), problems.end(), same), problems.end());
}

/// Whoever has more faults than anybody reads gave the wrong file: the rest is counted.
void show_the_first(std::vector<Problem>& problems, std::size_t dropped) {
  if (problems.size() + dropped <= kMostFaults) return;
  const std::size_t shown = std::min(problems.size(), kMostFaults), rest = problems.size() - shown + dropped;
  const At at = problems[shown - 1].at;
  problems.resize(shown);
  problems.push_back({at, std::to_string(rest) + " more faults are not shown", "", ""});
}

}  // namespace

LoadedScenario check_source(Source source, const Limits& limits, const ReadBefore& before,
                            const std::optional<Date>& known_on, const TreeChange& change) {
  ReadScenario read = read_scenario(source, limits, known_on, change);
  LoadedScenario loaded{std::move(source), std::move(read.scenario), std::move(read.problems), {}};
  const std::size_t faults = loaded.problems.size();
  bring_from_other_files(loaded, limits, before);
  if (loaded.problems.size() > faults) read.trust.wines = false;
  if (read.parsed) {
    const auto broken = validate(loaded.scenario);
    append(loaded.problems, broken);
    take_rules_of_scenario(loaded);
    const bool sound =
        std::all_of(broken.begin(), broken.end(), [](const Problem& problem) { return problem.rest_is_sound; });
    const auto too_much = too_large(loaded.scenario, {}, limits, sound && read.trust.reserve);
    append(loaded.problems, too_much);
    if (sound && too_much.empty() && read.trust.reserve)
      append(loaded.problems, faults_of_run(loaded.scenario, read.trust));
  }
  put_in_order(loaded.problems);
  show_the_first(loaded.problems, read.more_problems);
  return loaded;
}

LoadedScenario load_scenario(const std::string& path, const Limits& limits, const ReadBefore& before) {
  std::vector<Problem> problems;
  Source source = load_source(path, problems, limits);
  if (!problems.empty()) return {std::move(source), {}, std::move(problems), {}};
  return check_source(std::move(source), limits, before);
}

}  // namespace tierce
