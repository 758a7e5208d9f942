// What somebody wants to print on a label.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "engine/book/value.h"

namespace tierce {

/// What is said on a label.
enum class Say {
  mean_age,
  youngest,
  oldest,
  oldest_share,
  vintage,
  variety,
  origin,
  alcohol,
  sweetness,
  no_added_sulfites,
  quotient,
  started,
  harvests,
  fill,
  figure,
  wording
};

/// What somebody wants to print. Figures in years, %, %vol, g/L, litres or a plain count, as `say` has it.
struct Claim {
  At at;
  Say say = Say::figure;
  std::string written;  // the whole claim in words, as reports show it
  double at_least = kUnknown;
  double at_most = kUnknown;
  double stated = kUnknown;      // the lower end of a range
  double stated_to = kUnknown;   // the upper end; equal to `stated` for one figure
  bool stated_in_proof = false;  // then `stated` was brought to 20 °C; else it is the label's own figure
  int year = 0;
  int before = 0;                                    // oldest share: harvests before this year
  std::vector<std::pair<std::string, double>> of{};  // varieties or origins, with their stated shares in %
  std::string term{};                                // of sweetness or age; of wording: the words themselves
  std::string rule{};                                // the one rule it is held against; empty = the rule sets
  At rule_at{};
  std::string draw{};  // `for`
  At draw_at{};
  int since = 0;                // draws from this year on
  double measured = kUnknown;   // by a laboratory; takes the place of the computed figure
  double error = kUnknown;      // of that figure
  std::string measured_text{};  // as written, where only the rule tells the unit
};

}  // namespace tierce
