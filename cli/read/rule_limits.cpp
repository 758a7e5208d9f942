// Limits and values as rule files write them.
#include <algorithm>
#include <array>
#include <cmath>

#include "cli/read/read_rules.h"
#include "cli/read/suggest.h"
#include "engine/rules/label_facts.h"

namespace tierce {
namespace {

constexpr std::array<std::pair<const char*, Operator>, 7> kOperators = {{{"at least", Operator::at_least},
                                                                         {"above", Operator::above},
                                                                         {"at most", Operator::at_most},
                                                                         {"below", Operator::below},
                                                                         {"exactly", Operator::exactly},
                                                                         {"same side", Operator::same_side},
                                                                         {"multiple of", Operator::multiple_of}}};
const std::string kOpenAtLimit = " (open at the limit)";

std::vector<std::string> operator_words() {
  std::vector<std::string> words;
  for (const auto& [word, op] : kOperators) words.emplace_back(word);
  return words;
}

/// The measure whose base unit this is; empty for a plain number.
std::optional<Measure> measure_of(const std::string& unit) {
  for (const Measure measure : {Measure::strength, Measure::grams_per_litre, Measure::milligrams_per_litre,
                                Measure::years, Measure::share, Measure::volume})
    if (units_of(measure).front().name == unit) return measure;
  return std::nullopt;
}

/// "1 Sep of year 2": days from the youngest harvest's year, as `kept until` counts them.
Read<double> read_day_after_harvest(const std::string& text) {
  const std::string between = " of year ";
  const auto at = text.find(between);
  const Misread misread{"'" + text + "' is no day after a harvest", "a day and the years after that of the harvest",
                        "1 Sep of year 2"};
  if (at == std::string::npos) return misread;
  const auto day = read_day_of_year(text.substr(0, at));
  if (const auto* fault = std::get_if<Misread>(&day)) return *fault;
  const auto years = read_number(trimmed(text.substr(at + between.size())));
  const double* count = std::get_if<double>(&years);
  if (count == nullptr || *count != std::floor(*count) || *count < 0.0 || *count > 1000.0) return misread;
  const DayOfYear& of = std::get<DayOfYear>(day);
  constexpr int kAnyYear = 2001;  // every year has 365 days here
  return days_from_year(kAnyYear, Date{kAnyYear + static_cast<int>(*count), of.month, of.day});
}

}  // namespace

const char* operator_word(Operator op) {
  for (const auto& [word, one] : kOperators)
    if (one == op) return word;
  return "";
}

Read<double> read_in_unit(const std::string& text, const std::string& unit) {
  const auto measure = measure_of(unit);
  if (!measure) {
    const auto [number, written] = split_number(text);
    const auto value = read_number(number);
    if (std::holds_alternative<Misread>(value)) return std::get<Misread>(value);
    if (written != unit)
      return Misread{"'" + text + "' is not in " + (unit.empty() ? "a plain number" : unit),
                     unit.empty() ? "a number" : "a number with the unit " + unit, ""};
    return std::get<double>(value);
  }
  const auto read = read_quantity(text, *measure);
  if (const auto* misread = std::get_if<Misread>(&read)) return *misread;
  return std::get<Quantity>(read).value * (*measure == Measure::share ? 100.0 : 1.0);
}

Read<double> read_value(const std::string& text, const std::string& quantity, const std::string& unit) {
  return quantity == "kept until" ? read_day_after_harvest(text) : read_in_unit(text, unit);
}

Read<Limit> read_limit(const std::string& text, const std::string& quantity) {
  Limit limit;
  std::string rest = trimmed(text);
  if (rest.ends_with(kOpenAtLimit)) {
    limit.open_at_limit = true;
    rest.resize(rest.size() - kOpenAtLimit.size());
  }
  const auto found = std::find_if(kOperators.begin(), kOperators.end(),
                                  [&](const auto& one) { return rest.starts_with(std::string(one.first) + ' '); });
  if (found == kOperators.end())
    return Misread{"'" + text + "' does not say on which side", listed(operator_words()) + ", then a value", ""};
  limit.op = found->second;
  rest = trimmed(rest.substr(std::string(found->first).size()));
  limit.unit = find_quantity(quantity)->unit;
  const bool any_unit = quantity == "not in the book";
  if (any_unit) limit.unit = split_number(rest).second;
  const auto value = read_value(rest, quantity, limit.unit);
  if (const auto* misread = std::get_if<Misread>(&value)) return *misread;
  limit.value = std::get<double>(value);
  limit.in_proof = split_number(rest).second == "proof";
  if (limit.op == Operator::multiple_of && !(limit.value > 0.0))
    return Misread{"'" + text + "' has no multiples", "a value above zero", ""};
  return limit;
}

}  // namespace tierce
