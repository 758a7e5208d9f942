#include "cli/read/units.h"

#include <algorithm>
#include <array>
#include <cctype>

#include "cli/read/quantity_text.h"
#include "cli/read/suggest.h"
#include "engine/wine/units.h"

namespace tierce {
namespace {

constexpr double kGramsPerOunce = 28.349523125;  // avoirdupois, exact: 0.45359237 kg / 16

/// What people write in place of an allowed unit. Only a hint is made of it: nothing is read that is not allowed.
struct Habit {
  Measure measure;
  const char* written;  // small letters, without spaces and points
  const char* unit;     // the allowed one
  double factor = 1.0;  // written x factor = allowed
};

constexpr Habit kHabits[] = {
    {Measure::volume, "litre", "L"},
    {Measure::volume, "litres", "L"},
    {Measure::volume, "liter", "L"},
    {Measure::volume, "liters", "L"},
    {Measure::volume, "lt", "L"},
    {Measure::volume, "ltr", "L"},
    {Measure::volume, "cl", "mL", 10.0},
    {Measure::volume, "dl", "mL", 100.0},
    {Measure::volume, "m3", "hL", 10.0},
    {Measure::volume, "m³", "hL", 10.0},
    {Measure::volume, "gallon", "gal"},
    {Measure::volume, "gallons", "gal"},
    {Measure::share, "percent", "%"},
    {Measure::share, "pct", "%"},
    {Measure::share_per_year, "%", "%/yr"},
    {Measure::share_per_year, "%/year", "%/yr"},
    {Measure::share_per_year, "%/y", "%/yr"},
    {Measure::share_per_year, "%/a", "%/yr"},
    {Measure::share_per_year, "%peryear", "%/yr"},
    {Measure::share_per_year, "%ayear", "%/yr"},
    {Measure::strength, "%", "%vol"},
    {Measure::strength, "°", "%vol"},
    {Measure::strength, "vol%", "%vol"},
    {Measure::strength, "%abv", "%vol"},
    {Measure::strength, "abv", "%vol"},
    {Measure::strength, "%v/v", "%vol"},
    {Measure::milligrams_per_litre, "ppm", "mg/L"},
    {Measure::milligrams_per_litre_year, "mg/l", "mg/L/yr"},
    {Measure::milligrams_per_litre_year, "mg/l/year", "mg/L/yr"},
    {Measure::grams_per_litre_year, "g/l", "g/L/yr"},
    {Measure::grams_per_litre_year, "g/l/year", "g/L/yr"},
    {Measure::temperature, "c", "°C"},
    {Measure::temperature, "degc", "°C"},
    {Measure::temperature, "°", "°C"},
    {Measure::temperature, "f", "°F"},
    {Measure::temperature, "degf", "°F"},
    {Measure::years, "y", "years"},
    {Measure::years, "yr", "years"},
    {Measure::years, "yrs", "years"},
    {Measure::months, "mo", "months"},
    {Measure::mass, "gram", "g"},
    {Measure::mass, "grams", "g"},
    {Measure::mass, "gr", "g"},
    {Measure::mass, "mg", "g", 0.001},
    {Measure::mass, "lb", "oz", 16.0},
    {Measure::mass, "lbs", "oz", 16.0},
    {Measure::volume_per_vessel_year, "l/yr", "L/yr per vessel"},
    {Measure::volume_per_vessel_year, "gal/yr", "gal/yr per vessel"},
    {Measure::length, "\"", "in"},
    {Measure::length, "inch", "in"},
    {Measure::length, "inches", "in"},
    {Measure::length, "feet", "ft"},
    {Measure::relative_density, "brix", "Bx"},
    {Measure::relative_density, "°brix", "Bx"},
    {Measure::relative_density, "°bx", "Bx"},
    {Measure::relative_density, "baume", "Be"},
    {Measure::relative_density, "°be", "Be"},
    {Measure::relative_density, "°bé", "Be"},
    {Measure::relative_density, "oe", "°Oe"},
    {Measure::relative_density, "oechsle", "°Oe"},
};

/// Small letters, without spaces and points.
std::string simplified(const std::string& unit) {
  std::string text;
  for (const char c : unit)
    if (c != ' ' && c != '.') text += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

/// The unit that was probably meant, and what brings the number to it; without a name if none is near.
struct UnitMeant {
  std::string name{};
  double factor = 1.0;
};

UnitMeant unit_meant(const std::string& unit, Measure measure) {
  const std::string plain = simplified(unit);
  for (const Habit& habit : kHabits)
    if (habit.measure == measure && plain == habit.written) return {habit.unit, habit.factor};
  std::vector<std::string> names;
  for (const Unit& known : units_of(measure)) {
    if (simplified(known.name) == plain) return {known.name};
    names.push_back(known.name);
  }
  return {nearest(unit, names)};
}

}  // namespace

const std::vector<Unit>& units_of(Measure measure) {
  static const std::array<std::vector<Unit>, 15> kUnits = {{
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
      {{"cm"}, {"mm", 0.1}, {"m", 100.0}, {"in", 2.54}, {"ft", 30.48}},
  }};
  return kUnits[static_cast<std::size_t>(measure)];
}

std::string units_text(Measure measure) {
  std::string text;
  for (const Unit& unit : units_of(measure)) text += (text.empty() ? "" : ", ") + unit.name;
  return text;
}

std::string unit_hint(const std::string& number, const std::string& unit, Measure measure) {
  const UnitMeant meant = unit_meant(unit, measure);
  if (meant.factor == 1.0 || std::holds_alternative<Misread>(read_number(number))) return did_you_mean(meant.name);
  return "write " + quantity_meant(number, unit, measure);
}

std::string quantity_meant(const std::string& number, const std::string& unit, Measure measure) {
  const UnitMeant meant = unit_meant(unit, measure);
  const auto value = read_number(number);
  if (meant.name.empty() || std::holds_alternative<Misread>(value)) return "";
  return (meant.factor == 1.0 ? number : plain_number(std::get<double>(value) * meant.factor)) + ' ' + meant.name;
}

}  // namespace tierce
