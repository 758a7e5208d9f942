#include "tests/fuzz/eat.h"

#include <cmath>
#include <sstream>
#include <stdexcept>

#include "cli/read/date_text.h"
#include "cli/read/load.h"
#include "cli/read/print_problems.h"
#include "cli/read/quantity_text.h"
#include "cli/report/report.h"
#include "cli/report/run_outputs.h"
#include "cli/write/json.h"
#include "cli/write/write.h"
#include "engine/measure/balance.h"
#include "engine/plan/long_run.h"

namespace tierce::fuzz {
namespace {

void require(bool holds, const std::string& what) {
  if (!holds) throw std::logic_error(what);
}

/// Every fault says what is wrong and stands at a place that the file has (0: the whole file).
void require_good_problems(const LoadedScenario& loaded) {
  for (const Problem& problem : loaded.problems) {
    require(!problem.what.empty(), "a fault says nothing");
    require(problem.at.line >= 0 && problem.at.column >= 0, "a fault stands before the file");
    require(static_cast<std::size_t>(problem.at.line) <= loaded.source.lines.size() + 1,
            "a fault stands behind the file");
  }
  std::ostringstream out;
  print_problems(loaded.problems, loaded.source, out);
  for (const char c : out.str()) require(c == '\n' || static_cast<unsigned char>(c) >= 0x20, "a control character");
}

LoadedScenario loaded_from(const std::string& bytes) {
  std::vector<Problem> problems;
  Source source = source_from("fuzz.yaml", bytes, problems);
  LoadedScenario loaded =
      problems.empty() ? check_source(std::move(source)) : LoadedScenario{std::move(source), {}, std::move(problems)};
  require_good_problems(loaded);
  return loaded;
}

/// Conservation is law, for whatever plan. A balance that nothing went through has no throughput to measure a gap by.
void require_closed(const Balance& balance, const std::string& of) {
  const double gap = balance.gap(), throughput = balance.throughput();
  if (is_known(gap)) require(std::abs(gap) <= kBalanceTolerance * throughput, "the balance of " + of + " has a gap");
}

void require_good_misread(const Misread& misread) {
  require(!misread.what.empty() && !misread.allowed.empty(), "a text is refused without a reason");
}

void require_number_or_reason(const Read<Quantity>& read) {
  if (const auto* misread = std::get_if<Misread>(&read)) return require_good_misread(*misread);
  require(std::isfinite(std::get<Quantity>(read).value), "a quantity is not a number");
}

void require_amount_or_reason(const Read<Amount>& read) {
  if (const auto* misread = std::get_if<Misread>(&read)) return require_good_misread(*misread);
  const double value = std::get<Amount>(read).value;
  require(value > 0.0 && value <= kLargestAmount, "an amount is not above zero, or too large");
}

void eat_number(const std::string& text) {
  const Read<double> read = read_number(text);
  if (const auto* misread = std::get_if<Misread>(&read)) return require_good_misread(*misread);
  const double value = std::get<double>(read);
  require(std::isfinite(value), "a number is not finite");
  const Read<double> again = read_number(plain_number(value));
  require(std::holds_alternative<double>(again) && std::get<double>(again) == value, "a number is written otherwise");
}

}  // namespace

void eat_scenario(const std::string& bytes) { loaded_from(bytes); }

void eat_forecast(const std::string& bytes) {
  const LoadedScenario loaded = loaded_from(bytes);
  if (!loaded.problems.empty()) return;
  const Outlook outlook = run_scenario(loaded.scenario, {});
  const LongRun settled = long_run(loaded.scenario);
  require(!text_of(forecast_report(outlook, settled, loaded.scenario.units), loaded.scenario.units).empty(),
          "no report");
  require(!json_text(object_of({&outlook, &settled}, kForecastOutput)).empty(), "no JSON");
  require_closed(balance_of_volume(outlook.run), "the volume");
  require_closed(balance_of_alcohol(outlook.run), "the alcohol");
  for (int parcel = 0; parcel < static_cast<int>(outlook.line.parcels.size()); ++parcel)
    require_closed(balance_of_parcel(outlook.run, parcel), "a lot");
}

void eat_quantity(const std::string& bytes) {
  for (int measure = 0; measure <= static_cast<int>(Measure::length); ++measure)
    require_number_or_reason(read_quantity(bytes, static_cast<Measure>(measure)));
  require_amount_or_reason(read_amount(bytes));
  require_amount_or_reason(read_bottles(bytes));
  eat_number(bytes);
  const Read<int> whole = read_whole(bytes, -7, 4000);
  if (const auto* value = std::get_if<int>(&whole))
    require(*value >= -7 && *value <= 4000, "a whole number is outside");
}

void eat_date(const std::string& bytes) {
  const Read<Date> date = read_date(bytes);
  if (const auto* misread = std::get_if<Misread>(&date)) require_good_misread(*misread);
  else require(iso_text(std::get<Date>(date)) == trimmed(bytes), "a date is read as another");
  const Read<DayOfYear> day = read_day_of_year(bytes);
  if (const auto* misread = std::get_if<Misread>(&day)) require_good_misread(*misread);
  else require(std::get<DayOfYear>(day).month >= 1 && std::get<DayOfYear>(day).month <= 12, "a day has no month");
}

const std::vector<Target>& targets() {
  static const std::vector<Target> kTargets = {
      {"scenario", eat_scenario}, {"forecast", eat_forecast}, {"quantity", eat_quantity}, {"date", eat_date}};
  return kTargets;
}

}  // namespace tierce::fuzz
