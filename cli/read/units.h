// Units of the scenario file: one table; everything reads that table.
#pragma once

#include <string>
#include <vector>

namespace tierce {

/// What a quantity measures. Numbers are kept in the first unit listed in units_of().
enum class Measure {
  volume,
  share,
  share_per_year,
  strength,
  grams_per_litre,
  milligrams_per_litre,
  grams_per_litre_year,
  milligrams_per_litre_year,
  temperature,
  years,
  months,
  mass,
  volume_per_vessel_year,
  relative_density,
  length
};

struct Unit {
  std::string name;
  double factor = 1.0;  // to the base unit
  double offset = 0.0;  // added after scaling (°F)
};

/// Units allowed for a measure; the first is the base unit.
const std::vector<Unit>& units_of(Measure measure);
std::string units_text(Measure measure);  // "L, hL, mL, gal"

/// What was probably meant by a unit that is not allowed, as a hint: "60 cl" gives "write 600 mL".
std::string unit_hint(const std::string& number, const std::string& unit, Measure measure);
/// The whole quantity that was probably meant: "60 cl" gives "600 mL"; empty if nothing is near.
std::string quantity_meant(const std::string& number, const std::string& unit, Measure measure);

}  // namespace tierce
