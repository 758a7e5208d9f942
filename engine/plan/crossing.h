// Where a smooth figure passes zero.
#pragma once

#include <boost/math/tools/toms748_solve.hpp>
#include <cstdint>
#include <utility>

namespace tierce {

/// The two ends, closer than so many bits, between which it passes zero: its signs at `low` and `high` differ.
template <class Figure>
std::pair<double, double> crossing(const Figure& figure, double low, double high, int bits) {
  std::uintmax_t steps = 200;
  return boost::math::tools::toms748_solve(figure, low, high, boost::math::tools::eps_tolerance<double>(bits), steps);
}

}  // namespace tierce
