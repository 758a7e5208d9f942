// Where a lot is, and what is behind a draw, as tables and as JSON.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cli/write/table.h"
#include "engine/measure/trace.h"
#include "engine/run/outlook.h"

namespace tierce {

/// Everything that a report of a trace reads. `file`: as messages show it.
struct TraceView {
  const Outlook& outlook;
  const Traced& traced;
  std::string file;
  double at_least = 0.0;  // share of the wine of a place, or of the draw, from which a line is shown
};

/// Names of all lots that came into the book.
std::vector<std::string> lots_of(const Traced& traced);

/// Every vessel, tank and bottling that holds some of the lot, and every draw that left the book with it.
Report trace_lot_report(const TraceView& view, const std::string& lot, Units units);
nlohmann::json trace_lot_json(const TraceView& view, const std::string& lot);

/// The lots in some draws and bottlings of the trace, and the lines of the file behind them.
Report trace_draw_report(const TraceView& view, const std::vector<const DrawRecord*>& draws, Units units);
nlohmann::json trace_draw_json(const TraceView& view, const std::vector<const DrawRecord*>& draws);

}  // namespace tierce
