// What a book holds otherwise than another.
#pragma once

#include <string>
#include <vector>

#include "engine/book/scenario.h"

namespace tierce {

/// What a tier or tank holds on the last day of the book, without some entries and with them.
struct ChangedPlace {
  std::string place;
  double before_l = 0.0, after_l = 0.0;
};
std::vector<ChangedPlace> changed_places(const Scenario& before, const Scenario& after, const Date& day);

}  // namespace tierce
