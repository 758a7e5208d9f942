#include "cli/report/losses.h"

#include "cli/command/asked.h"
#include "cli/command/commands.h"
#include "cli/report/premises.h"

namespace tierce {
namespace {

double allowance_of(const Options& options, const Scenario& scenario) {
  return options.allowance.value_or(scenario.allowance_per_year);
}

}  // namespace

Answer losses_command(const Asked& asked) {
  const Date last = last_entry(asked.scenario());
  if (last.year == 0) return refuse(asked.path() + ": the book is empty, so nothing was lost");
  const Outlook outlook =
      run_scenario(asked.scenario(), {.habit = false, .end_on = last});  // what was, not what will be
  const double allowance = allowance_of(asked.options, asked.scenario());
  Answer answer = answered(
      asked, kFine,
      [&] {
        return losses_report({outlook, allowance}, asked.units());
      },
      [&] {
        return object_of({outlook, allowance}, kLossesOutput);
      });
  answer.outlook = outlook;
  return answer;
}

Answer losses_of_all(const Asked& first, const std::vector<Outlook>& reserves) {
  double allowance = allowance_of(first.options, first.scenario());
  for (const Outlook& outlook : reserves)
    if (allowance_of(first.options, outlook.scenario) != allowance) allowance = kUnknown;  // no one number for all
  return answered(
      first, kFine,
      [&] {
        return premises_losses_report({reserves, allowance}, first.units());
      },
      [&] {
        return object_of({reserves, allowance}, kPremisesLosses);
      });
}

Answer stock_of_all(const Asked& first, const std::vector<Outlook>& reserves) {
  return answered(
      first, kFine, [&] { return premises_stock_report(reserves, first.units()); },
      [&] { return object_of(reserves, kPremisesStock); });
}

}  // namespace tierce
