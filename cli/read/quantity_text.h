// Numbers and amounts as text: `225 L`, `18 %vol`, `500 x 375 mL`.
#pragma once

#include <optional>
#include <string>
#include <utility>

#include "cli/read/date_text.h"
#include "cli/read/units.h"
#include "engine/book/scenario.h"

namespace tierce {

struct Quantity {
  double value = 0.0;  // in the base unit
  std::string unit;    // as written
};

/// A number and a unit of this measure. No separators, no exponent, a decimal point.
Read<Quantity> read_quantity(const std::string& text, Measure measure);
/// A number alone, as in pH.
Read<double> read_number(const std::string& text);
/// A whole number from `low` to `high`.
Read<int> read_whole(const std::string& text, int low, int high);
/// `220 L`, `20 %` or `500 x 375 mL`: above zero, a share up to 100 %.
Read<Amount> read_amount(const std::string& text);
/// `500 x 375 mL`
Read<Amount> read_bottles(const std::string& text);

constexpr double kLargestAmount = 1e9;  // litres, grams or the like in a scenario; more than any cellar holds

/// Splits "7.10 EUR/L" into "7.10" and "EUR/L"; spaces trimmed, no-break spaces taken as spaces.
std::pair<std::string, std::string> split_number(const std::string& text);
/// A number that something cuts short ("1" and ",300 L", "1" and "300 L", "1" and "e3 L"): what, and how to write it.
std::optional<Misread> broken_number(const std::string& number, const std::string& rest);
/// No-break and thin spaces, which word processors put before a unit, and tabs, as plain spaces.
std::string with_plain_spaces(const std::string& text);
std::string trimmed(const std::string& text);
/// The shortest decimal text of a number: 0.375, 1000000.
std::string plain_number(double value);

}  // namespace tierce
