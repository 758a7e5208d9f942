// What a cask or a tank holds by the depth of its wine.
//
// A lying cask is taken as a solid of revolution whose staves are bent to a parabola: radius = bung - (bung - head) x
// (distance from the middle / half the length)^2. Its contents at a depth are integrated, never looked up or rounded,
// and scaled to the capacity stated. Without a head diameter the cask is a cylinder. The length plays no part in the
// share that is wet. Docs: docs/model.md, gauging by dip; sources: docs/sources.md [cask].
#pragma once

#include <optional>
#include <utility>
#include <vector>

namespace tierce {

/// Inside measures in one unit of length, whichever.
struct CaskShape {
  double bung = 0.0;  // diameter at the bung
  double head = 0.0;  // diameter at the heads; equal to `bung` for a cylinder
};

/// The share of a lying cask that is below a surface `wet` above the lowest stave at the bung. Empty if there is no
/// such cask or depth.
std::optional<double> wet_share(const CaskShape& cask, double wet);

/// The volume of a cask of this length, in the cube of its unit.
double cask_volume(const CaskShape& cask, double length);

/// Depth and litres, in rising order of depth. Between two lines the litres follow a straight line; at depth zero there
/// is nothing. Empty beyond the last line.
using DipTable = std::vector<std::pair<double, double>>;
std::optional<double> litres_at(const DipTable& table, double wet);

}  // namespace tierce
