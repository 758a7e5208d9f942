// What a wine is made of by what its lots state: varieties, origins, costs. By litres now, as ages are.
#pragma once

#include <string>
#include <vector>

#include "engine/run/timeline.h"

namespace tierce {

struct NamedShare {
  std::string name;
  double fraction = 0.0;
};

/// The lot that a parcel is of; null for stock of the opening and for spirit.
const Lot* lot_of(const Timeline& line, const Parcel& parcel);
/// Varieties by falling share; what no lot states is not in the list, so that the sum may be below 1.
std::vector<NamedShare> grapes_of(const Timeline& line, const Amounts& litres);
/// Origins, likewise.
std::vector<NamedShare> grown_of(const Timeline& line, const Amounts& litres);

}  // namespace tierce
