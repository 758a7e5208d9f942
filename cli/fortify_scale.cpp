#include "cli/fortify_scale.h"

#include <array>
#include <charconv>
#include <cmath>

#include "engine/must.h"

namespace tierce {
namespace {

// The ends of the OIV must table in Brix, and the sugar there (must.h).
constexpr double kTableLowBrix = 10.0, kTableHighBrix = 30.0;
constexpr double kTableLowGPerL = 82.2, kTableHighGPerL = 308.9;
constexpr double kRounding = 1e-9;  // a figure held as 2.9999999999 is 3

double mark_in_must(double must_sugar_g_l, Scale scale, double temperature_c) {
  const auto sg = sg_from_must_sugar_g_l(must_sugar_g_l);
  return mark_of_sg(sg_shown(*sg, 0.0, temperature_c).value_or(kUnknown), scale);
}

double rounded_towards(double (*direction)(double), double value, int decimals, double nudge) {
  const double step = std::pow(10.0, decimals);
  return direction(value * step + nudge) / step;
}

}  // namespace

const char* unit_of(Scale scale) {
  static constexpr std::array<const char*, 4> kUnits = {"SG", "Bx", "Be", "°Oe"};
  return kUnits[static_cast<std::size_t>(scale)];
}

int decimals_of(Scale scale) { return scale == Scale::sg ? 4 : 1; }

double sg_of_mark(double value, Scale scale) {
  if (scale == Scale::brix) return sg_from_hydrometer_brix(value).value_or(kUnknown);
  if (scale == Scale::baume) return value < 145.0 ? sg_from_baume(value) : kUnknown;
  return scale == Scale::oechsle ? sg_from_oechsle(value) : value;
}

double mark_of_sg(double sg, Scale scale) {
  if (scale == Scale::brix) return hydrometer_brix_from_sg(sg).value_or(kUnknown);
  if (scale == Scale::baume) return baume_from_sg(sg);
  return scale == Scale::oechsle ? oechsle_from_sg(sg) : sg;
}

double must_sugar_from(const HydrometerReading& reading, bool refractometer) {
  if (refractometer) return must_sugar_g_l_from_brix(reading.value).value_or(kUnknown);
  const auto sg = sg_at_20c(sg_of_mark(reading.value, reading.scale), 0.0, reading.temperature_c);
  return must_sugar_g_l_from_sg(sg.value_or(kUnknown)).value_or(kUnknown);
}

MarkRange must_table_range(Scale scale, double temperature_c, bool refractometer) {
  if (refractometer) return {kTableLowBrix, kTableHighBrix};
  return {mark_in_must(kTableLowGPerL, scale, temperature_c), mark_in_must(kTableHighGPerL, scale, temperature_c)};
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
  return fixed_text(rounded_towards(std::ceil, value, decimals, -kRounding), decimals);
}

std::string at_most_text(double value, int decimals) {
  return fixed_text(rounded_towards(std::floor, value, decimals, kRounding), decimals);
}

std::string trimmed_text(double value, int decimals) {
  std::string text = fixed_text(value, decimals);
  if (text.find('.') == std::string::npos) return text;
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

std::string mark_text(double mark, Scale scale) { return fixed_text(mark, decimals_of(scale)) + " " + unit_of(scale); }

}  // namespace tierce
