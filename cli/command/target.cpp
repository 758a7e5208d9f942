#include "cli/command/target.h"

#include <chrono>
#include <memory>
#include <ostream>

#include "cli/io/messages.h"
#include "cli/read/print_problems.h"
#include "cli/read/quantity_text.h"
#include "cli/report/json_refusal.h"
#include "cli/report/target.h"

namespace tierce {
namespace {

constexpr double kTellEverySeconds = 2.0;

/// Says on standard error that the search goes on, every two seconds.
std::function<void(int)> teller(const std::string& path) {
  using clock = std::chrono::steady_clock;
  auto last = std::make_shared<clock::time_point>(clock::now());
  return [path, last](int runs) {
    if (std::chrono::duration<double>(clock::now() - *last).count() < kTellEverySeconds) return;
    *last = clock::now();
    say_progress(path + ": " + std::to_string(runs) + " runs so far, still searching");
  };
}

Problem no_habit(const Scenario& scenario) {
  const std::string lot = scenario.lots.empty() ? "LOT" : scenario.lots.back().name;
  return {{},
          scenario.reserve + " has no habit: nothing says when wine is drawn and what is refilled",
          "'habit:' in the file, as in habit: {day: 10 Feb, draw: 20 %, refill: {like: " + lot + "}}",
          ""};
}

}  // namespace

TargetOutcome answer_target(const Options& options, const LoadedScenario& loaded, const Span& span, Units units,
                            std::ostream& err) {
  TargetOutcome outcome{.status = kBadInput, .report = {}, .json = nullptr};
  const ParsedTarget parsed = parse_target(options.given, options.today);
  const Scenario& scenario = loaded.scenario;
  if (!parsed.faults.empty()) {
    print_refusals(parsed.faults, "", kBadInput, err);
    return outcome;
  }
  if (scenario.habit.empty()) {
    print_refusals({no_habit(scenario)}, loaded.source.path, kBadInput, err);
    return outcome;
  }
  std::optional<FreshenAnswer> fresh;
  if (!parsed.options.bring.empty()) {
    auto worked_out = work_out_freshening(scenario, parsed.options, units);
    if (const auto* refusal = std::get_if<FreshenRefusal>(&worked_out)) {
      print_refusals({refusal->problem}, loaded.source.path, refusal->status, err);
      outcome.status = refusal->status;
      if (refusal->status == kFails) outcome.json = impossible_json(loaded.source.path, {refusal->problem});
      return outcome;
    }
    fresh = std::get<FreshenAnswer>(std::move(worked_out));
  }
  const TargetAnswer answer =
      work_out_target(scenario, span, wanted_ages(scenario, parsed.options), teller(loaded.source.path));
  bool possible = !fresh || !fresh->impossible();
  const bool none_goes = !answer.why_no_search.empty() && answer.outlook.run.stopped;  // no share can be kept up
  possible = possible && !none_goes;
  for (const AgeTarget& target : answer.targets) possible = possible && !target.impossible();
  outcome.status = possible ? kFine : kFails;
  outcome.report = target_report(answer, fresh, units);
  if (options.format == Format::json) outcome.json = target_json(answer, fresh);
  return outcome;
}

}  // namespace tierce
