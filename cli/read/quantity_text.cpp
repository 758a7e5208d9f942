#include "cli/read/quantity_text.h"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>
#include <vector>

#include "cli/io/characters.h"
#include "cli/read/suggest.h"
#include "engine/wine/alcoholometry.h"

namespace tierce {
namespace {

constexpr const char* kNumberForm = "digits, with a decimal point where needed, and no separators";
constexpr const char* kBottleForm = "a number and a size, as in 500 x 375 mL";
constexpr const char* kAmountForm = "litres or gallons, a share in %, or bottles as in 500 x 375 mL";

std::size_t digits_from(const std::string& text, std::size_t at) {
  const auto end = std::min(text.find_first_not_of("0123456789", at), text.size());
  return end - std::min(at, end);
}

/// Length of a leading number: sign, digits, and one decimal point between digits.
std::size_t number_length(const std::string& text) {
  const std::size_t first = !text.empty() && (text[0] == '-' || text[0] == '+') ? 1 : 0;
  const std::size_t whole = digits_from(text, first);
  if (whole == 0) return 0;
  const std::size_t point = first + whole;
  const std::size_t decimals = point < text.size() && text[point] == '.' ? digits_from(text, point + 1) : 0;
  return decimals == 0 ? point : point + 1 + decimals;
}

/// The number that the digits write; unknown if it has too many of them for any use.
double to_double(const std::string& digits) {
  double value = kUnknown;
  const char* first = digits.data() + (digits.starts_with('+') ? 1 : 0);
  const char* end = digits.data() + digits.size();
  const auto [stopped, error] = std::from_chars(first, end, value);
  return error == std::errc{} && stopped == end ? value : kUnknown;
}

bool has_leading_zero(const std::string& number) {
  const std::size_t first = number[0] == '-' || number[0] == '+' ? 1 : 0;
  return number.size() > first + 1 && number[first] == '0' && is_digit(number[first + 1]);
}

/// What stands between two groups of digits.
struct Separator {
  const char* text;
  const char* words;
};
constexpr Separator kSeparators[] = {{",", "a comma"},       {".", "a second point"},
                                     {"'", "an apostrophe"}, {"\xE2\x80\x99", "an apostrophe"},
                                     {"_", "an underscore"}, {" ", "a space"}};

/// The separator that stands at `at` with a digit behind it.
const Separator* separator_at(const std::string& text, std::size_t at) {
  for (const Separator& separator : kSeparators) {
    const std::string sign = separator.text;
    const std::size_t after = at + sign.size();
    if (after < text.size() && text.compare(at, sign.size(), sign) == 0 && is_digit(text[after])) return &separator;
  }
  return nullptr;
}

/// 1,300 L or 1 300 000 L or 1.300,50 L: what is wrong, and the number as it is written here.
std::optional<Misread> separated(const std::string& text) {
  std::size_t at = text[0] == '-' || text[0] == '+' ? 1 : 0;
  at += digits_from(text, at);
  std::vector<std::string> groups = {text.substr(0, at)};
  std::vector<const Separator*> between;
  while (const Separator* separator = separator_at(text, at)) {
    at += std::string(separator->text).size();
    groups.push_back(text.substr(at, digits_from(text, at)));
    at += groups.back().size();
    between.push_back(separator);
  }
  const bool begins_with_point = !between.empty() && *between.front()->text == '.';
  if (between.size() < (begins_with_point ? 2u : 1u)) return std::nullopt;
  const bool mixed = between.front() != between.back();
  const bool thousands = mixed || groups.size() > 2 || groups.back().size() == 3;
  const bool one_comma = groups.size() == 2 && *between.front()->text == ',';
  const std::string unit = trimmed(text.substr(at));
  const std::string tail = (unit.empty() ? "" : " ") + unit;
  std::string joined;
  for (std::size_t i = 0; i < groups.size(); ++i) joined += (mixed && i + 1 == groups.size() ? "." : "") + groups[i];
  std::string hint = thousands ? "write " + joined + tail : "";
  if (one_comma) hint += (thousands ? ", or " : "write ") + groups[0] + '.' + groups[1] + tail;
  return Misread{between[begins_with_point ? 1 : 0]->words + std::string(" stands in the number"), kNumberForm, hint};
}

/// 1e3 L
std::optional<Misread> with_exponent(const std::string& number, const std::string& rest) {
  if (rest.empty() || (rest[0] != 'e' && rest[0] != 'E')) return std::nullopt;
  const std::size_t first = rest.size() > 1 && (rest[1] == '+' || rest[1] == '-') ? 2 : 1;
  const std::size_t digits = digits_from(rest, first);
  if (digits == 0) return std::nullopt;
  const double value = to_double(number + rest.substr(0, first + digits));
  const bool of_use = std::abs(value) < 1e12 && std::abs(value) > 1e-9;
  return Misread{"an exponent stands in the number", kNumberForm,
                 of_use ? "write " + plain_number(value) + rest.substr(first + digits) : ""};
}

Misread not_a_number(const std::string& text, const std::string& allowed) {
  if (text.empty()) return {"a value is missing", allowed, ""};
  std::string hint;
  if (text[0] == '.' && text.size() > 1 && is_digit(text[1])) hint = "write 0" + text;
  if (text.starts_with("\xE2\x88\x92") || text.starts_with("\xE2\x80\x93")) hint = "a minus is written '-'";
  return {"'" + text + "' does not begin with a number", allowed, hint};
}

/// Why a number's text cannot be read; nothing if it can.
std::optional<Misread> unfit(const std::string& text, const std::string& number, const std::string& rest,
                             const std::string& allowed) {
  if (number.empty()) return not_a_number(trimmed(with_plain_spaces(text)), allowed);
  if (auto misread = broken_number(number, rest)) return misread;
  const double value = to_double(number);
  if (!is_known(value)) return Misread{"the number has too many digits", allowed, ""};
  if (!has_leading_zero(number)) return std::nullopt;
  return Misread{"'" + number + "' begins with a zero", kNumberForm,
                 "write " + plain_number(value) + (rest.empty() ? "" : ' ' + rest)};
}

Misread unknown_unit(const std::string& number, const std::string& unit, Measure measure) {
  const std::string allowed = "a number with a unit: " + units_text(measure);
  if (unit.empty()) {
    const double value = to_double(number);
    const bool part = (measure == Measure::share || measure == Measure::share_per_year) && value > 0.0 && value < 1.0;
    const std::string percent =
        part ? plain_number(std::round(value * 1e8) / 1e6) : number;  // 0.2 is a fifth, not 0.2 %
    return {"'" + number + "' has no unit", allowed, did_you_mean(percent + ' ' + units_of(measure).front().name)};
  }
  if (unit.find('#') != std::string::npos)
    return {"unknown unit '" + unit + "'", allowed, "if a comment begins with the '#', a space belongs before it"};
  return {"unknown unit '" + unit + "'", allowed, unit_hint(number, unit, measure)};
}

/// The length of the sign between a number of bottles and their size, or 0: 'x' is the one allowed.
std::size_t times_length(const std::string& rest) {
  for (const std::string sign : {"x", "X", "*", "\xC3\x97"})
    if (rest.starts_with(sign)) return sign.size();
  return 0;
}

/// What a number without a unit may be where shares and litres are allowed: 20 is 20 % or 20 L, 0.2 is 20 % or 0.2 L.
std::string bare_amount(const std::string& number) {
  const double value = to_double(number);
  const std::string litres = "'" + number + " L'?";
  if (!(value > 0.0 && value <= 100.0)) return "did you mean " + litres;
  const double percent = value < 1.0 ? std::round(value * 1e8) / 1e6 : value;
  return "did you mean '" + plain_number(percent) + " %' or " + litres;
}

/// The size of a bottle as it is written here: "375ml" and "375" are 375 mL. Empty where that is no size either.
std::string size_meant(const std::string& size) {
  const auto split = split_number(size);
  const std::string &number = split.first, &unit = split.second;
  const auto& units = units_of(Measure::volume);
  const bool known = std::any_of(units.begin(), units.end(), [&](const Unit& one) { return one.name == unit; });
  const std::string meant = known          ? number + ' ' + unit
                            : unit.empty() ? number + " mL"
                                           : quantity_meant(number, unit, Measure::volume);
  return std::holds_alternative<Quantity>(read_quantity(meant, Measure::volume)) ? meant : "";
}

Read<Amount> bottles_of(const std::string& text, const std::string& number, const std::string& rest) {
  const std::string size = trimmed(rest.substr(times_length(rest)));
  const std::string meant = size_meant(size);
  const std::string written = meant.empty() ? "" : number + " x " + meant;
  if (!rest.starts_with("x ") && !size.empty())
    return Misread{"'" + trimmed(text) + "' is no number of bottles", kBottleForm, did_you_mean(written)};
  const auto count = read_whole(number, 1, 100000000);
  if (const auto* misread = std::get_if<Misread>(&count)) return Misread{misread->what, kBottleForm, misread->hint};
  const auto litres = read_quantity(size, Measure::volume);
  if (const auto* misread = std::get_if<Misread>(&litres))
    return Misread{"the bottle's size: " + misread->what, kBottleForm,
                   written.empty() ? misread->hint : did_you_mean(written)};
  Amount amount;
  amount.kind = Amount::Kind::bottles;
  amount.value = std::get<int>(count);
  amount.bottle_l = std::get<Quantity>(litres).value;
  if (amount.bottle_l > 0.0 && amount.bottle_l <= 1000.0) return amount;
  return Misread{"no bottle holds " + size, kBottleForm, ""};
}

}  // namespace

std::string with_plain_spaces(const std::string& text) {
  // No-break, narrow no-break, thin and figure space.
  const std::vector<std::string> spaces = {"\xC2\xA0", "\xE2\x80\xAF", "\xE2\x80\x89", "\xE2\x80\x87", "\t"};
  std::string plain;
  for (std::size_t i = 0; i < text.size();) {
    const auto space = std::find_if(spaces.begin(), spaces.end(),
                                    [&](const std::string& one) { return text.compare(i, one.size(), one) == 0; });
    plain += space == spaces.end() ? text[i] : ' ';
    i += space == spaces.end() ? 1 : space->size();
  }
  return plain;
}

std::string trimmed(const std::string& text) {
  const auto first = text.find_first_not_of(" \t\n");
  if (first == std::string::npos) return "";
  return text.substr(first, text.find_last_not_of(" \t\n") - first + 1);
}

std::string plain_number(double value) {
  char digits[400];
  const auto end = std::to_chars(digits, digits + sizeof digits, value, std::chars_format::fixed);
  return {digits, end.ptr};
}

std::pair<std::string, std::string> split_number(const std::string& text) {
  const std::string clean = trimmed(with_plain_spaces(text));
  const std::size_t length = number_length(clean);
  return {clean.substr(0, length), trimmed(clean.substr(length))};
}

std::optional<Misread> broken_number(const std::string& number, const std::string& rest) {
  if (auto misread = with_exponent(number, rest)) return misread;
  const bool parted = !rest.empty() && is_digit(rest[0]);  // only a space can have stood there
  return separated(number + (parted ? " " : "") + rest);
}

/// %vol at 20 °C of US proof, which is twice the strength at 60 °F; what is no proof is left out of range.
double pct_of_proof(double us_proof) { return alcohol_pct_from_us_proof(us_proof).value_or(us_proof / 2.0); }

Read<Quantity> read_quantity(const std::string& text, Measure measure) {
  const auto [number, unit] = split_number(text);
  if (auto misread = unfit(text, number, unit, "a number with a unit: " + units_text(measure))) return *misread;
  for (const Unit& known : units_of(measure))
    if (known.name == unit && unit == "proof") return Quantity{pct_of_proof(to_double(number)), unit};
    else if (known.name == unit) return Quantity{to_double(number) * known.factor + known.offset, unit};
  return unknown_unit(number, unit, measure);
}

Read<double> read_number(const std::string& text) {
  const auto [number, rest] = split_number(text);
  if (auto misread = unfit(text, number, rest, "a number")) return *misread;
  if (!rest.empty())
    return Misread{"'" + rest + "' stands behind the number", "a number without a unit", "write " + number};
  return to_double(number);
}

Read<int> read_whole(const std::string& text, int low, int high) {
  const std::string allowed = "a whole number from " + std::to_string(low) + " to " + std::to_string(high);
  const auto [number, rest] = split_number(text);
  if (auto misread = unfit(text, number, rest, allowed)) return *misread;
  const double value = to_double(number);
  if (!rest.empty() || number.find('.') != std::string::npos)
    return Misread{"'" + trimmed(text) + "' is no whole number", allowed, ""};
  if (value < low || value > high) return Misread{"'" + number + "' is out of range", allowed, ""};
  return static_cast<int>(value);
}

Read<Amount> read_bottles(const std::string& text) {
  const auto [number, rest] = split_number(text);
  if (number.empty()) return not_a_number(trimmed(with_plain_spaces(text)), kBottleForm);
  if (times_length(rest) > 0) return bottles_of(text, number, rest);
  return Misread{"'" + trimmed(text) + "' is no number of bottles", kBottleForm, ""};
}

Read<Amount> read_amount(const std::string& text) {
  const auto [number, unit] = split_number(text);
  if (number.empty()) return not_a_number(trimmed(with_plain_spaces(text)), kAmountForm);
  if (times_length(unit) > 0) return bottles_of(text, number, unit);
  const bool share = unit == "%";
  const auto read = read_quantity(text, share ? Measure::share : Measure::volume);
  if (const auto* misread = std::get_if<Misread>(&read))
    return Misread{misread->what, misread->allowed == kNumberForm ? misread->allowed : kAmountForm,
                   unit.empty() && misread->hint.starts_with("did you mean") ? bare_amount(number) : misread->hint};
  Amount amount;
  amount.kind = share ? Amount::Kind::share : Amount::Kind::litres;
  amount.value = std::get<Quantity>(read).value;
  if (amount.value > 0.0 && amount.value <= (share ? 1.0 : kLargestAmount)) return amount;
  const bool huge = !share && amount.value > kLargestAmount;
  return Misread{trimmed(text) + (amount.value < 0.0 ? " is negative"
                                  : huge             ? " is more than any cellar holds"
                                                     : " is out of range"),
                 share ? "above 0 % and up to 100 %" : "above 0 L", ""};
}

}  // namespace tierce
