#include "cli/report/dose.h"

#include "cli/command/asked.h"
#include "cli/command/commands.h"

namespace tierce {

Answer dose_command(const Asked& asked) {
  const Outlook outlook = run_scenario(asked.scenario(), asked.span());
  return answered(
      asked, status_of(outlook), [&] { return dose_report(outlook, asked.units()); },
      [&] { return dose_json(outlook); });
}

}  // namespace tierce
