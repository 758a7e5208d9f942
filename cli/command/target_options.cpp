#include "cli/command/target_options.h"

#include <algorithm>

#include "cli/read/quantity_text.h"
#include "cli/read/suggest.h"

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

std::vector<double> ages(ParsedTarget& parsed, const std::string& option, const std::string& text) {
  std::vector<double> found;
  for (const std::string& part : parts_of(text))
    if (const auto age = quantity(parsed, option, part, Measure::years, 0.0, kOldestY)) found.push_back(*age);
  return found;
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
    parsed.options.bring.push_back({row->what, *value});
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

ParsedTarget parse_target(const std::map<std::string, std::string>& given, const Date& today) {
  ParsedTarget parsed;
  for (const auto& [name, value] : given)
    if (trimmed(value).empty()) report(parsed, "--" + name + ": a value is missing", "'tierce target --help' shows it");
  if (!parsed.faults.empty()) return parsed;
  TargetOptions& options = parsed.options;
  if (given.contains("mean")) options.means_y = ages(parsed, "mean", given.at("mean"));
  if (given.contains("youngest")) options.youngest_y = ages(parsed, "youngest", given.at("youngest"));
  if (given.contains("bring"))
    for (const std::string& part : parts_of(given.at("bring"))) take_bring(parsed, part);
  for (const char* needs : {"with", "in", "on"})
    if (given.contains(needs) && !given.contains("bring"))
      report(parsed, "--" + std::string(needs) + " is of no use without --bring",
             "--bring, the value that new wine is to bring about, as in --bring \"va: 0.55 g/L\"");
  if (given.contains("with")) options.with = given.at("with");
  if (given.contains("in")) options.in = given.at("in");
  if (given.contains("on")) {
    const auto day = given.at("on") == "today" ? Read<Date>(today) : read_date(given.at("on"));
    if (const auto* misread = std::get_if<Misread>(&day))
      report(parsed, "--on: " + misread->what, misread->allowed + ", or today", misread->hint);
    else options.on = std::get<Date>(day);
  }
  return parsed;
}

}  // namespace tierce
