#include "engine/run/outlook.h"

#include <algorithm>

#include "engine/run/simulate.h"
#include "engine/wine/alcoholometry.h"

namespace tierce {

Outlook run_scenario(const Scenario& scenario, const Span& span) {
  Outlook outlook{scenario, timeline(scenario, span), {}};
  outlook.run = simulate(outlook.scenario, outlook.line);
  return outlook;
}

Outlook run_with_year_ends(const Scenario& scenario, const Span& span) {
  const Outlook first = run_scenario(scenario, span);  // tells the years there are
  Span looking = span;
  for (const YearFlows& year : first.run.flows.years)
    if (year.closed == Date{year.year, 12, 31}) looking.looks.push_back(year.closed);
  return run_scenario(scenario, looking);
}

Date last_entry(const Scenario& scenario) {
  Date last{0, 1, 1};
  for (const Opening& opening : scenario.opening) last = std::max(last, opening.date);
  for (const Entry& entry : scenario.log) last = std::max(last, entry.date);
  return last;
}

bool holds_spirits(const Outlook& outlook) {
  if (outlook.run.looks.empty()) return false;
  const Stock& stock = outlook.run.looks.back();
  for (int row = 0; row < outlook.scenario.rows(); ++row)
    if (stock.alcohol_pct(row) > kNoWineAbovePct) return true;
  return false;
}

double proof_gallons_of(double volume_l, double alcohol_l) {
  if (!(volume_l > 0.0) || !is_known(alcohol_l)) return kUnknown;
  return proof_gallons(volume_l, 100.0 * alcohol_l / volume_l).value_or(kUnknown);
}

}  // namespace tierce
