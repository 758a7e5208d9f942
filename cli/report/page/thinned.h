// What a chart of some hundred pixels and a list on a page can show: of a long series a part, spread evenly.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "engine/measure/evenly.h"

namespace tierce {

/// How much of each kind of thing a page shows of one reserve; the commands themselves show all.
struct PageRoom {
  std::size_t dates = 100;    // at which the vintages of a tier are drawn
  std::size_t vintages = 60;  // bands of one chart
  std::size_t draws = 100;    // to choose among
  std::size_t points = 240;   // of one line
  std::size_t rows = 400;     // of one table, and lines of one sheet
  std::size_t tiers = 12;     // with charts of their own
  std::size_t parts = 60;     // of one draw, each a bar
};

/// Room on a page that several reserves share.
PageRoom room_for(std::size_t reserves);

/// At most `most` points of a line: of each stretch the highest and the lowest, so that no peak is lost. A height that
/// is not a number lies nowhere.
std::vector<std::size_t> outline(const std::vector<double>& heights, std::size_t most);

/// " 100 of 999 draws are shown, spread evenly."; empty where all are.
std::string thinned_text(std::size_t shown, std::size_t all, const std::string& things);

}  // namespace tierce
