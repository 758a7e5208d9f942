#include "cli/command/commands.h"

#include <algorithm>
#include <iostream>
#include <ostream>

#include "cli/command/answers.h"
#include "cli/command/chosen_wines.h"
#include "cli/command/compare.h"
#include "cli/command/deliver.h"
#include "cli/command/fortify.h"
#include "cli/command/label.h"
#include "cli/command/new.h"
#include "cli/command/page.h"
#include "cli/command/record.h"
#include "cli/command/refresh.h"
#include "cli/command/target.h"
#include "cli/io/messages.h"
#include "cli/read/claim_check.h"
#include "cli/read/load.h"
#include "cli/read/print_problems.h"
#include "cli/read/quantity_text.h"
#include "cli/read/suggest.h"
#include "cli/report/chart.h"
#include "cli/report/dose.h"
#include "cli/report/json_losses.h"
#include "cli/report/json_refusal.h"
#include "cli/report/json_report.h"
#include "cli/report/losses.h"
#include "cli/report/premises.h"
#include "cli/report/remarks.h"
#include "cli/report/report.h"
#include "cli/report/trace.h"
#include "cli/write/json.h"
#include "cli/write/write.h"
#include "engine/plan/long_run.h"

namespace tierce {
namespace {

Answer refuse(const std::string& why) {
  say_error(why);
  return {kBadInput, "", {}};
}

Units units_for(const Options& options, const Scenario& scenario) { return options.units.value_or(scenario.units); }

/// Of a Document, or of a Report.
template <class Kind>
Shown rendered(const Kind& report, const Options& options, const Scenario& scenario) {
  if (options.format == Format::csv) return report.csv;
  return text_of(report, units_for(options, scenario));
}

Span forecast_span(const Options& options, const Scenario& scenario) {
  Span span;
  if (options.years) span.until_year = std::max(last_entry(scenario).year, 1) + *options.years;
  return span;
}

/// The JSON of an answer, built only where it is wanted: that of a long book is larger than all else.
template <class Builder>
std::string where_wanted(const Options& options, const Builder& build) {
  return options.format == Format::json ? json_text(build()) : "";
}

std::string text_if_any(const nlohmann::json& json) { return json.is_null() ? "" : json_text(json); }

/// A run that stopped early is a plan that is impossible; the report says where.
int status_of(const Outlook& outlook) {
  if (!outlook.run.stopped) return kFine;
  say_warning("the forecast stops: " + outlook.run.stopped->problem.what);
  return kFails;
}

Answer check(const Options& options, const LoadedScenario& loaded) {
  const Scenario& scenario = loaded.scenario;
  const Outlook outlook = run_scenario(scenario, {});
  Answer answer{status_of(outlook), "", {}};
  nlohmann::json json = {{"file", loaded.source.path},
                         {"reserve", scenario.reserve},
                         {"sound", true},
                         {"problems", nlohmann::json::array()},
                         {"remarks", nlohmann::json::array()}};
  if (options.format == Format::csv) return refuse("check prints no table, so it has no CSV");
  const auto count = [](std::size_t n, const std::string& one, const std::string& many) {
    return std::to_string(n) + ' ' + (n == 1 ? one : many);
  };
  Report report;
  report.parts.push_back(Paragraph{
      loaded.source.path + ": sound. " + scenario.reserve + " has " + count(scenario.tiers.size(), "tier", "tiers") +
      ", " + count(scenario.lots.size(), "lot", "lots") + " and " +
      count(scenario.log.size(), "log entry", "log entries") +
      (scenario.corrections.empty() ? ""
                                    : ", with " + count(scenario.corrections.size(), "correction", "corrections")) +
      "."});
  if (outlook.run.stopped)
    report.parts.push_back(
        Paragraph{"The habit cannot be kept to the end: " + outlook.run.stopped->problem.what + "."});
  for (const Remark& remark : remarks_on(outlook)) {
    report.parts.push_back(Paragraph{as_sentence(remark), 2});
    json["remarks"].push_back({{"line", remark.at.line}, {"column", remark.at.column}, {"what", remark.what}});
  }
  answer.shown = text_of(report, Units::metric);
  answer.json = json_text(json);
  return answer;
}

/// A run of the book to the end of the day that --on names, or of its last entry.
struct RunToDay {
  std::optional<Outlook> outlook;  // nothing: refused, and said why
  std::string why;                 // this day, in a few words
};

RunToDay run_to_day(const Options& options, const LoadedScenario& loaded) {
  const Scenario& scenario = loaded.scenario;
  const Date last = last_entry(scenario);
  Date day = last;
  RunToDay to_day{{}, "the last entry of the book; nothing later is assumed"};
  const auto refused = [](const std::string& why) {
    refuse(why);
    return RunToDay{};
  };
  if (options.on) {
    const auto read = *options.on == "today" ? Read<Date>(options.today) : read_date(*options.on);
    if (const auto* misread = std::get_if<Misread>(&read))
      return refused("--on: " + misread->what + " (" + misread->allowed + ", or today)");
    day = std::get<Date>(read);
    to_day.why = day > last ? "by the habit from the last entry of the book, " + day_text(last) : "as the book has it";
  }
  if (day.year == 0) return refused(loaded.source.path + ": the book is empty; --on DATE shows a day of the habit");
  to_day.outlook = run_scenario(scenario, {.until_year = 0, .habit = day > last, .end_on = day});
  if (to_day.outlook->run.looks.empty())
    return refused("--on " + iso_text(day) + ": the book of " + loaded.source.path + " begins later");
  return to_day;
}

Answer stock(const Options& options, const LoadedScenario& loaded) {
  RunToDay to_day = run_to_day(options, loaded);
  if (!to_day.outlook) return {kBadInput, "", {}};
  const Outlook& outlook = *to_day.outlook;
  const Stock& shown = outlook.run.looks.back();
  if (outlook.run.stopped) to_day.why = "the habit cannot be kept any longer: " + outlook.run.stopped->problem.what;
  const Units units = units_for(options, loaded.scenario);
  return {status_of(outlook), rendered(stock_report(outlook, shown, to_day.why, units), options, loaded.scenario),
          where_wanted(options, [&] { return stock_json(outlook, shown); }), outlook};
}

Answer no_such_draw(const Options& options, const LoadedScenario& loaded, const Outlook& outlook) {
  if (!options.draw) return refuse(loaded.source.path + ": nothing is drawn, in the log or by a habit");
  std::vector<std::string> names;
  for (const DrawRecord& draw : outlook.run.draws) names.push_back(draw.name);
  const std::string near = nearest(*options.draw, names);
  const std::string hint = !near.empty()   ? "; did you mean '" + near + "'?"
                           : names.empty() ? ""
                                           : "; draws run from '" + names.front() + "' to '" + names.back() + "'";
  return refuse(loaded.source.path + ": there is no draw '" + *options.draw + "'" + hint);
}

Answer age(const Options& options, const LoadedScenario& loaded) {
  const Outlook outlook = run_scenario(loaded.scenario, forecast_span(options, loaded.scenario));
  ChosenWines wines;
  wines.draws = chosen_draws(outlook.run.draws, options.draw);
  wines.bottlings = chosen_bottlings(outlook.run, wines.draws, options.draw);
  if (wines.draws.empty() && (wines.bottlings.empty() || options.certificate))
    return no_such_draw(options, loaded, outlook);
  const Units units = units_for(options, loaded.scenario);
  const std::string why = options.draw                ? ""
                          : wines.draws.front()->past ? "This is the last draw in the log; --draw shows another."
                                                      : "The log holds no draw; this is the first one of the habit.";
  const Report report =
      options.certificate ? certificate_report(outlook, wines.draws, units) : age_report(outlook, wines, why, units);
  return {kFine, rendered(report, options, loaded.scenario),
          where_wanted(options, [&] { return age_json(outlook, wines, Draws::packed); })};
}

Answer forecast(const Options& options, const LoadedScenario& loaded) {
  if (options.chart) {
    const Outlook looked = run_with_year_ends(loaded.scenario, forecast_span(options, loaded.scenario));
    return {status_of(looked),
            rendered(chart_report(looked, units_for(options, loaded.scenario)), options, loaded.scenario),
            {},
            {}};
  }
  const Outlook outlook = run_scenario(loaded.scenario, forecast_span(options, loaded.scenario));
  const LongRun settled = long_run(loaded.scenario);
  const Report report = forecast_report(outlook, settled, units_for(options, loaded.scenario));
  return {status_of(outlook), rendered(report, options, loaded.scenario),
          where_wanted(options, [&] { return forecast_json(outlook, settled, Draws::packed); })};
}

Answer dose(const Options& options, const LoadedScenario& loaded) {
  const Outlook outlook = run_scenario(loaded.scenario, forecast_span(options, loaded.scenario));
  const Report report = dose_report(outlook, units_for(options, loaded.scenario));
  return {status_of(outlook), rendered(report, options, loaded.scenario),
          where_wanted(options, [&] { return dose_json(outlook); })};
}

Answer target(const Options& options, const LoadedScenario& loaded, std::ostream& err) {
  const Scenario& scenario = loaded.scenario;
  const TargetOutcome found =
      answer_target(options, loaded, forecast_span(options, scenario), units_for(options, scenario), err);
  return {found.status,
          found.report.parts.empty() ? Shown("") : rendered(found.report, options, scenario),
          text_if_any(found.json),
          {}};
}

double allowance_of(const Options& options, const Scenario& scenario) {
  return options.allowance.value_or(scenario.allowance_per_year);
}

Answer losses(const Options& options, const LoadedScenario& loaded) {
  const Scenario& scenario = loaded.scenario;
  const Date last = last_entry(scenario);
  if (last.year == 0) return refuse(loaded.source.path + ": the book is empty, so nothing was lost");
  const Outlook outlook = run_scenario(scenario, {.habit = false, .end_on = last});  // what was, not what will be
  const double allowance = allowance_of(options, scenario);
  return {kFine, rendered(losses_report(outlook, allowance, units_for(options, scenario)), options, scenario),
          where_wanted(options, [&] { return losses_json(outlook, allowance); }), outlook};
}

/// What several files come to together; nothing where a command has no such sum, or one of the files is faulty.
std::optional<Answer> premises(const Options& options, const std::vector<Outlook>& reserves) {
  if (reserves.size() < 2 || reserves.size() < options.files.size()) return std::nullopt;
  const Scenario& first = reserves.front().scenario;
  const Units units = units_for(options, first);
  if (options.command == "stock")
    return Answer{kFine, rendered(premises_stock_report(reserves, units), options, first),
                  where_wanted(options, [&] { return premises_stock_json(reserves); })};
  double allowance = allowance_of(options, first);
  for (const Outlook& outlook : reserves)
    if (allowance_of(options, outlook.scenario) != allowance) allowance = kUnknown;  // no one number for all
  return Answer{kFine, rendered(premises_losses_report(reserves, allowance, units), options, first),
                where_wanted(options, [&] { return premises_losses_json(reserves, allowance); })};
}

Answer label(const Options& options, const LoadedScenario& loaded, std::ostream& err) {
  const Scenario& scenario = loaded.scenario;
  const LabelAnswer found =
      answer_label(options, loaded, forecast_span(options, scenario), units_for(options, scenario), err);
  if (!found.error.empty()) return refuse(found.error);
  if (found.status == kBadInput) return {kBadInput, "", {}, {}};
  return {found.status, rendered(found.report, options, scenario), text_if_any(found.json), {}};
}

Answer compare(const Options& options, const LoadedScenario& loaded, std::ostream& err) {
  const CompareAnswer of = answer_compare(options, loaded, units_for(options, loaded.scenario), err);
  return {of.status, of.status == kBadInput ? Shown("") : rendered(of.report, options, loaded.scenario),
          text_if_any(of.json)};
}

Answer report(const Options& options, const LoadedScenario& loaded) {
  const Units units = units_for(options, loaded.scenario);
  ReserveRuns runs =
      run_for_page(loaded, forecast_span(options, loaded.scenario), units, room_for(options.files.size()));
  Answer answer{status_of(runs.outlook), "", {}};
  if (options.format == Format::json) answer.json = json_text(page_json(runs));
  else if (options.format == Format::csv) answer.shown = page_csv(runs);
  else answer.page.push_back(page_of(runs));
  return answer;
}

Answer trace_lot(const Options& options, const LoadedScenario& loaded) {
  const RunToDay to_day = run_to_day(options, loaded);
  if (!to_day.outlook) return {kBadInput, "", {}};
  const Outlook& outlook = *to_day.outlook;
  const Traced traced = trace(outlook.scenario, outlook.line);
  const auto lots = lots_of(traced);
  if (std::find(lots.begin(), lots.end(), *options.lot) == lots.end()) {
    const std::string near = nearest(*options.lot, lots);
    return refuse(loaded.source.path + ": no wine of a lot '" + *options.lot + "' came into the book by then; " +
                  (near.empty() ? "lots: " + listed_briefly(lots) : did_you_mean(near)));
  }
  const TraceView view{outlook, traced, loaded.source.path, options.at_least};
  const Report report = trace_lot_report(view, *options.lot, units_for(options, loaded.scenario));
  return {status_of(outlook), rendered(report, options, loaded.scenario),
          where_wanted(options, [&] { return trace_lot_json(view, *options.lot); })};
}

Answer trace_draw(const Options& options, const LoadedScenario& loaded) {
  const Outlook outlook = run_scenario(loaded.scenario, {});
  const Traced traced = trace(outlook.scenario, outlook.line);
  auto wines = chosen_draws(traced.run.draws, options.draw);
  for (const BottlingRecord* bottling : chosen_bottlings(traced.run, wines, options.draw))
    wines.push_back(&bottling->wine);
  if (wines.empty()) return no_such_draw(options, loaded, outlook);
  const TraceView view{outlook, traced, loaded.source.path, options.at_least};
  const Report report = trace_draw_report(view, wines, units_for(options, loaded.scenario));
  return {kFine, rendered(report, options, loaded.scenario),
          where_wanted(options, [&] { return trace_draw_json(view, wines); })};
}

Answer trace_either(const Options& options, const LoadedScenario& loaded) {
  if (options.lot.has_value() == options.draw.has_value())
    return refuse("trace: one of --lot NAME (where it is) and --draw NAME (what is behind it)");
  if (options.draw && options.on) return refuse("trace: --on belongs to --lot; a draw has its own day");
  return options.lot ? trace_lot(options, loaded) : trace_draw(options, loaded);
}

struct Named {
  const char* name;
  Answer (*run)(const Options&, const LoadedScenario&);
};
constexpr Named kCommands[] = {{"check", check},       {"stock", stock}, {"age", age},       {"losses", losses},
                               {"forecast", forecast}, {"dose", dose},   {"report", report}, {"trace", trace_either}};

/// The span that the options ask for, which may be longer than the scenario's own.
Span asked_span(const Options& options, const Scenario& scenario) {
  Span span = forecast_span(options, scenario);
  const auto on = read_date(options.on.value_or(""));
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

/// `reserve` and, of the first one, `units` are filled in.
Answer answer_for(const Options& options, const std::string& path, std::string& reserve, std::optional<Units>& units,
                  std::ostream& err) {
  const Limits& limits = options.large ? kLargeLimits : kUsualLimits;
  LoadedScenario loaded = load_scenario(path, limits);
  if (loaded.problems.empty())
    loaded.problems = too_large(loaded.scenario, asked_span(options, loaded.scenario), limits);
  if (loaded.problems.empty() && (options.command == "check" || options.command == "report"))
    loaded.problems = found_by_running(loaded.scenario);
  if (loaded.problems.empty() && options.as_known_on) {
    loaded = check_source(std::move(loaded.source), limits, {}, options.as_known_on);
    if (!loaded.problems.empty()) {
      print_problems(loaded.problems, loaded.source, err);
      say_error(loaded.source.path + ": as it was known on " + iso_text(*options.as_known_on) +
                " the book does not hold together");
      return {kFails, "", json_text(impossible_json(loaded.source.path, loaded.problems))};
    }
  }
  if (!loaded.problems.empty()) {
    print_problems(loaded.problems, loaded.source, err);
    const bool asked = options.command == "check";
    return {kBadInput, "", asked ? json_text(problems_json(loaded.source.path, loaded.problems)) : ""};
  }
  remark_on_days_ahead(loaded.scenario, options.today);
  reserve = loaded.scenario.reserve;
  if (!units) units = units_for(options, loaded.scenario);
  if (!take_rules_of_options(options.rules, loaded, err)) return {kBadInput, "", {}, {}};
  if (options.command == "target") return target(options, loaded, err);
  if (options.command == "label") return label(options, loaded, err);
  if (options.command == "compare") return compare(options, loaded, err);
  for (const Named& command : kCommands)
    if (options.command == command.name) return command.run(options, loaded);
  return {kOurBug, "", {}, {}};
}

}  // namespace

int run_command(const Options& options, std::ostream& out, std::ostream& err) {
  if (options.command == "fortify") return run_fortify(options.own, out, err);
  if (options.command == "new") return run_new(options.own, options.today, std::cin, out);
  if (options.command == "record") return run_record(options.own, options.today, std::cin, out, err);
  if (options.command == "refresh") return run_refresh(options, out, err);
  if (const std::string twice = given_twice(options.files); !twice.empty()) {
    say_error(twice);
    return kBadInput;
  }
  Answers all;
  for (const std::string& path : options.files) {
    std::string reserve;
    Answer answer = answer_for(options, path, reserve, all.units, err);
    (answer.status == kBadInput ? all.refused : all.sound).push_back(path);
    take(all, std::move(answer), reserve);
  }
  if (all.status == kBadInput) return refuse_all(all, options, out);
  if (auto sum = premises(options, all.reserves)) take(all, std::move(*sum), kAllReserves);
  const std::string text = written(all, options);
  if (text.empty()) return all.status;  // nothing to say: a file asked for with -o stays as it was
  return std::max(all.status, deliver(options.output, text, out));
}

}  // namespace tierce
