// Numbers with their units, as text: `225 L`, `18 %vol`, `10 Feb`. One table of units; everything reads that table.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "engine/scenario.h"

namespace tierce {

/// What a quantity measures. The number read is in the first unit listed in units_of().
enum class Measure { volume, share, share_per_year, strength, grams_per_litre, milligrams_per_litre, grams_per_litre_year,
                     milligrams_per_litre_year, temperature, years, months, mass, volume_per_vessel_year, relative_density };

struct Unit {
  std::string name;
  double factor = 1.0;  // to the base unit
  double offset = 0.0;  // added after scaling (°F)
};

/// Units allowed for a measure; the first is the base unit.
const std::vector<Unit>& units_of(Measure measure);
std::string units_text(Measure measure);  // "L, hL, mL, gal"

/// Why a text is no quantity: what is wrong, what is allowed, what was probably meant.
struct Misread {
  std::string what, allowed, hint;
};
template <class T>
using Read = std::variant<T, Misread>;

struct Quantity {
  double value = 0.0;  // in the base unit
  std::string unit;    // as written
};

/// A number and a unit of this measure. No separators, no exponent, a decimal point.
Read<Quantity> read_quantity(const std::string& text, Measure measure);
/// A number alone, as in pH or a count.
Read<double> read_number(const std::string& text);
/// A whole number from `low` to `high`.
Read<int> read_whole(const std::string& text, int low, int high);
Read<Date> read_date(const std::string& text);         // 2027-02-10
Read<DayOfYear> read_day_of_year(const std::string& text);  // 10 Feb
/// `220 L`, `20 %` or `500 x 375 mL`.
Read<Amount> read_amount(const std::string& text, bool share_allowed, bool bottles_allowed);

/// Splits "7.10 EUR/L" into "7.10" and "EUR/L"; spaces trimmed, no-break spaces taken as spaces.
std::pair<std::string, std::string> split_number(const std::string& text);

}  // namespace tierce
