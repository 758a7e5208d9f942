// How old what is drawn in a year is.
#pragma once

#include "engine/run/outlook.h"

namespace tierce {

/// Ages of all draws of a year, by volume; unknown in a year without one.
struct AgesOfYear {
  double mean_y = kUnknown;
  double youngest_y = kUnknown;
  double mean_at_least_y = kUnknown;
  double youngest_at_least_y = kUnknown;
};
AgesOfYear ages_of_year(const Outlook& outlook, int year);

}  // namespace tierce
