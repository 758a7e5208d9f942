#include "cli/report/page/thinned.h"

#include <algorithm>
#include <cmath>

#include "cli/write/write.h"

namespace tierce {

PageRoom room_for(std::size_t reserves) {
  PageRoom room;
  if (reserves <= 2) return room;
  const auto part = [&](std::size_t of_one, std::size_t least) { return std::max(least, 2 * of_one / reserves); };
  return {.dates = part(room.dates, 20),
          .vintages = part(room.vintages, 20),
          .draws = part(room.draws, 20),
          .points = part(room.points, 60),
          .rows = part(room.rows, 60),
          .tiers = part(room.tiers, 3),
          .parts = part(room.parts, 20)};
}

std::vector<std::size_t> outline(const std::vector<double>& heights, std::size_t most) {
  if (heights.size() <= most) return evenly(heights.size(), heights.size());
  const std::size_t stretches = std::max<std::size_t>(most / 2, 2) - 1;  // and the two ends
  std::vector<std::size_t> chosen = {0};
  for (std::size_t s = 0; s < stretches; ++s) {
    const std::size_t from = s * heights.size() / stretches, to = (s + 1) * heights.size() / stretches;
    std::size_t low = from, high = from;
    for (std::size_t i = from; i < to; ++i) {
      if (heights[i] < heights[low] || std::isnan(heights[low])) low = i;
      if (heights[i] > heights[high] || std::isnan(heights[high])) high = i;
    }
    chosen.push_back(std::min(low, high));
    chosen.push_back(std::max(low, high));
  }
  chosen.push_back(heights.size() - 1);
  chosen.erase(std::unique(chosen.begin(), chosen.end()), chosen.end());
  return chosen;
}

std::string thinned_text(std::size_t shown, std::size_t all, const std::string& things) {
  if (shown >= all) return "";
  const auto count = [](std::size_t n) { return number_text(static_cast<double>(n), Figure::whole, Units::metric); };
  return " " + count(shown) + " of " + count(all) + " " + things + " are shown, spread evenly.";
}

}  // namespace tierce
