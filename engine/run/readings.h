// What was measured: gauges, analyses, and the doses that are worked out from the state of the wine.
#pragma once

#include <optional>

#include "engine/run/run.h"

namespace tierce {

std::optional<Fault> apply(Run& run, const Event& event, const Gauge& gauge);
std::optional<Fault> apply(Run& run, const Event& event, const Analyse& analyse);
std::optional<Fault> apply(Run& run, const Event& event, const Dose& dose);

}  // namespace tierce
