#include "cli/report/dose_words.h"

#include <algorithm>
#include <cmath>

#include "cli/report/label_words.h"
#include "cli/report/so2_text.h"
#include "cli/write/write.h"
#include "engine/measure/balance.h"

namespace tierce {
namespace {

constexpr Figure kMg = Figure::milligrams_per_litre, kFineMg = Figure::fine_milligrams_per_litre;

std::string range_text(double low, double high, Figure figure) {
  const std::string from = metric_text(low, figure), to = metric_text(high, figure);
  return from == to ? from : from + "-" + to;
}

std::string mg_text(double mg_l) { return figure_text(mg_l, kMg, Units::metric); }

const std::string& tier_of(const Outlook& outlook, const PlannedDose& dose) {
  return outlook.scenario.name_of(dose.record.row);
}

std::string reason_text(const PlannedDose& dose, const Shortfall& shortfall) {
  const double acetaldehyde_mg_l = dose.before.now.acetaldehyde_mg_l;
  const std::string takes =
      "it takes " + range_text(shortfall.wanted_total_mg_l.high, shortfall.wanted_total_mg_l.low, kMg) + " mg/L in all";
  if (!is_known(acetaldehyde_mg_l)) return takes + ", since what is bound counts too";
  return takes + ", since " + mg_text(acetaldehyde_mg_l) + " of acetaldehyde binds up to " +
         mg_text(shortfall.acetaldehyde_binds_mg_l) + " before much is free (1.454 for each)";
}

/// What stands in the way of a level, and the most that the limits leave; `perhaps`: in one of the reckonings only.
std::string shortfall_text(const Outlook& outlook, const PlannedDose& dose, bool perhaps) {
  std::string most, why;
  for (const SulfurLimit& limit :
       sulfur_limits_for(outlook.scenario, dose.after.now.sugar_g_l, dose.after.now.alcohol_pct)) {
    const auto shortfall = limit.of_free() ? std::nullopt : shortfall_under(outlook.scenario, dose, limit.limit_mg_l());
    if (!shortfall || shortfall->perhaps != perhaps) continue;
    why = reason_text(dose, *shortfall);
    most += (most.empty() ? "" : "; ") + limit.rule->id + " (" + metric_text(limit.limit_mg_l(), kMg) +
            "): " + free_text(shortfall->best.now) + " free, " + molecular_text(outlook.scenario, shortfall->best.now) +
            " molecular" + (shortfall->full_before ? ", without any dose" : "");
  }
  if (most.empty()) return "";
  return std::string(perhaps ? "Perhaps not reachable" : "NOT REACHABLE") +
         " under the limits named here: " + asked_text(dose.asked) + " mg/L in " + tier_of(outlook, dose) + " on " +
         day_text(dose.record.date) + ", for " + why + ". The most that can stand, in mg/L: " + most + ".";
}

bool asks_molecular(const PlannedDose& dose) { return dose.asked.kind == Dose::Kind::to_molecular; }

}  // namespace

std::string metric_text(double value, Figure figure) { return number_text(value, figure, Units::metric); }

std::string short_number(double value) {
  std::string text = metric_text(value, kFineMg);
  if (text.find('.') == std::string::npos) return text;
  while (text.ends_with('0')) text.pop_back();
  if (text.ends_with('.')) text.pop_back();
  return text;
}

bool held_down(const PlannedDose& dose) { return dose.record.dose_mg_l < dose.record.wanted_mg_l.planned; }

std::string asked_text(const Dose& dose) {
  const std::string value = short_number(dose.value);
  switch (dose.kind) {
    case Dose::Kind::plain: return "add " + value;
    case Dose::Kind::metabisulfite: return value + " g salt";
    case Dose::Kind::to_free: return value + " free";
    case Dose::Kind::to_molecular: break;
  }
  return value + " molecular";
}

std::string low_end_text(const PlannedDose& dose) {
  const std::string text = metric_text(dose.record.low_end_mg_l, Figure::tenths);
  return text == metric_text(dose.record.dose_mg_l, Figure::tenths) ? "" : text;
}

std::string low_end_note(const DoseSchedule& schedule) {
  const auto wide = [](const PlannedDose& dose) { return !dose.record.past && !low_end_text(dose).empty(); };
  if (std::none_of(schedule.doses.begin(), schedule.doses.end(), wide)) return "";
  return "Low end: what the level would take if more binds. Give the dose planned, and measure the free after a week "
         "before you add it.";
}

/// For each row, its first planned dose that a limit stands against, for certain and perhaps.
std::vector<std::string> shortfall_texts(const Outlook& outlook, const DoseSchedule& schedule) {
  std::vector<std::string> texts;
  for (const bool perhaps : {false, true}) {
    std::vector<int> said;
    for (const PlannedDose& dose : schedule.doses) {
      if (dose.record.past || std::find(said.begin(), said.end(), dose.record.row) != said.end()) continue;
      const std::string text = shortfall_text(outlook, dose, perhaps);
      if (text.empty()) continue;
      said.push_back(dose.record.row);
      texts.push_back(text);
    }
  }
  return texts;
}

namespace {

/// The free SO2 at which a molecular level stands, by both scales.
std::string target_text(const Scenario& scenario, const PlannedDose& dose) {
  const SulfurNow& now = dose.before.now;
  const double cellar_c = is_known(scenario.cellar.temperature_c) ? scenario.cellar.temperature_c : kDefaultCellarC;
  const auto free_at = [&](PkChoice scale) {
    const double pk = so2_pk(scale, now.alcohol_pct, cellar_c).value;
    return metric_text(free_for_molecular_mg_l(dose.asked.value, now.ph, pk), Figure::tenths);
  };
  return "The scale of a target: " + short_number(dose.asked.value) + " molecular is " + free_at(PkChoice::oiv) +
         " mg/L free by strength and temperature (oiv) and " + free_at(PkChoice::classic) +
         " by the pK of 1.81, on which handbooks' targets of 0.5 to 0.8 stand. This plan takes " +
         (scenario.so2_pk == PkChoice::oiv ? "oiv; `so2_pk: 1.81` takes the other."
                                           : "1.81; `so2_pk: oiv` takes the other.");
}

}  // namespace

std::string scales_text(const Outlook& outlook, const std::vector<const PlannedDose*>& doses) {
  const auto molecular =
      std::find_if(doses.begin(), doses.end(), [](const auto* dose) { return asks_molecular(*dose); });
  if (molecular != doses.end()) return target_text(outlook.scenario, **molecular);
  const SulfurMoment& after = doses.front()->after;
  if (!is_known(after.molecular_other_mg_l.planned)) return "";
  const bool oiv = outlook.scenario.so2_pk == PkChoice::oiv;
  return "Molecular by " +
         std::string(oiv ? "the pK of 1.81, as handbooks reckon," : "strength and temperature (oiv)") + " instead of " +
         (oiv ? "oiv: " : "1.81: ") + so2_text(after.molecular_other_mg_l, Figure::fine_milligrams_per_litre) +
         " just after the next dose.";
}

namespace {

/// SO2 of the first day of the plan, else of the last of the book.
double next_so2_grams(const DoseSchedule& schedule) {
  const PlannedDose* first = &schedule.doses.back();
  for (const PlannedDose& dose : schedule.doses)
    if (!dose.record.past) {
      first = &dose;
      break;
    }
  double so2_g = 0.0;
  for (const PlannedDose& dose : schedule.doses)
    if (dose.record.date == first->record.date) so2_g += so2_grams(dose.record.dose_mg_l, dose.record.litres);
  return so2_g;
}

}  // namespace

std::string footnotes_text(const Outlook& outlook, const DoseSchedule& schedule) {
  const double so2_g = next_so2_grams(schedule), yield = outlook.scenario.metabisulfite_yield;
  const auto salt = [&](double of) { return metric_text(metabisulfite_grams(so2_g, of), Figure::tenths) + " g"; };
  std::string text = "Salt: potassium metabisulfite, counted at " + figure_text(yield, Figure::share, Units::metric) +
                     " SO2; the next dose is " + salt(kMetabisulfiteYield) +
                     " at 57.6 %, the theory and fresh salt, and " + salt(0.5) +
                     " at the customary 50 %. Free SO2 is a range: ";
  if (is_known(schedule.doses.front().before.now.acetaldehyde_mg_l))
    text +=
        "from acetaldehyde with keto acids, galacturonic acid and glucose beside it, to acetaldehyde alone, "
        "which the doses are planned with";
  else if (outlook.scenario.so2_binding_stated) text += "by the share bound that the file states";
  else text += "from a half (two thirds from 12 g/L of sugar) to a fifth of each dose bound, planned with a third";
  text += "; near none: below 1 mg/L. Next draw: the wine of the tier on that day; what is drawn is bottled that day.";
  for (const PlannedDose& dose : schedule.doses)
    if (held_down(dose))
      return text + " *Held down by 'at most', total " + mg_text(dose.asked.at_most_total_mg_l) + ": on " +
             day_text(dose.record.date) + " the level asked would take a dose of " +
             metric_text(dose.record.wanted_mg_l.planned, Figure::tenths) + " mg/L.";
  return text;
}

std::string sources_text(const Outlook& outlook, const DoseSchedule& schedule) {
  std::string text =
      "Largest dose: the same plain dose at every refresh to come that never passes the limit. The rules:";
  for (const SulfurVerdict& verdict : schedule.limits) {
    const Rule& rule = *verdict.limit.rule;
    text += " " + rule.id + ": " + rule.about + ", " + source_text(rule) + ".";
  }
  text += " LIMITS CHANGE, and these rules are as old as their sources: read the text in force before you rely on it.";
  const std::string declared = sulfite_statements(outlook.scenario);
  return declared.empty() ? text : text + " Sulfites are declared on labels from a total of " + declared + ".";
}

std::string steady_text(const Outlook& outlook, const SulfurLongRun& long_run) {
  if (!long_run.why_not.empty()) return "The long run: not known, because " + long_run.why_not + ".";
  std::string text =
      "If the habit goes on, total SO2 settles (within 1 % from " + std::to_string(long_run.settled_year) + " on) at";
  for (const TestedMoment& moment : long_run.steady)
    text += std::string(text.ends_with("at") ? " " : ", ") + mg_text(moment.total_mg_l) +
            (moment.at_draw ? " at the draw from "
                            : " just after a dose of " + metric_text(moment.dose_mg_l, Figure::tenths) + " in ") +
            outlook.scenario.name_of(moment.row);
  if (is_known(long_run.closed_form_mg_l))
    text += "; the closed form for one tier gives " + mg_text(long_run.closed_form_mg_l) + " just after the dose";
  return text + ".";
}

namespace {

bool loss_is_stated(const Scenario& scenario) {
  return scenario.so2_loss || std::all_of(scenario.tiers.begin(), scenario.tiers.end(),
                                          [](const Tier& tier) { return tier.so2_loss.has_value(); });
}

}  // namespace

std::string sulfate_text(const Outlook& outlook, const DoseSchedule& schedule) {
  const auto latest = std::max_element(schedule.moments.begin(), schedule.moments.end(),
                                       [](const auto& a, const auto& b) { return a.date < b.date; });
  if (latest == schedule.moments.end() || !is_known(latest->sulfate_g_l))
    return "Sulfate is not known: state `sulfate:` of the lots and the opening, or analyse it. Each mg of SO2 lost "
           "makes "
           "2.72 mg of it.";
  const auto grams = [](double value) { return figure_text(value, Figure::fine_grams_per_litre, Units::metric); };
  std::string text = "Sulfate, as potassium sulfate: " + grams(latest->sulfate_g_l) + " by " + day_text(latest->date);
  const auto& steady = schedule.long_run.steady;
  if (!steady.empty()) text += ", " + grams(steady.back().sulfate_g_l) + " in the long run";
  text += "; the OIV's limit is " + grams(sulfate_limit_g_l(outlook.scenario, latest->alcohol_pct)) +
          " (1 g/L; 1.5 if fortified, sweetened or two years in cask; OIV-MA-C1-01, 2019 issue, read)";
  auto passed = sulfate_passed(outlook.scenario, schedule.moments);
  if (!passed && !steady.empty()) passed = sulfate_passed(outlook.scenario, schedule.long_run.moments);
  return text + (passed ? ", PASSED in " + std::to_string(passed->date.year) + " at the earliest" : ", not passed") +
         ". An upper estimate: it takes all SO2 that is lost to become sulfate, by a loss that is " +
         (loss_is_stated(outlook.scenario) ? "stated, not measured." : "our choice.");
}

std::string oxygen_text(const Outlook& outlook, const std::vector<const PlannedDose*>& doses) {
  std::string text;
  for (const PlannedDose* dose : doses) {
    const OxygenBudget& budget = dose->oxygen;
    text += (text.empty() ? "" : "; ") + tier_of(outlook, *dose) + " " +
            range_text(budget.air_low_mg_l, budget.air_high_mg_l, kMg) + " by one filling of its air space and " +
            range_text(budget.wood_low_mg_l, budget.wood_high_mg_l, kMg) + " through the wood";
  }
  return "A ROUGH ESTIMATE, no part of the reckoning: oxygen could use up, in mg/L of SO2 a year: " + text +
         ". Casks breathe, so their air is renewed; the wood's figures are for barrels, and old wet wood lets in less.";
}

std::string sulfur_balance_text(const Outlook& outlook) {
  const Balance balance = balance_of(outlook.run, kSo2Total);
  if (!is_known(balance.held)) return "";
  const auto grams = [](double mg) { return metric_text(mg / 1000.0, Figure::small_litres); };  // to 0.1
  const auto term = [&](const char* name, double mg) {
    return mg > 0.0 ? " + " + std::string(name) + " " + grams(mg) : "";
  };
  std::string text = "Balance of SO2 in grams: opening " + grams(balance.flow[kOpening]) +
                     term("in", balance.flow[kIn]) + term("dosed", balance.flow[kDosed]) +
                     term("found by analysis", balance.flow[kAnalysed]);
  text += " = held " + grams(balance.held) + term("drawn", balance.flow[kDrawn]) +
          term("oxidised", -balance.flow[kGained]) + term("lost", balance.flow[kLost]) +
          term("missed by analysis", -balance.flow[kAnalysed]);
  const bool closes = std::abs(balance.gap()) <= kBalanceTolerance * balance.throughput();
  return text + (closes ? "; it closes." : "; IT DOES NOT CLOSE.");
}

}  // namespace tierce
