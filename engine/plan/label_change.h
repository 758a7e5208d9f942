// What would have to change for a claim to hold: the draw, the refill, the lots, or what is printed.
#pragma once

#include <string>
#include <vector>

#include "engine/rules/label_view.h"

namespace tierce {

enum class Remedy {
  none_found,
  figure_holds,      // as it is; rules forbid the statement
  smaller_draws,     // every draw of the habit at most `share` of what it is
  no_smaller_draws,  // none brings the draw there; draws below `share` cannot be tried, for `why_no_less`
  without_parts,     // `names`: parts of the wine that are too young, or of unknown age
  larger_refill,     // of the harvest claimed: `share` is the most that any bottling, `draw`, holds of it
  no_such_harvest,   // no bottling holds any
  other_strength,    // `stated_pct` would hold; none: nothing in whole or half %vol does
  measure_strength,  // it is not known
  other_names,       // no lot states `names`
  state_names,       // of every lot
  never_dose
};

struct LabelChange {
  std::size_t claim = 0;
  const LabelledDraw* draw = nullptr;  // the last one that the claim covers; of larger_refill the one with most
  Remedy remedy = Remedy::none_found;
  double share = kUnknown;
  std::string why_no_less{};
  std::vector<std::string> names{};
  std::vector<double> stated_pct{};
  std::vector<std::string> forbidden_by{};  // rules that do not allow the statement, whatever the figure
};

/// One for each claim that does not hold for the last draw that it covers, where an answer was found.
std::vector<LabelChange> label_changes(const LabelView& view);

/// The names that lots state of grapes, or of where they were grown.
std::vector<std::string> names_of_lots(const LabelView& view, Say say);

}  // namespace tierce
