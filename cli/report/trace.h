// Where a lot is, and what is behind a draw.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/write/document.h"
#include "cli/write/field.h"
#include "engine/measure/trace.h"
#include "engine/run/outlook.h"

namespace tierce {

/// Everything that a report of a trace reads: of a lot, or of draws and bottlings of the trace. `file`: as messages
/// show it.
struct TraceView {
  const Outlook& outlook;
  const Traced& traced;
  std::string file;
  double at_least = 0.0;  // share of the wine of a place, or of the draw, from which a line is shown
  std::optional<std::string> lot{};
  std::vector<const DrawRecord*> draws{};
};

extern const Shape<TraceView> kTraceOutput;
Document trace_report(const TraceView& view, Units units);

}  // namespace tierce
