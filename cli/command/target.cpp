#include "cli/command/target.h"

#include <algorithm>
#include <chrono>
#include <memory>

#include "cli/command/asked.h"
#include "cli/command/commands.h"
#include "cli/io/messages.h"
#include "cli/read/print_problems.h"
#include "cli/read/quantity_text.h"
#include "cli/read/suggest.h"
#include "cli/report/run_rows.h"
#include "cli/report/target.h"

namespace tierce {
namespace {

constexpr double kOldestY = 1000.0;

/// "4 years, 6 years" as its parts.
std::vector<std::string> parts_of(const std::string& text) {
  std::vector<std::string> parts;
  for (std::size_t from = 0; from <= text.size();) {
    const auto comma = std::min(text.find(',', from), text.size());
    parts.push_back(trimmed(text.substr(from, comma - from)));
    from = comma + 1;
  }
  return parts;
}

struct ParsedTarget {
  TargetWish wish{};
  std::vector<Problem> faults{};  // all of them
};

void report(ParsedTarget& parsed, const std::string& what, const std::string& allowed, const std::string& hint = "") {
  parsed.faults.push_back({{}, what, allowed, hint});
}

/// A quantity above `low` up to `high`, else a fault.
std::optional<double> quantity(ParsedTarget& parsed, const std::string& option, const std::string& text,
                               Measure measure, double low, double high) {
  const auto read = read_quantity(text, measure);
  if (const auto* misread = std::get_if<Misread>(&read)) {
    report(parsed, "--" + option + ": " + misread->what, misread->allowed, misread->hint);
    return std::nullopt;
  }
  const double value = std::get<Quantity>(read).value;
  if (value > low && value <= high) return value;
  const std::string unit = units_of(measure).front().name;
  report(parsed, "--" + option + ": '" + text + "' is out of range",
         (low < 0.0 ? "from 0 " : "above " + plain_number(low) + ' ') + unit + " up to " + plain_number(high) + ' ' +
             unit);
  return std::nullopt;
}

void take_ages(ParsedTarget& parsed, const std::string& option, const std::string& text) {
  for (const std::string& part : parts_of(text))
    if (const auto years = quantity(parsed, option, part, Measure::years, 0.0, kOldestY))
      parsed.wish.ages.push_back({option == "youngest", *years});
}

struct BringRow {
  const char* name;
  BringWhat what;
  Measure measure;
  double high;
};
constexpr BringRow kBringRows[] = {{"mean", BringWhat::mean_age, Measure::years, kOldestY},
                                   {"alcohol", BringWhat::alcohol, Measure::strength, 100.0},
                                   {"sugar", BringWhat::sugar, Measure::grams_per_litre, 800.0},
                                   {"va", BringWhat::volatile_acid, Measure::grams_per_litre, 50.0}};

void take_bring(ParsedTarget& parsed, const std::string& part) {
  const auto colon = part.find(':');
  const std::string name = trimmed(part.substr(0, colon));
  const auto row =
      std::find_if(std::begin(kBringRows), std::end(kBringRows), [&](const BringRow& one) { return name == one.name; });
  if (colon == std::string::npos || row == std::end(kBringRows)) {
    report(parsed, "--bring: '" + part + "' is no value to be brought about",
           "mean, alcohol, sugar or va, each with its value, as in \"va: 0.55 g/L, mean: 4 years\"",
           did_you_mean(nearest(name, {"mean", "alcohol", "sugar", "va"})));
    return;
  }
  const double low = row->what == BringWhat::sugar || row->what == BringWhat::volatile_acid ? -1e-12 : 0.0;
  if (const auto value = quantity(parsed, "bring", trimmed(part.substr(colon + 1)), row->measure, low, row->high))
    parsed.wish.fresh.bring.push_back({row->what, *value});
}

ParsedTarget parsed_target(const std::map<std::string, std::string>& given, const Date& today) {
  ParsedTarget parsed;
  for (const auto& [name, value] : given)
    if (trimmed(value).empty()) report(parsed, "--" + name + ": a value is missing", "'tierce target --help' shows it");
  if (!parsed.faults.empty()) return parsed;
  for (const char* option : {"mean", "youngest"})
    if (given.contains(option)) take_ages(parsed, option, given.at(option));
  if (given.contains("bring"))
    for (const std::string& part : parts_of(given.at("bring"))) take_bring(parsed, part);
  for (const char* needs : {"with", "in", "on"})
    if (given.contains(needs) && !given.contains("bring"))
      report(parsed, "--" + std::string(needs) + " is of no use without --bring",
             "--bring, the value that new wine is to bring about, as in --bring \"va: 0.55 g/L\"");
  if (given.contains("on")) {
    const auto day = given.at("on") == "today" ? Read<Date>(today) : read_date(given.at("on"));
    if (const auto* misread = std::get_if<Misread>(&day))
      report(parsed, "--on: " + misread->what, misread->allowed + ", or today", misread->hint);
    else parsed.wish.fresh.on = std::get<Date>(day);
  }
  return parsed;
}

/// The place in a list of the scenario that an option names; `counts`: whether an entry of the list may be named.
template <class List, class Counts>
std::optional<int> index_of(ParsedTarget& parsed, const Options& options, const std::string& option,
                            const std::string& kind, const List& list, const Counts& counts) {
  const auto given = options.given.find(option);
  if (given == options.given.end()) return std::nullopt;
  std::vector<std::string> names;
  for (std::size_t i = 0; i < list.size(); ++i)
    if (counts(list[i])) {
      if (list[i].name == given->second) return static_cast<int>(i);
      names.push_back(list[i].name);
    }
  report(parsed, "--" + option + ": there is no " + kind + " '" + given->second + "'",
         kind + "s: " + listed_briefly(names), did_you_mean(nearest(given->second, names)));
  return std::nullopt;
}

/// Tier and lot that --bring is about; the first fault is enough.
void find_named(ParsedTarget& parsed, const Options& options, const Scenario& scenario) {
  parsed.wish.fresh.tier = index_of(parsed, options, "in", "tier", scenario.tiers, [](const Tier&) { return true; });
  if (!parsed.faults.empty()) return;
  parsed.wish.fresh.lot =
      index_of(parsed, options, "with", "lot", scenario.lots, [](const Lot& lot) { return !lot.elsewhere; });
}

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

const std::vector<OptionRow>& target_option_rows() {
  static const std::vector<OptionRow> kRows = {
      {"mean", "AGES", "mean age that the draws are to keep, as \"5 years\" or \"4 years, 6 years\""},
      {"youngest", "AGES",
       "age that no part of a draw is to be below (without --mean and --youngest: the claims of the file)"},
      {"bring", "VALUES",
       "how much new wine brings a tier to a value, as \"va: 0.55 g/L, mean: 4 years\": mean, alcohol, sugar, va"},
      {"with", "LOT", "the new wine of --bring, a lot of the file (default: what the habit refills with)"},
      {"in", "TIER", "the tier of --bring (default: the last, which is drawn from)"},
      {"on", "DATE", "the day of --bring, as 2027-02-10, or today (default: the habit's next day)"},
  };
  return kRows;
}

/// The status is kFails where an age or a value that is wanted cannot be had.
Answer target_command(const Asked& asked) {
  const Scenario& scenario = asked.scenario();
  const auto refused = [&](const std::vector<Problem>& faults, const std::string& path, int status = kBadInput) {
    print_refusals(faults, path, status, asked.err);
    return Answer{.status = status,
                  .json = status == kFails ? json_text(object_of(Impossible{path, faults}, kImpossiblePlan)) : ""};
  };
  ParsedTarget parsed = parsed_target(asked.options.given, asked.options.today);
  if (!parsed.faults.empty()) return refused(parsed.faults, "");
  if (scenario.habit.empty()) return refused({no_habit(scenario)}, asked.path());
  find_named(parsed, asked.options, scenario);
  if (!parsed.faults.empty()) return refused(parsed.faults, asked.path());
  std::optional<FreshenAnswer> fresh;
  if (!parsed.wish.fresh.bring.empty()) {
    auto worked_out = work_out_freshening(scenario, parsed.wish.fresh);
    if (const auto* refusal = std::get_if<FreshenRefusal>(&worked_out))
      return refused({freshen_refusal(*refusal, scenario, asked.units())}, asked.path(), status_of(*refusal));
    fresh = std::get<FreshenAnswer>(std::move(worked_out));
  }
  const TargetAnswer answer = work_out_target(scenario, asked.span(), parsed.wish.ages, teller(asked.path()));
  const bool possible = !answer.impossible() && !(fresh && fresh->impossible());
  const TargetOutput output{answer, fresh};
  return answered(
      asked, possible ? kFine : kFails, [&] { return target_report(output, asked.units()); },
      [&] { return object_of(output, kTargetOutput); });
}

}  // namespace tierce
