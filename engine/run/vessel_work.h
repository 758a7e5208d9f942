// Vessels over time: those that come and go, and how a tier is worked from a day on.
#pragma once

#include <optional>

#include "engine/run/run.h"

namespace tierce {

// Each returns a fault and changes nothing, or does the whole act.
std::optional<Fault> apply(Run& run, const Event& event, const BringIn& bring_in);
std::optional<Fault> apply(Run& run, const Event& event, const TakeOut& take_out);
std::optional<Fault> apply(Run& run, const Event& event, const Set& set);

/// An act that names a vessel which is not in the cellar on its day.
std::optional<Fault> not_there(const Run& run, const Event& event);

/// At the end of a day: the dry wood of new vessels takes its part of the wine that lies in them.
void soak(Run& run);

/// The scenario with its tiers as the log leaves them: what a forecast without the log has to start from.
Scenario as_the_log_leaves_it(const Scenario& scenario);

}  // namespace tierce
