// Values that a comma cuts in two inside braces: `volume: 7,5 L` reads as `volume: 7` and a key `5 L` without a value.
#pragma once

#include <string>

#include "cli/read/date_text.h"
#include "cli/read/yaml_tree.h"

namespace tierce {

/// What a comma cut off from the value of entry `index`, and how many entries it was taken for.
struct CutOff {
  std::size_t entries = 0;  // 0 = nothing was cut
  Misread misread;
};

/// A number cut by a decimal comma or a separator of thousands.
CutOff cut_number(const Node& map, std::size_t index);
/// Text cut by its own comma.
CutOff cut_text(const Node& map, std::size_t index);

}  // namespace tierce
