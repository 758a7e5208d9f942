#include "cli/io/number_text.h"

#include <array>
#include <charconv>
#include <cmath>

#include "engine/book/value.h"

namespace tierce {
namespace {

constexpr double kHair = 1e-9;  // a figure held as 2.9999999999 is 3

double rounded_towards(double (*direction)(double), double value, int decimals, double nudge) {
  const double step = std::pow(10.0, decimals);
  return direction(value * step + nudge) / step;
}

}  // namespace

std::string with_commas(std::string digits) {
  auto at = digits.find('.');
  if (at == std::string::npos) at = digits.size();
  const std::size_t first = digits.starts_with('-') ? 1 : 0;
  while (at > first + 3) digits.insert(at -= 3, ",");
  return digits;
}

std::string decimal_text(double value, int decimals, Rounding rounding, bool commas) {
  if (!is_known(value)) return "-";
  if (rounding == Rounding::down) value = rounded_towards(std::floor, value, decimals, kHair);
  if (rounding == Rounding::up) value = rounded_towards(std::ceil, value, decimals, -kHair);
  const std::string digits = fixed_text(value, decimals);
  return commas ? with_commas(digits) : digits;
}

std::string decimal_text(double value, int decimals, bool down, bool commas) {
  return decimal_text(value, decimals, down ? Rounding::down : Rounding::nearest, commas);
}

std::string fixed_text(double value, int decimals) {
  std::array<char, 400> digits{};
  const auto end =
      std::to_chars(digits.data(), digits.data() + digits.size(), value, std::chars_format::fixed, decimals);
  std::string text(digits.data(), end.ptr);
  if (text.starts_with('-') && text.find_first_not_of("-0.") == std::string::npos) text.erase(0, 1);
  return text;
}

std::string at_least_text(double value, int decimals) {
  return fixed_text(rounded_towards(std::ceil, value, decimals, -kHair), decimals);
}

std::string at_most_text(double value, int decimals) {
  return fixed_text(rounded_towards(std::floor, value, decimals, kHair), decimals);
}

std::string trimmed_text(double value, int decimals) {
  std::string text = fixed_text(value, decimals);
  if (text.find('.') == std::string::npos) return text;
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

}  // namespace tierce
