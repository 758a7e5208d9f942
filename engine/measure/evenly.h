// A part of a long series.
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace tierce {

/// At most `most` of the numbers 0 to count - 1, spread evenly, the first and the last among them.
inline std::vector<std::size_t> evenly(std::size_t count, std::size_t most) {
  const std::size_t taken = std::min(count, std::max<std::size_t>(most, 2));
  std::vector<std::size_t> chosen;
  for (std::size_t i = 0; i < taken; ++i) chosen.push_back(taken < 2 ? i : i * (count - 1) / (taken - 1));
  return chosen;
}

}  // namespace tierce
