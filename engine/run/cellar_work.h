// What people do to the wine: each verb of the book that moves wine, applied to the stock and written down.
#pragma once

#include <optional>

#include "engine/run/run.h"

namespace tierce {

// Each returns a fault and changes nothing, or does the whole act.
std::optional<Fault> apply(Run& run, const Event& event, const Open& open);
std::optional<Fault> apply(Run& run, const Event& event, const Add& add);
std::optional<Fault> apply(Run& run, const Event& event, const Move& move);
std::optional<Fault> apply(Run& run, const Event& event, const Refill& refill);
std::optional<Fault> apply(Run& run, const Event& event, const Lose& lose);

/// A vessel that holds more than its capacity, looked for at the end of a day.
std::optional<Fault> overfull(const Run& run, int row);

}  // namespace tierce
