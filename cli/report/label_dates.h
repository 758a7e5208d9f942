// What a label printed today meets that the draw did not meet on its day, or no longer.
#pragma once

#include <string>
#include <vector>

#include "cli/report/label.h"

namespace tierce {

/// One rule or class that is in force on one of the two days only.
struct ThenAndToday {
  std::string claim{};  // as written; empty for what every draw is held against
  std::string by{};     // rule or class
  std::string then{};   // a verdict, "needed", "in this class", or "not in force"
  std::string today{};
};

/// Of a draw in the book; nothing where today is not known or all is the same.
std::vector<ThenAndToday> changed_since(const LabelView& view, const LabelledDraw& labelled);

}  // namespace tierce
