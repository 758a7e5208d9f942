#include "cli/report/fortify_scale.h"

#include <array>

#include "cli/write/write.h"
#include "engine/wine/must.h"

namespace tierce {
namespace {

// The ends of the OIV must table in Brix, and the sugar there (must.h).
constexpr double kTableLowBrix = 10.0, kTableHighBrix = 30.0;
constexpr double kTableLowGPerL = 82.2, kTableHighGPerL = 308.9;

double mark_in_must(double must_sugar_g_l, Scale scale, double temperature_c) {
  const auto sg = sg_from_must_sugar_g_l(must_sugar_g_l);
  return mark_of_sg(sg_shown(*sg, 0.0, temperature_c).value_or(kUnknown), scale);
}

}  // namespace

const char* unit_of(Scale scale) {
  static constexpr std::array<const char*, 4> kUnits = {"SG", "Bx", "Be", "°Oe"};
  return kUnits[static_cast<std::size_t>(scale)];
}

int decimals_of(Scale scale) { return scale == Scale::sg ? 4 : 1; }
int known_decimals_of(Scale scale) { return scale == Scale::sg ? 3 : scale == Scale::oechsle ? 0 : 1; }

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

std::string mark_text(double mark, Scale scale) { return fixed_text(mark, decimals_of(scale)) + " " + unit_of(scale); }

}  // namespace tierce
