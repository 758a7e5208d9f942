#include "cli/command/commands.h"

#include <algorithm>
#include <iostream>

#include "cli/command/answers.h"
#include "cli/command/asked.h"
#include "cli/command/deliver.h"
#include "cli/command/fortify.h"
#include "cli/command/new.h"
#include "cli/command/page.h"
#include "cli/command/record.h"
#include "cli/command/refresh.h"
#include "cli/io/messages.h"
#include "cli/read/claim_check.h"
#include "cli/read/date_text.h"
#include "cli/read/print_problems.h"
#include "cli/report/check.h"
#include "cli/report/page/output.h"
#include "cli/report/remarks.h"
#include "cli/report/run_outputs.h"
#include "cli/report/run_rows.h"

namespace tierce {
namespace {

Answer report_command(const Asked& asked) {
  ReserveRuns runs = run_for_page(asked.loaded, asked.span(), asked.units(), room_for(asked.options.files.size()));
  Answer answer{.status = status_of(runs.outlook)};
  if (asked.options.format == Format::json) answer.json = json_text(object_of(PageOutput(runs), kReportOutput));
  else if (asked.options.format == Format::csv) answer.csv = page_csv(runs);
  else answer.page.push_back(page_of(runs));
  return answer;
}

int refresh_command(const Options& options, std::istream&, std::ostream& out, std::ostream& err) {
  return run_refresh(options, out, err);
}
int record_command(const Options& options, std::istream& in, std::ostream& out, std::ostream& err) {
  return run_record(options.own, options.today, in, out, err);
}
int fortify_command(const Options& options, std::istream&, std::ostream& out, std::ostream& err) {
  return run_fortify(options.own, out, err);
}
int new_command(const Options& options, std::istream& in, std::ostream& out, std::ostream&) {
  return run_new(options.own, options.today, in, out);
}

const Command* command_of(const Options& options) {
  for (const Command& command : commands())
    if (options.command == command.name) return &command;
  return nullptr;
}

/// The span that the options ask for, which may be longer than the scenario's own.
Span asked_span(const Asked& asked) {
  Span span = asked.span();
  const auto on = read_date(asked.options.on.value_or(""));
  if (const auto* day = std::get_if<Date>(&on)) span.end_on = *day;
  return span;
}

/// What only the whole run of a sound file shows.
std::vector<Problem> found_by_running(const Scenario& scenario) {
  const bool names_a_bottling = std::any_of(scenario.claims.begin(), scenario.claims.end(),
                                            [](const Claim& claim) { return !claim.draw.empty(); });
  if (!names_a_bottling) return {};
  return bottlings_not_found(scenario, run_scenario(scenario, {}).run);
}

/// The file read, checked and, if asked for, as it was known on a day. Empty, or the answer to a faulty one.
std::optional<Answer> read_file(const Options& options, const std::string& path, LoadedScenario& loaded,
                                std::ostream& err) {
  const Limits& limits = options.large ? kLargeLimits : kUsualLimits;
  const bool checked = options.command == "check";
  loaded = load_scenario(path, limits);
  const Asked asked{options, loaded, err};
  if (loaded.problems.empty()) loaded.problems = too_large(loaded.scenario, asked_span(asked), limits);
  if (loaded.problems.empty() && (checked || options.command == "report"))
    loaded.problems = found_by_running(loaded.scenario);
  const bool sound = loaded.problems.empty();
  if (sound && options.as_known_on) loaded = check_source(std::move(loaded.source), limits, {}, options.as_known_on);
  if (loaded.problems.empty()) return std::nullopt;
  print_problems(loaded.problems, loaded.source, err);
  if (!sound)
    return Answer{kBadInput, "",
                  checked ? json_text(object_of({loaded.source.path, loaded.problems}, kCheckOutput)) : ""};
  say_error(loaded.source.path + ": as it was known on " + iso_text(*options.as_known_on) +
            " the book does not hold together");
  return Answer{kFails, "", json_text(object_of(Impossible{loaded.source.path, loaded.problems}, kImpossiblePlan))};
}

/// `all` gets the name of the reserve and the units of the first file.
Answer answer_for(const Command& command, const Options& options, LoadedScenario& loaded, Answers& all,
                  std::ostream& err) {
  remark_on_days_ahead(loaded.scenario, options.today);
  const Asked asked{options, loaded, err};
  if (!all.units) all.units = asked.units();
  if (!take_rules_of_options(options.rules, loaded, err)) return {kBadInput};
  return command.of_file(asked);
}

int answer_all(const Command& command, const Options& options, std::ostream& out, std::ostream& err) {
  if (const std::string twice = given_twice(options.files); !twice.empty()) return refuse(twice).status;
  Answers all;
  for (const std::string& path : options.files) {
    LoadedScenario loaded;
    std::optional<Answer> faulty = read_file(options, path, loaded, err);
    const std::string reserve = faulty ? "" : loaded.scenario.reserve;
    Answer answer = faulty ? std::move(*faulty) : answer_for(command, options, loaded, all, err);
    (answer.status == kBadInput ? all.refused : all.sound).push_back(path);
    take(all, std::move(answer), reserve);
  }
  if (all.status == kBadInput) return refuse_all(all, options, out);
  if (command.of_all != nullptr && all.reserves.size() > 1 && all.reserves.size() == options.files.size()) {
    LoadedScenario first;
    first.scenario = all.reserves.front().scenario;
    take(all, command.of_all({options, first, err}, all.reserves), kAllReserves);
  }
  const int status = all.status;
  const std::string text = written(std::move(all), options);
  if (text.empty()) return status;  // nothing to say: a file asked for with -o stays as it was
  return std::max(status, deliver(options.output, text, out));
}

}  // namespace

const std::vector<Command>& commands() {
  static const std::vector<Command> kCommands = {
      {"check",
       "is the file sound? every fault at once, with its line, what is allowed and what was probably meant",
       {},
       check_command},
      {"stock", "what is in every tier, vessel and tank", {"on", "as-known-on"}, stock_command, stock_of_all},
      {"age",
       "how old a bottling is: mean, youngest, oldest, spread, share by vintage",
       {"draw", "certificate", "years", "as-known-on"},
       age_command},
      {"trace",
       "where a lot is, or what is behind a draw, with the lines of the file",
       {"on", "draw", "lot", "at-least", "as-known-on"},
       trace_command},
      {"losses",
       "what was lost, by cause and year; gauges against the book; the loss beside its allowance",
       {"allowance", "rules"},
       losses_command,
       losses_of_all},
      {"forecast",
       "the years of the book and the years to come, one row a year",
       {"rules", "years", "chart", "vintages", "as-known-on"},
       forecast_command},
      {"dose",
       "how much sulfur dioxide to weigh at each refresh, what it does, which limits it keeps",
       {"rules", "years", "as-known-on"},
       dose_command},
      {"label",
       "what may be said on the label: every claim and rule, with its margin and its source",
       {"draw", "claim", "rules", "evidence", "years"},
       label_command},
      {"compare",
       "the years to come of the file and of variants of it, side by side: ages, wine, strength, SO2, cost",
       {"vary", "vary-file", "years"},
       compare_command},
      {"report",
       "all of it on one page to look at and to print; with -o page.html",
       {"rules", "years"},
       report_command},
      {.name = "refresh",
       .answers = "the next refresh: what to draw, add, dose and order, barrel by barrel; a printable sheet",
       .options = {"sheet"},
       .whole = refresh_command},
      {"target",
       "the largest draw that keeps an age, when an age is reached, or why never; the long run",
       {"years"},
       target_command},
      {.name = "record",
       .answers = "adds one entry to the log of FILE, safely: record FILE VERB --KEY VALUE",
       .options = {},
       .whole = record_command,
       .own_arguments = true},
      {.name = "fortify",
       .answers = "when to arrest a ferment, how much spirit, what comes out (needs no FILE)",
       .options = {},
       .whole = fortify_command,
       .own_arguments = true},
      {.name = "new",
       .answers = "writes FILE: a first scenario with remarks, from options or from a few questions",
       .options = {},
       .whole = new_command,
       .own_arguments = true},
  };
  return kCommands;
}

int run_command(const Options& options, std::ostream& out, std::ostream& err) {
  const Command* command = command_of(options);
  if (command == nullptr) return kOurBug;
  return command->whole != nullptr ? command->whole(options, std::cin, out, err)
                                   : answer_all(*command, options, out, err);
}

}  // namespace tierce
