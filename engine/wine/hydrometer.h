// Hydrometer scales as cellars read them (SG, Brix, Baumé, Oechsle), and what a reading says of must.
#pragma once

#include <variant>

namespace tierce {

enum class Scale { sg, brix, baume, oechsle };

/// What an instrument graduated for 20 °C shows. Brix are those of a hydrometer unless a refractometer is named.
struct HydrometerReading {
  double value = 0.0;
  Scale scale = Scale::sg;
  double temperature_c = 20.0;  // of the must when it was read
};

/// Nothing, an amount (g/L of sugar, %vol of alcohol), or what a hydrometer shows.
using AmountOrReading = std::variant<std::monostate, double, HydrometerReading>;

/// SG of the mark; unknown off the scale (Brix 0..50, Baumé below 145).
double sg_of_mark(double value, Scale scale);
/// The mark of this SG: the inverse. Unknown in Brix for what is lighter than water.
double mark_of_sg(double sg, Scale scale);
/// Decimals to which an instrument of this scale is read.
int decimals_read(Scale scale);

/// Sugar in g/L of must before it ferments, from a reading, by the OIV table (must.h). Unknown off the table. A
/// refractometer, in Brix, is taken as read at 20 °C or compensated: no correction is made.
double must_sugar_from(const HydrometerReading& reading, bool refractometer);
/// The readings, at that temperature, at which the table begins and ends.
struct MarkRange {
  double low;
  double high;
};
MarkRange must_table_range(Scale scale, double temperature_c, bool refractometer);

}  // namespace tierce
