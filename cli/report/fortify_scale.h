// The hydrometer scales as cellars read them (SG, Brix, Baumé, Oechsle), and what a reading says of must.
#pragma once

#include <optional>
#include <string>

#include "engine/book/scenario.h"

namespace tierce {

enum class Scale { sg, brix, baume, oechsle };  // in the order of units_of(Measure::relative_density)

/// What an instrument graduated for 20 °C shows. Brix are those of a hydrometer unless a refractometer is named.
struct HydrometerReading {
  double value = 0.0;
  Scale scale = Scale::sg;
  double temperature_c = 20.0;  // of the must when it was read
};

const char* unit_of(Scale scale);
int decimals_of(Scale scale);        // to which a reading that somebody made is printed
int known_decimals_of(Scale scale);  // and one that is reckoned: known to some 0.002 SG (docs/fortify.md)

/// SG of the mark; unknown off the scale (Brix 0..50, Baumé below 145).
double sg_of_mark(double value, Scale scale);
/// The mark of this SG: the inverse. Unknown in Brix for what is lighter than water.
double mark_of_sg(double sg, Scale scale);

/// Sugar in g/L of must before it ferments, from a reading, by the OIV table (must.h). Unknown off the table. A
/// refractometer, in Brix, is taken as read at 20 °C or compensated: no correction is made.
double must_sugar_from(const HydrometerReading& reading, bool refractometer);
/// The readings, at that temperature, at which the table begins and ends.
struct MarkRange {
  double low = kUnknown;
  double high = kUnknown;
};
MarkRange must_table_range(Scale scale, double temperature_c, bool refractometer);

/// "1.0450 SG"
std::string mark_text(double mark, Scale scale);

}  // namespace tierce
