#include "cli/report/trace.h"

#include <algorithm>

#include "cli/command/asked.h"
#include "cli/command/chosen_wines.h"
#include "cli/command/commands.h"
#include "cli/read/suggest.h"

namespace tierce {
namespace {

Answer traced_as(const Asked& asked, int status, const TraceView& view) {
  return answered(
      asked, status, [&] { return trace_report(view, asked.units()); }, [&] { return object_of(view, kTraceOutput); });
}

Answer trace_lot(const Asked& asked) {
  const RunToDay to_day = run_to_day(asked);
  if (!to_day.outlook) return {kBadInput};
  const Outlook& outlook = *to_day.outlook;
  const Traced traced = trace(outlook.scenario, outlook.line);
  const auto lots = lot_names(traced);
  if (std::find(lots.begin(), lots.end(), *asked.options.lot) == lots.end()) {
    const std::string near = nearest(*asked.options.lot, lots);
    return refuse(asked.path() + ": no wine of a lot '" + *asked.options.lot + "' came into the book by then; " +
                  (near.empty() ? "lots: " + listed_briefly(lots) : did_you_mean(near)));
  }
  return traced_as(asked, status_of(outlook),
                   {outlook, traced, asked.path(), asked.options.at_least, asked.options.lot});
}

Answer trace_draw(const Asked& asked) {
  const Outlook outlook = run_scenario(asked.scenario(), {});
  const Traced traced = trace(outlook.scenario, outlook.line);
  const ChosenWines chosen = chosen_wines(traced.run, asked.options.draw);
  auto wines = chosen.draws;
  for (const BottlingRecord* bottling : chosen.bottlings) wines.push_back(&bottling->wine);
  if (wines.empty()) return no_such_draw(asked, outlook);
  return traced_as(asked, kFine, {outlook, traced, asked.path(), asked.options.at_least, {}, wines});
}

}  // namespace

Answer trace_command(const Asked& asked) {
  if (asked.options.lot.has_value() == asked.options.draw.has_value())
    return refuse("trace: one of --lot NAME (where it is) and --draw NAME (what is behind it)");
  if (asked.options.draw && asked.options.on) return refuse("trace: --on belongs to --lot; a draw has its own day");
  return asked.options.lot ? trace_lot(asked) : trace_draw(asked);
}

}  // namespace tierce
