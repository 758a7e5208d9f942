#include "cli/command/asked.h"
#include "cli/command/commands.h"
#include "cli/report/report.h"
#include "cli/report/run_outputs.h"

namespace tierce {

Answer stock_command(const Asked& asked) {
  RunToDay to_day = run_to_day(asked);
  if (!to_day.outlook) return {kBadInput};
  const Outlook& outlook = *to_day.outlook;
  const Stock& shown = outlook.run.looks.back();
  if (outlook.run.stopped) to_day.why = "the habit cannot be kept any longer: " + outlook.run.stopped->problem.what;
  Answer answer = answered(
      asked, status_of(outlook), [&] { return stock_report(outlook, shown, to_day.why, asked.units()); },
      [&] {
        return object_of({&outlook, &shown}, kStockOutput);
      });
  answer.outlook = outlook;
  return answer;
}

}  // namespace tierce
