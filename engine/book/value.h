// A value of the file: where it stands, what is wrong with it, and how an unknown one is held.
#pragma once

#include <cmath>
#include <cstddef>
#include <limits>
#include <string>

namespace tierce {

/// Where a value stands in the file; 1-based; 0 = not from a file.
struct At {
  int line = 0;
  int column = 0;
};

/// A fault, with all that a message needs. `at` is the place to point at.
struct Problem {
  At at{};
  std::string what{};          // what is wrong, one clause
  std::string allowed{};       // what is allowed there; may be empty
  std::string hint{};          // what was probably meant; may be empty
  bool rest_is_sound = false;  // an unknown key: all the same, the rest of the file can be run
};

/// What is probably a slip, or lies where the model is no longer known to hold: it is said, and stops nothing.
struct Remark {
  At at{};
  std::string what{};           // one clause, with its lines
  bool beside_figures = false;  // every report says it; else `tierce check` alone
};

// A value that nobody stated is unknown, and what is mixed with it becomes unknown (design decision 10). NaN does just
// that in every sum and product.
constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
inline bool is_known(double value) { return !std::isnan(value); }
/// Two unknowns are the same.
inline bool same_value(double a, double b) { return a == b || (!is_known(a) && !is_known(b)); }

/// A number of a row, a lot, a day as an index of a list.
constexpr std::size_t nth(int index) { return static_cast<std::size_t>(index); }

}  // namespace tierce
