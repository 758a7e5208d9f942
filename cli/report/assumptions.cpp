#include "cli/report/assumptions.h"

#include <algorithm>
#include <cctype>
#include <functional>

#include "cli/read/suggest.h"
#include "cli/report/remarks.h"
#include "cli/write/write.h"
#include "engine/rules/strength.h"
#include "engine/run/evaporation.h"
#include "engine/run/outlook.h"
#include "engine/run/simulate.h"
#include "engine/wine/alcoholometry.h"
#include "engine/wine/sulfur.h"

namespace tierce {
namespace {

using Assumptions = std::vector<Assumption>;

void by_default(Assumptions& lines, unsigned touches, std::string text) {
  lines.push_back({std::move(text), touches, true});
}

std::string clock_text(Clock clock) {
  if (clock == Clock::entry) return "Ages count from the day a lot entered a tier.";
  if (clock == Clock::wood) return "Ages count the time spent in wooden tiers.";
  return "Ages count from the harvest.";
}

std::vector<std::string> tiers_where(const Scenario& scenario, const std::function<bool(const Tier&)>& chosen) {
  std::vector<std::string> names;
  for (const Tier& tier : scenario.tiers)
    if (chosen(tier)) names.push_back(tier.name);
  return names;
}

bool by_air(const Tier& tier) { return tier.evaporation.kind == Evaporation::Kind::air; }

/// "13 °C, 85 % humidity; strengths stay at 70 %".
std::string air_text(const Scenario& scenario, const CellarAir& air) {
  const auto percent = [](double share) { return figure_text(share, Figure::percent, Units::metric); };
  const bool stated = is_known(scenario.cellar.temperature_c) && is_known(scenario.cellar.humidity_fraction);
  return figure_text(air.temperature_c, Figure::whole, Units::metric) + " °C, " + percent(air.humidity) + " humidity" +
         (stated ? "" : ", by default") + "; strengths stay at " + percent(air.neutral_humidity);
}

/// How much evaporates, where the file does not say it.
void evaporation_defaults(const Scenario& scenario, Assumptions& lines) {
  const auto flat = tiers_where(scenario, [](const Tier& tier) { return !tier.evaporation.stated && !by_air(tier); });
  if (!flat.empty()) by_default(lines, kAllFigures, "Default: 3 %/yr of evaporation in " + listed(flat) + ".");
  const auto drawn = tiers_where(scenario, by_air);
  if (drawn.empty()) return;
  by_default(lines, kAllFigures,
             "Default: what evaporates from " + listed(drawn) +
                 ", and how strong it is, follows from the cellar's "
                 "air (" +
                 air_text(scenario, air_of(scenario.cellar)) +
                 "), with 3 %/yr at 15 °C, 70 % humidity and 18 %vol: an estimate, sure to a factor of two at best.");
}

/// Tiers whose loss is stated and whose vapour the cellar's air decides, and that air.
void vapour_defaults(const Scenario& scenario, Assumptions& lines) {
  const auto names = tiers_where(scenario, [](const Tier& tier) {
    return !tier.vapour_stated && !by_air(tier) && tier.evaporation.per_year > 0.0;
  });
  if (names.empty()) return;
  by_default(lines, kStrengths | kSulfur,
             "The strength of what evaporates from " + listed(names) + " follows from the cellar's air (" +
                 air_text(scenario, air_for(scenario.cellar, Tier{})) +
                 "): an estimate, since that neutral humidity is not settled; of the change in strength that comes of "
                 "it only the sign is to be relied on.");
}

bool any_known_and_some(const Outlook& outlook, Solute solute) {
  if (outlook.run.looks.empty()) return false;
  const auto column = outlook.run.looks.back().solutes.col(solute);
  return std::any_of(column.begin(), column.end(), [](double amount) { return is_known(amount) && amount > 0.0; });
}

/// Iodine is also used up by phenols and sugars; a reading by aspiration is not touched (Handbook of Enology 1, from
/// memory). A method that is not stated may be either.
bool may_read_high(const Reading& reading) {
  if (reading.quantity != "so2 free") return false;
  std::string method = reading.method;
  std::transform(method.begin(), method.end(), method.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  const auto says = [&](const char* word) { return method.find(word) != std::string::npos; };
  return method.empty() || says("iod") || says("jod") || says("yod");
}

/// The pK's table ends at 20 %vol; stronger wine is marked.
bool any_above_the_table(const Outlook& outlook) {
  if (outlook.run.looks.empty()) return false;
  const auto beyond = [](double pct) { return so2_pk(PkChoice::oiv, pct, 20.0).extrapolated; };
  const Stock& stock = outlook.run.looks.back();
  for (int row = 0; row < outlook.scenario.rows(); ++row)
    if (beyond(stock.alcohol_pct(row))) return true;
  const auto& draws = outlook.run.draws;
  return std::any_of(draws.begin(), draws.end(), [&](const DrawRecord& draw) { return beyond(strength_of(draw)); });
}

/// Where a free SO2 was stated beside a total and an acetaldehyde that leave no room for it.
Assumptions contradictions(const Outlook& outlook) {
  const Scenario& scenario = outlook.scenario;
  Assumptions lines;
  const auto look_at = [&](const Composition& wine, const std::string& what) {
    if (!contradicts_itself(wine)) return;
    const auto mg = [](double value) { return number_text(value, Figure::milligrams_per_litre, Units::metric); };
    by_default(lines, kSulfur,
               what + ": " + mg(wine.so2_free_mg_l) + " free of " + mg(wine.so2_total_mg_l) +
                   " mg/L does not go with " + mg(wine.acetaldehyde_mg_l) +
                   " mg/L of acetaldehyde that binds; the free is believed, and " +
                   mg(stated_binding(wine).acetaldehyde_mg_l) + " mg/L taken to bind.");
  };
  for (const Lot& lot : scenario.lots) look_at(lot.wine, "Lot " + lot.name);
  for (const Opening& opening : scenario.opening) look_at(opening.wine, "Opening of " + day_text(opening.date));
  for (const Entry& entry : scenario.log)
    if (const auto* analyse = std::get_if<Analyse>(&entry.action); analyse != nullptr && !analyse->keep_only)
      look_at(analyse->found, "Analysis of " + day_text(entry.date));
  return lines;
}

void sulfur_defaults(const Outlook& outlook, Assumptions& lines) {
  const Scenario& scenario = outlook.scenario;
  if (!any_known_and_some(outlook, kSo2Total)) return;
  const bool aldehyde = any_known_and_some(outlook, kAldehyde);
  const bool stated = scenario.so2_loss || std::all_of(scenario.tiers.begin(), scenario.tiers.end(),
                                                       [](const Tier& tier) { return tier.so2_loss.has_value(); });
  if (!stated)
    by_default(lines, kSulfur,
               aldehyde ? "Default: 90 %/yr of the free SO2 is lost." : "Default: 40 %/yr of the total SO2 is lost.");
  if (!scenario.so2_binding_stated && !outlook.run.doses.empty() && !aldehyde)
    by_default(
        lines, kSulfur,
        "Default: a third of an SO2 addition binds, since no acetaldehyde is stated; the ends shown are a fifth, and a "
        "half or in sweet wine two thirds.");
  if (aldehyde)
    by_default(lines, kSulfur,
               "Free SO2 lies between acetaldehyde as the only binder, which doses are planned with, and keto acids, "
               "galacturonic acid and glucose beside it.");
  for (Assumption& line : contradictions(outlook)) lines.push_back(std::move(line));
  if (!is_known(scenario.cellar.temperature_c))
    by_default(lines, kSulfur, "Default: molecular SO2 is reckoned at 15 °C.");
  by_default(lines, kSulfur,
             scenario.so2_pk == PkChoice::oiv
                 ? std::string("Molecular SO2: pK by strength and temperature (OIV)") +
                       (any_above_the_table(outlook) ? ", beyond its table above 20 %vol" : "") +
                       "; in brackets by the one pK of 1.81, as handbooks reckon."
                 : "Molecular SO2: the one pK of 1.81; in brackets by strength and temperature (OIV).");
  if (std::any_of(outlook.run.readings.begin(), outlook.run.readings.end(), may_read_high))
    by_default(lines, kSulfur,
               "A free SO2 here was titrated with iodine, or by a method not stated: iodine reads too high in "
               "coloured or sweet wine.");
}

void harvest_defaults(const Scenario& scenario, Assumptions& lines) {
  std::vector<std::string> names;
  for (const Lot& lot : scenario.lots)
    if (!lot.harvested_stated) names.push_back(lot.name);
  if (!names.empty() && scenario.clock == Clock::harvest)
    by_default(lines, kAges,
               "Default: " + std::string(scenario.cellar.southern ? "1 Apr" : "1 Oct") +
                   " of the vintage as the harvest of " + listed(names) + ".");
}

/// Lots whose sugar was reckoned from a density.
void density_defaults(const Outlook& outlook, Assumptions& lines) {
  std::vector<std::string> names;
  for (const Lot& lot : outlook.line.lots)
    if (lot.sugar_is_extract) names.push_back(lot.name);
  if (!names.empty())
    by_default(lines, kSugars,
               "The sugar of " + listed_briefly(names) +
                   " is all the extract that its density tells: it may be up to 30 g/L less.");
}

}  // namespace

std::string knowledge_text(const Outlook& outlook) {
  if (!outlook.scenario.as_known) return "";
  const Knowledge& known = *outlook.scenario.as_known;
  const auto count = [](int n, const char* one, const char* many) {
    return std::to_string(n) + ' ' + (n == 1 ? one : many);
  };
  return "The book as it stood on " + day_text(known.on) + ": " + count(known.entries_left_out, "entry", "entries") +
         " and " + count(known.corrections_left_out, "correction", "corrections") + " that came later are left out.";
}

std::vector<Assumption> assumptions_of(const Outlook& outlook) {
  Assumptions lines;
  if (outlook.scenario.as_known) lines.push_back({knowledge_text(outlook), kAllFigures});
  lines.push_back({clock_text(outlook.scenario.clock), kAges});
  lines.push_back({"The vessels of a tier are taken to hold the same wine and to differ only in level.", kAllFigures});
  harvest_defaults(outlook.scenario, lines);
  density_defaults(outlook, lines);
  evaporation_defaults(outlook.scenario, lines);
  vapour_defaults(outlook.scenario, lines);
  sulfur_defaults(outlook, lines);
  for (const std::string& line : outlook.line.assumed) by_default(lines, kAllFigures, "Note: " + line + ".");
  return lines;
}

std::vector<std::string> assumptions(const Outlook& outlook) {
  std::vector<std::string> lines;
  for (Assumption& one : assumptions_of(outlook)) lines.push_back(std::move(one.text));
  for (std::string& line : remarks_beside_figures(outlook)) lines.push_back(std::move(line));
  return lines;
}

}  // namespace tierce
