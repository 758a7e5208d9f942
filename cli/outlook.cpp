#include "cli/outlook.h"

#include <algorithm>

#include "cli/suggest.h"
#include "cli/write.h"
#include "engine/simulate.h"

namespace tierce {
namespace {

std::string clock_text(Clock clock) {
  if (clock == Clock::entry) return "Ages count from the day a lot entered a tier.";
  if (clock == Clock::wood) return "Ages count the time spent in wooden tiers.";
  return "Ages count from the harvest.";
}

void evaporation_defaults(const Scenario& scenario, std::vector<std::string>& lines) {
  std::vector<std::string> names;
  for (const Tier& tier : scenario.tiers)
    if (!tier.evaporation.stated) names.push_back(tier.name);
  if (!names.empty()) lines.push_back("Default: 3 %/yr of evaporation in " + listed(names) + ".");
}

void sulfur_defaults(const Outlook& outlook, std::vector<std::string>& lines) {
  const Scenario& scenario = outlook.scenario;
  if (outlook.run.looks.empty()) return;
  const auto totals = outlook.run.looks.back().solutes.col(kSo2Total);
  const bool any_known = std::any_of(totals.begin(), totals.end(), [](double mg) { return is_known(mg) && mg > 0.0; });
  if (!any_known) return;
  const bool stated = scenario.so2_loss || std::all_of(scenario.tiers.begin(), scenario.tiers.end(), [](const Tier& tier) { return tier.so2_loss.has_value(); });
  if (!stated) lines.push_back("Default: SO2 is lost at 90 %/yr of the free where acetaldehyde is known, else at 40 %/yr of the total.");
  if (!scenario.so2_binding_stated && !outlook.run.doses.empty()) lines.push_back("Default: a third of an SO2 addition binds where acetaldehyde is not known.");
}

}  // namespace

Outlook run_scenario(const Scenario& scenario, const Span& span) {
  Outlook outlook{scenario, timeline(scenario, span), {}};
  outlook.run = simulate(outlook.scenario, outlook.line);
  return outlook;
}

double molecular_mg_l(const Scenario& scenario, double free_mg_l, double ph, double alcohol_pct) {
  if (!is_known(free_mg_l) || !is_known(ph) || !is_known(alcohol_pct)) return kUnknown;
  const double cellar_c = is_known(scenario.cellar.temperature_c) ? scenario.cellar.temperature_c : kDefaultCellarC;
  return molecular_so2_mg_l(free_mg_l, ph, so2_pk(scenario.so2_pk, alcohol_pct, cellar_c).value);
}

std::vector<std::string> assumptions(const Outlook& outlook) {
  std::vector<std::string> lines = {clock_text(outlook.scenario.clock)};
  lines.push_back("The vessels of a tier are taken to hold the same wine and to differ only in level.");
  evaporation_defaults(outlook.scenario, lines);
  sulfur_defaults(outlook, lines);
  if (!outlook.scenario.habit.empty() && !outlook.scenario.until && outlook.run.flows.years.size() > 1) lines.push_back("Default: the forecast runs to the end of " + std::to_string(outlook.run.flows.years.back().year) + ".");
  for (const std::string& line : outlook.line.assumed) lines.push_back("Note: " + line + ".");
  return lines;
}

}  // namespace tierce
