#include "cli/report/check.h"

#include "cli/command/asked.h"
#include "cli/command/commands.h"

namespace tierce {

Answer check_command(const Asked& asked) {
  const Outlook outlook = run_scenario(asked.scenario(), {});
  const int status = status_of(outlook);
  if (asked.options.format == Format::csv) return refuse("check prints no table, so it has no CSV");
  const CheckView of{asked.path(), {}, &outlook};
  return {status, text_of(check_report(of), Units::metric), json_text(object_of(of, kCheckOutput))};
}

}  // namespace tierce
