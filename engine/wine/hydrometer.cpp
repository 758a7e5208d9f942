#include "engine/wine/hydrometer.h"

#include <limits>

#include "engine/wine/must.h"

namespace tierce {
namespace {

constexpr double kOffTheScale = std::numeric_limits<double>::quiet_NaN();  // and off the table: unknown

// The ends of the OIV must table in Brix, and the sugar there (must.h).
constexpr double kTableLowBrix = 10.0, kTableHighBrix = 30.0;
constexpr double kTableLowGPerL = 82.2, kTableHighGPerL = 308.9;

double mark_in_must(double must_sugar_g_l, Scale scale, double temperature_c) {
  const auto sg = sg_from_must_sugar_g_l(must_sugar_g_l);
  return mark_of_sg(sg_shown(*sg, 0.0, temperature_c).value_or(kOffTheScale), scale);
}

}  // namespace

int decimals_read(Scale scale) { return scale == Scale::sg ? 4 : 1; }

double sg_of_mark(double value, Scale scale) {
  if (scale == Scale::brix) return sg_from_hydrometer_brix(value).value_or(kOffTheScale);
  if (scale == Scale::baume) return value < 145.0 ? sg_from_baume(value) : kOffTheScale;
  return scale == Scale::oechsle ? sg_from_oechsle(value) : value;
}

double mark_of_sg(double sg, Scale scale) {
  if (scale == Scale::brix) return hydrometer_brix_from_sg(sg).value_or(kOffTheScale);
  if (scale == Scale::baume) return baume_from_sg(sg);
  return scale == Scale::oechsle ? oechsle_from_sg(sg) : sg;
}

double must_sugar_from(const HydrometerReading& reading, bool refractometer) {
  if (refractometer) return must_sugar_g_l_from_brix(reading.value).value_or(kOffTheScale);
  const auto sg = sg_at_20c(sg_of_mark(reading.value, reading.scale), 0.0, reading.temperature_c);
  return must_sugar_g_l_from_sg(sg.value_or(kOffTheScale)).value_or(kOffTheScale);
}

MarkRange must_table_range(Scale scale, double temperature_c, bool refractometer) {
  if (refractometer) return {kTableLowBrix, kTableHighBrix};
  return {mark_in_must(kTableLowGPerL, scale, temperature_c), mark_in_must(kTableHighGPerL, scale, temperature_c)};
}

}  // namespace tierce
