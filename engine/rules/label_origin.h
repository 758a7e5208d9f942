// What a label may say of where wine is from: harvests, varieties, places, and the reserve's beginning.
#pragma once

#include <limits>
#include <vector>

#include "engine/rules/label_facts.h"

namespace tierce {

using Readings = std::vector<LabelReading>;

constexpr double kUnbounded = std::numeric_limits<double>::infinity();
/// One reading; without bounds where the figure is not known.
Readings exactly(double value);

Readings vintage_share(const LabelCase& of, SpiritIn spirit);
Readings variety_share(const LabelCase& of, SpiritIn spirit);
Readings origin_share(const LabelCase& of, SpiritIn spirit);
Readings old_share(const LabelCase& of, SpiritIn spirit);
Readings share_difference(const LabelCase& of, SpiritIn spirit);
Readings least_named_share(const LabelCase& of, SpiritIn spirit);
Readings named_count(const LabelCase& of, SpiritIn spirit);
Readings harvests(const LabelCase& of, SpiritIn spirit);
Readings first_year(const LabelCase& of, SpiritIn spirit);

}  // namespace tierce
