// How the rows of scenario_keys.h are written down. Only the files that hold such rows include this.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "cli/read/quantity_text.h"
#include "cli/read/scenario_keys.h"

namespace tierce::rows {

constexpr Range kAmountAboveZero{0.0, kLargestAmount, true};
constexpr Range kAmount{0.0, kLargestAmount, false};
constexpr Range kFraction{0.0, 1.0, false};
constexpr Range kFractionAboveZero{0.0, 1.0, true};
constexpr Range kStrength{0.0, 100.0, false};
constexpr bool kRequired = true;
constexpr bool kOptional = false;

inline Key quantity(std::string name, Measure measure, Range range, bool required, std::string standard,
                    std::string meaning) {
  return {std::move(name), Form::quantity, measure, range, required, std::move(standard), std::move(meaning), {}};
}
inline Key plain(std::string name, Form form, bool required, std::string standard, std::string meaning) {
  return {std::move(name), form, Measure::volume, {}, required, std::move(standard), std::move(meaning), {}};
}
inline Key number(std::string name, Range range, std::string standard, std::string meaning) {
  return {std::move(name), Form::number,        Measure::volume,    range,
          kOptional,       std::move(standard), std::move(meaning), {}};
}
inline Key whole(std::string name, double low, double high, std::string standard, std::string meaning) {
  const Range range{low, high, false};
  return {std::move(name), Form::whole, Measure::volume, range, kOptional, std::move(standard), std::move(meaning), {}};
}
inline Key choice(std::string name, std::vector<std::string> choices, std::string standard, std::string meaning) {
  return {std::move(name), Form::choice,        Measure::volume,    {},
          kOptional,       std::move(standard), std::move(meaning), std::move(choices)};
}

inline std::vector<Key> joined(std::vector<Key> first, const std::vector<Key>& then) {
  first.insert(first.end(), then.begin(), then.end());
  return first;
}

/// What a laboratory reports of a wine: the same keys for a lot, an opening stock and an analysis.
std::vector<Key> wine_keys(bool alcohol_required);

/// What a dip needs: the same keys for a vessel and for one that is brought in.
std::vector<Key> dip_keys();

}  // namespace tierce::rows
