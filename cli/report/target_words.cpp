// Why an age cannot be had, and what would make it possible.
#include <algorithm>

#include "cli/read/suggest.h"
#include "cli/report/target.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

std::string years_text(double years) { return figure_text(years, Figure::age, Units::metric); }

/// In one tier the ceiling is the age of the new wine and one over the loss.
std::string one_tier_text(const TargetAnswer& answer, const AgeTarget& target) {
  const Tier& tier = answer.outlook.scenario.tiers.front();
  const double loss = tier.evaporation.per_year;
  const bool share = tier.evaporation.kind == Evaporation::Kind::share && loss > 0.0;
  if (answer.outlook.scenario.tier_count() > 1 || !share) return "";
  const double waits_y = target.ceiling_y - answer.long_run.entry_age_y;
  if (!(std::abs(waits_y - 1.0 / loss) < 1e-4)) return "";
  return " (with " + trimmed_text(100.0 * loss, 2) + " %/yr of loss " + trimmed_text(1.0 / loss, 2) +
         " years and the age of the new wine)";
}

/// What is known where the least draws have no lasting state, as a vapour that is as strong as the wine takes all its
/// alcohol: the highest age that was found.
std::string why_no_ceiling_known(const TargetAnswer& answer, const AgeTarget& target) {
  const Scenario& scenario = answer.outlook.scenario;
  double strongest_pct = 0.0;
  for (const Lot& lot : scenario.lots) strongest_pct = std::max(strongest_pct, lot.wine.alcohol_pct);
  std::vector<std::string> tiers;
  for (const Tier& tier : scenario.tiers)
    if (tier.evaporation.per_year > 0.0 && tier.vapour_pct >= strongest_pct) tiers.push_back(tier.name);
  std::string text = "no draw that was tried comes to it";
  const ShareTrial& best = target.in_the_long_run.at;
  if (is_known(best.last[target.kind]))
    text += ", the highest age is " + years_text(best.last[target.kind]) + " with " +
            figure_text(best.share, Figure::share, Units::metric) + " of what is held";
  text += "; with next to nothing drawn the wine has no lasting state";
  if (!tiers.empty())
    text += ": what evaporates from " + listed(tiers) + " is as strong as the wine or stronger, and takes its alcohol";
  return text;
}

}  // namespace

std::string why_never(const TargetAnswer& answer, const AgeTarget& target) {
  const Scenario& scenario = answer.outlook.scenario;
  const std::string entry = is_known(answer.long_run.entry_age_y)
                                ? "the new wine is " + years_text(answer.long_run.entry_age_y) + " old when it enters"
                                : "new wine keeps coming in";
  if (target.by_forecast())
    return "the forecast to " + std::to_string(answer.last_year) + " comes to " +
           upper_figure_text(target.at_the_last.highest_y, Figure::age, Units::metric) +
           " at most, however little is drawn";
  if (target.kind == AgeKind::youngest)
    return entry + ", and " +
           (scenario.tier_count() == 1 ? "one tier" : std::to_string(scenario.tier_count()) + " tiers") +
           " and the time between two refreshes bring its youngest part to " + years_text(target.ceiling_y) +
           ", whatever is drawn";
  if (!is_known(target.ceiling_y)) return why_no_ceiling_known(answer, target);
  return "what evaporates is made good with new wine, and " + entry + ": the mean age stays below " +
         at_least_text(target.ceiling_y, 2) + " years, however little is drawn" + one_tier_text(answer, target);
}

std::string what_would(const TargetAnswer& answer, const AgeTarget& target) {
  const bool forecast = target.by_forecast();
  double most_y = forecast ? target.at_the_last.highest_y : target.ceiling_y;
  if (!is_known(most_y)) most_y = (forecast ? target.at_the_last : target.in_the_long_run).at.last[target.kind];
  if (!is_known(most_y)) return "nothing that can be told: no draw has a lasting state";
  std::string text = "an age up to " + at_most_text(most_y, 2) + " years";
  if (forecast) return text + ", or a forecast of more years";
  if (target.kind == AgeKind::youngest && is_known(answer.long_run.entry_age_y))
    return text + ", or new wine that is " +
           at_least_text(answer.long_run.entry_age_y + target.wanted.years - target.ceiling_y, 2) +
           " years old when it enters";
  if (!is_known(target.evaporation_part)) return text;
  std::vector<std::string> tiers;
  for (const Tier& tier : answer.outlook.scenario.tiers) {
    const double most = tier.evaporation.per_year * target.evaporation_part;
    const bool each = tier.evaporation.kind == Evaporation::Kind::litres_per_vessel;
    if (most > 0.0)
      tiers.push_back(at_most_text(each ? most : 100.0 * most, 2) + (each ? " L/yr" : " %/yr") + " in " + tier.name +
                      (tier.evaporation.kind == Evaporation::Kind::air ? " at 15 °C and 70 % humidity" : ""));
  }
  return text + ", or evaporation below " + listed(tiers);
}

}  // namespace tierce
