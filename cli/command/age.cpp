#include "cli/command/asked.h"
#include "cli/command/chosen_wines.h"
#include "cli/command/commands.h"
#include "cli/report/report.h"
#include "cli/report/run_outputs.h"

namespace tierce {

Answer age_command(const Asked& asked) {
  const Outlook outlook = run_scenario(asked.scenario(), asked.span());
  const auto& wanted = asked.options.draw;
  ChosenWines wines;
  wines.draws = chosen_draws(outlook.run.draws, wanted);
  wines.bottlings = chosen_bottlings(outlook.run, wines.draws, wanted);
  if (wines.draws.empty() && (wines.bottlings.empty() || asked.options.certificate))
    return no_such_draw(asked, outlook);
  const std::string why = wanted                      ? ""
                          : wines.draws.front()->past ? "This is the last draw in the log; --draw shows another."
                                                      : "The log holds no draw; this is the first one of the habit.";
  const auto report = [&] {
    return asked.options.certificate ? certificate_report(outlook, wines.draws, asked.units())
                                     : age_report(outlook, wines, why, asked.units());
  };
  return answered(asked, kFine, report, [&] { return object_of({&outlook, &wines}, kAgeOutput); });
}

}  // namespace tierce
