#include "cli/command/asked.h"
#include "cli/command/chosen_wines.h"
#include "cli/command/commands.h"
#include "cli/report/report.h"
#include "cli/report/run_outputs.h"

namespace tierce {

namespace {

std::string why_this_one(const ChosenWines& wines) {
  if (wines.draws.empty()) return "This is the last bottling in the log; --draw shows another.";
  const DrawRecord& draw = *wines.draws.front();
  if (!draw.past) return "The log holds no draw; this is the first one of the habit.";
  return draw.use == Use::bottling ? "This is the last bottling in the log; --draw shows another."
                                   : "The log holds no bottling; this is its last draw. --draw shows another.";
}

}  // namespace

Answer age_command(const Asked& asked) {
  const Outlook outlook = run_scenario(asked.scenario(), asked.span());
  const auto& wanted = asked.options.draw;
  const ChosenWines wines = chosen_wines(outlook.run, wanted);
  std::vector<const DrawRecord*> certified = wines.draws;
  if (!wanted)
    for (const BottlingRecord* bottling : wines.bottlings) certified.push_back(&bottling->wine);
  if (asked.options.certificate ? certified.empty() : wines.draws.empty() && wines.bottlings.empty())
    return no_such_draw(asked, outlook);
  const auto report = [&] {
    const std::string why = wanted ? "" : why_this_one(wines);
    return asked.options.certificate ? certificate_report(outlook, certified, asked.units())
                                     : age_report(outlook, wines, why, asked.units());
  };
  return answered(asked, kFine, report, [&] { return object_of({&outlook, &wines}, kAgeOutput); });
}

}  // namespace tierce
