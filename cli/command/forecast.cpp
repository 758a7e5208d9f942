#include "cli/command/asked.h"
#include "cli/command/commands.h"
#include "cli/report/chart.h"
#include "cli/report/harvests.h"
#include "cli/report/report.h"
#include "cli/report/run_outputs.h"
#include "engine/plan/long_run.h"

namespace tierce {

Answer forecast_command(const Asked& asked) {
  if (asked.options.chart) {
    const Outlook looked = run_with_year_ends(asked.scenario(), asked.span());
    return answered(
        asked, status_of(looked), [&] { return chart_report(looked, asked.units()); },
        [] { return Value(); });  // --chart with --json is refused before
  }
  const Outlook outlook = run_scenario(asked.scenario(), asked.span());
  if (asked.options.vintages)
    return answered(
        asked, status_of(outlook), [&] { return harvests_report(outlook, asked.units()); }, [] { return Value(); });
  const LongRun settled = long_run(asked.scenario());
  return answered(
      asked, status_of(outlook), [&] { return forecast_report(outlook, settled, asked.units()); },
      [&] {
        return object_of({&outlook, &settled}, kForecastOutput);
      });
}

}  // namespace tierce
