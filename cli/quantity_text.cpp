#include "cli/quantity_text.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>

#include "cli/suggest.h"

namespace tierce {
namespace {

constexpr double kLitresPerGallon = 3.785411784;  // 231 cubic inches, exact; NIST Handbook 44, appendix C
constexpr double kGramsPerOunce = 28.349523125;   // avoirdupois, exact: 0.45359237 kg / 16

std::string with_plain_spaces(std::string text) {
  // No-break and narrow no-break space: what word processors put before a unit.
  for (const std::string space : {"\xC2\xA0", "\xE2\x80\xAF", "\xE2\x80\x89"})
    for (auto at = text.find(space); at != std::string::npos; at = text.find(space)) text.replace(at, space.size(), " ");
  return text;
}

std::string trimmed(const std::string& text) {
  const auto first = text.find_first_not_of(" \t\n");
  if (first == std::string::npos) return "";
  return text.substr(first, text.find_last_not_of(" \t\n") - first + 1);
}

bool is_digit(char c) { return std::isdigit(static_cast<unsigned char>(c)) != 0; }

/// Length of a leading number: sign, digits, and one decimal point between digits.
std::size_t number_length(const std::string& text) {
  std::size_t i = !text.empty() && (text[0] == '-' || text[0] == '+') ? 1 : 0;
  const std::size_t first = i;
  while (i < text.size() && is_digit(text[i])) ++i;
  if (i == first) return 0;
  if (i + 1 < text.size() && text[i] == '.' && is_digit(text[i + 1]))
    for (++i; i < text.size() && is_digit(text[i]);) ++i;
  return i;
}

double to_double(const std::string& digits) {
  double value = kUnknown;
  const char* first = digits.data() + (digits.starts_with('+') ? 1 : 0);
  std::from_chars(first, digits.data() + digits.size(), value);
  return value;
}

/// A number followed by a comma and digits: a decimal comma or a separator of thousands.
std::optional<Misread> comma(const std::string& number, const std::string& rest) {
  if (rest.size() < 2 || rest[0] != ',' || !is_digit(rest[1])) return std::nullopt;
  std::size_t digits = 1;
  while (digits < rest.size() && is_digit(rest[digits])) ++digits;
  const std::string after = rest.substr(1, digits - 1);
  const std::string tail = rest.substr(digits);
  const std::string hint = after.size() == 3 ? "write " + number + after + tail + " or " + number + "." + after + tail : "write " + number + "." + after + tail;
  return Misread{"a comma stands in the number", "a decimal point and no separators", hint};
}

Misread not_a_number(const std::string& text, const std::string& allowed) {
  return {text.empty() ? "a value is missing" : "'" + text + "' does not begin with a number", allowed, ""};
}

Misread unknown_unit(const std::string& number, const std::string& unit, Measure measure) {
  const std::string allowed = "units here: " + units_text(measure);
  if (unit.empty()) return {"'" + number + "' has no unit", allowed, "write " + number + " " + units_of(measure).front().name};
  if (const auto hash = unit.find('#'); hash != std::string::npos)
    return {"'" + unit + "' is no unit", allowed, "a comment needs a space before '#'"};
  std::vector<std::string> names;
  for (const Unit& known : units_of(measure)) names.push_back(known.name);
  const std::string near = nearest(unit, names);
  return {"unknown unit '" + unit + "'", allowed, near.empty() ? "" : "did you mean '" + near + "'?"};
}

}  // namespace

const std::vector<Unit>& units_of(Measure measure) {
  static const std::array<std::vector<Unit>, 14> kUnits = {{
      {{"L"}, {"hL", 100.0}, {"mL", 0.001}, {"gal", kLitresPerGallon}},
      {{"%", 0.01}},
      {{"%/yr", 0.01}},
      {{"%vol"}, {"proof", 0.5}},  // US proof: twice the strength in %vol
      {{"g/L"}, {"mg/L", 0.001}},
      {{"mg/L"}, {"g/L", 1000.0}},
      {{"g/L/yr"}, {"mg/L/yr", 0.001}},
      {{"mg/L/yr"}, {"g/L/yr", 1000.0}},
      {{"°C"}, {"°F", 5.0 / 9.0, -160.0 / 9.0}},
      {{"years"}, {"year"}, {"months", 1.0 / 12.0}, {"month", 1.0 / 12.0}},
      {{"months"}, {"month"}, {"years", 12.0}, {"year", 12.0}},
      {{"g"}, {"kg", 1000.0}, {"oz", kGramsPerOunce}},
      {{"L/yr per vessel"}, {"gal/yr per vessel", kLitresPerGallon}},
      {{"SG"}, {"Bx"}, {"Be"}, {"°Oe"}},  // scales, not multiples of one another: converted where they are used
  }};
  return kUnits[static_cast<std::size_t>(measure)];
}

std::string units_text(Measure measure) {
  std::string text;
  for (const Unit& unit : units_of(measure)) text += (text.empty() ? "" : ", ") + unit.name;
  return text;
}

std::pair<std::string, std::string> split_number(const std::string& text) {
  const std::string clean = trimmed(with_plain_spaces(text));
  const std::size_t length = number_length(clean);
  return {clean.substr(0, length), trimmed(clean.substr(length))};
}

Read<Quantity> read_quantity(const std::string& text, Measure measure) {
  const auto [number, unit] = split_number(text);
  const std::string allowed = "a number with a unit: " + units_text(measure);
  if (number.empty()) return not_a_number(trimmed(text), allowed);
  if (auto misread = comma(number, unit)) return *misread;
  for (const Unit& known : units_of(measure))
    if (known.name == unit) return Quantity{to_double(number) * known.factor + known.offset, unit};
  return unknown_unit(number, unit, measure);
}

Read<double> read_number(const std::string& text) {
  const auto [number, rest] = split_number(text);
  if (number.empty()) return not_a_number(trimmed(text), "a number");
  if (auto misread = comma(number, rest)) return *misread;
  if (!rest.empty()) return Misread{"'" + rest + "' stands after the number", "a number without a unit", "write " + number};
  return to_double(number);
}

Read<int> read_whole(const std::string& text, int low, int high) {
  const std::string allowed = "a whole number from " + std::to_string(low) + " to " + std::to_string(high);
  const auto [number, rest] = split_number(text);
  if (number.empty()) return not_a_number(trimmed(text), allowed);
  if (auto misread = comma(number, rest)) return *misread;
  int value = 0;
  const char* end = number.data() + number.size();
  const auto [stopped, error] = std::from_chars(number.data() + (number[0] == '+' ? 1 : 0), end, value);
  if (error != std::errc{} || stopped != end || !rest.empty()) return Misread{"'" + trimmed(text) + "' is no whole number", allowed, ""};
  if (value < low || value > high) return Misread{"'" + number + "' is out of range", allowed, ""};
  return value;
}

Read<Date> read_date(const std::string& text) {
  const auto date = parse_iso_date(trimmed(text));
  if (!date) return Misread{"'" + trimmed(text) + "' is not a date", "year-month-day, as in 2027-02-10", ""};
  if (is_valid(*date)) return *date;
  std::string hint;
  if (date->year >= 1 && date->month >= 1 && date->month <= 12)
    hint = "month " + std::to_string(date->month) + " of " + std::to_string(date->year) + " has " + std::to_string(days_in_month(date->year, date->month)) + " days";
  else if (date->month > 12 && date->day >= 1 && date->day <= 12)
    hint = "the month stands before the day: " + iso_text({date->year, date->day, date->month});
  return Misread{"there is no day " + trimmed(text), "a day of the calendar", hint};
}

Read<DayOfYear> read_day_of_year(const std::string& text) {
  static const std::vector<std::string> kMonths = {"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  const std::string allowed = "a day and a month, as in 10 Feb";
  const auto [number, month] = split_number(text);
  const auto found = std::find(kMonths.begin(), kMonths.end(), month);
  if (number.empty() || month.empty()) return Misread{"'" + trimmed(text) + "' is not a day of the year", allowed, ""};
  if (found == kMonths.end()) {
    const std::string near = nearest(month, kMonths);
    return Misread{"unknown month '" + month + "'", "Jan, Feb, Mar, Apr, May, Jun, Jul, Aug, Sep, Oct, Nov, Dec", near.empty() ? "" : "did you mean '" + near + "'?"};
  }
  const int index = static_cast<int>(found - kMonths.begin()) + 1;
  const auto day = read_whole(number, 1, days_in_month(2000, index));
  if (const auto* misread = std::get_if<Misread>(&day)) return Misread{misread->what, "a day of " + month, ""};
  return DayOfYear{index, std::get<int>(day)};
}

Read<Amount> read_amount(const std::string& text, bool share_allowed, bool bottles_allowed) {
  const auto [number, unit] = split_number(text);
  std::string allowed = "litres or gallons" + std::string(share_allowed ? ", a share in %" : "") + (bottles_allowed ? ", bottles as in 500 x 375 mL" : "");
  Amount amount;
  if (bottles_allowed && unit.starts_with("x ")) {
    const auto bottles = read_whole(number, 1, 100000000);
    if (const auto* misread = std::get_if<Misread>(&bottles)) return *misread;
    const auto size = read_quantity(unit.substr(2), Measure::volume);
    if (const auto* misread = std::get_if<Misread>(&size)) return *misread;
    amount.kind = Amount::Kind::bottles;
    amount.value = std::get<int>(bottles);
    amount.bottle_l = std::get<Quantity>(size).value;
    return amount;
  }
  if (share_allowed && unit == "%") {
    amount.kind = Amount::Kind::share;
    amount.value = std::get<Quantity>(read_quantity(text, Measure::share)).value;
    return amount;
  }
  const auto volume = read_quantity(text, Measure::volume);
  if (const auto* misread = std::get_if<Misread>(&volume)) return Misread{misread->what, misread->allowed.starts_with("units") ? misread->allowed + (share_allowed ? ", %" : "") : allowed, misread->hint};
  amount.value = std::get<Quantity>(volume).value;
  return amount;
}

}  // namespace tierce
