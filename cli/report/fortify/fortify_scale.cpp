#include "cli/report/fortify/fortify_scale.h"

#include <array>

#include "cli/write/write.h"

namespace tierce {

const char* unit_of(Scale scale) {
  static constexpr std::array<const char*, 4> kUnits = {"SG", "Bx", "Be", "°Oe"};
  return kUnits[static_cast<std::size_t>(scale)];
}

int known_decimals_of(Scale scale) { return scale == Scale::sg ? 3 : scale == Scale::oechsle ? 0 : 1; }

std::string mark_text(double mark, Scale scale) {
  return fixed_text(mark, decimals_read(scale)) + " " + unit_of(scale);
}

}  // namespace tierce
