// Where something ends that holds on one side and fails on the other.
#pragma once

#include <algorithm>
#include <cmath>

namespace tierce {

/// Halved so often, or until what is left between is `near` of the smaller; the last value for which it holds.
template <class Holds>
double bisect(double holds, double fails, int halvings, const Holds& it_holds, double near = 0.0) {
  for (int i = 0; i < halvings && std::abs(fails - holds) > near * std::min(std::abs(holds), std::abs(fails)); ++i) {
    const double middle = 0.5 * (holds + fails);
    (it_holds(middle) ? holds : fails) = middle;
  }
  return holds;
}

}  // namespace tierce
