#include "cli/report/dose_words.h"

#include <algorithm>
#include <cmath>

#include "cli/read/quantity_text.h"
#include "cli/read/read_rules.h"
#include "cli/read/suggest.h"
#include "cli/report/label/label_words.h"
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
std::string shortfall_text(const Outlook& outlook, const SulfurLimits& limits, const PlannedDose& dose, bool perhaps) {
  std::string most, why;
  for (const auto& [limit, room, room_at_draw, shortfall] : limits_on(outlook.scenario, limits, dose)) {
    if (!shortfall || shortfall->perhaps != perhaps) continue;
    why = reason_text(dose, *shortfall);
    most += (most.empty() ? "" : "; ") + limit->rule->id + " (" + metric_text(limit->limit_mg_l(), kMg) +
            "): " + free_text(shortfall->best.now) + " free, " + molecular_text(outlook.scenario, shortfall->best.now) +
            " molecular" + (shortfall->full_before ? ", without any dose" : "");
  }
  if (most.empty()) return "";
  return std::string(perhaps ? "Perhaps not reachable" : "NOT REACHABLE") +
         " under the limits named here: " + asked_text(dose.asked) + " mg/L in " + tier_of(outlook, dose) + " on " +
         day_text(dose.record.date) + ", for " + why + ". The most that can stand, in mg/L: " + most + ".";
}

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

bool loss_is_stated(const Scenario& scenario) {
  return scenario.so2_loss || std::all_of(scenario.tiers.begin(), scenario.tiers.end(),
                                          [](const Tier& tier) { return tier.so2_loss.has_value(); });
}

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

std::string applies_to_text(const Rule& rule) {
  std::string text;
  for (const Condition& condition : rule.when)
    text += (text.empty() ? "" : "; ") +
            (condition.words.empty() ? condition.fact + ' ' + operator_word(condition.op) + ' ' +
                                           plain_number(condition.limit) + ' ' + find_quantity(condition.fact)->unit
                                     : listed(condition.words));
  return text;
}

std::string passed_text(const SulfurVerdict& verdict, const SulfurLongRun& long_run) {
  const auto& highest = verdict.highest_after ? verdict.highest_after : verdict.highest_at_draw;
  if (!is_known(verdict.limit.level_of(*highest))) return "not known";
  if (verdict.passed) return std::to_string(verdict.passed->date.year) + (verdict.passed_later ? ", later" : "");
  return long_run.settles() ? "never" : "not so far";
}

std::string largest_text(double dose_mg_l) {
  if (dose_mg_l < 0.0) return "none";
  if (std::isinf(dose_mg_l)) return "any";
  return metric_text(dose_mg_l, Figure::age);  // one decimal, rounded down: it supports a claim
}

std::string why_unsettled_text(const SulfurLongRun& long_run) {
  switch (long_run.unsettled) {
    case Unsettled::no: return "";
    case Unsettled::no_habit: return "the file states no habit";
    case Unsettled::meets_too_late:
      return "its routines meet again only after " + std::to_string(std::llround(long_run.period_years)) +
             " years, too long to be followed";
    case Unsettled::too_many_tiers: return "it has too many tiers to be followed";
    case Unsettled::cannot_be_kept:
      return "the habit cannot be kept: on " + iso_text(long_run.stopped->date) + " " + long_run.stopped->problem.what;
    case Unsettled::does_nothing: return "the habit neither draws nor doses";
    case Unsettled::total_not_known: return "the total SO2 of the wine is not known";
    case Unsettled::does_not_repeat: break;
  }
  return "the totals do not repeat: too little carries the SO2 off, or the volumes themselves do not repeat";
}

/// For each row, its first planned dose that a limit stands against, for certain and perhaps.
std::vector<std::string> shortfall_texts(const Outlook& outlook, const DoseSchedule& schedule) {
  std::vector<std::string> texts;
  for (const bool perhaps : {false, true}) {
    std::vector<int> said;
    for (const PlannedDose& dose : schedule.doses) {
      if (dose.record.past || std::find(said.begin(), said.end(), dose.record.row) != said.end()) continue;
      const std::string text = shortfall_text(outlook, schedule.so2, dose, perhaps);
      if (text.empty()) continue;
      said.push_back(dose.record.row);
      texts.push_back(text);
    }
  }
  return texts;
}

std::string scales_text(const Outlook& outlook, const std::vector<const PlannedDose*>& doses) {
  for (const PlannedDose* dose : doses)
    if (dose->asked.kind == Dose::Kind::to_molecular) return target_text(outlook.scenario, *dose);
  const SulfurMoment& after = doses.front()->after;
  if (!is_known(after.molecular_other_mg_l.planned)) return "";
  const bool oiv = outlook.scenario.so2_pk == PkChoice::oiv;
  return "Molecular by " +
         std::string(oiv ? "the pK of 1.81, as handbooks reckon," : "strength and temperature (oiv)") + " instead of " +
         (oiv ? "oiv: " : "1.81: ") + so2_text(after.molecular_other_mg_l, Figure::fine_milligrams_per_litre) +
         " just after the next dose.";
}

std::string footnotes_text(const Outlook& outlook, const DoseSchedule& schedule) {
  double so2_g = 0.0;
  for (const PlannedDose* dose : next_doses(schedule)) so2_g += so2_grams(dose->record.dose_mg_l, dose->record.litres);
  const double yield = outlook.scenario.metabisulfite_yield;
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

std::string sources_text(const DoseSchedule& schedule) {
  std::string text =
      "Largest dose: the same plain dose at every refresh to come that never passes the limit. The rules:";
  for (const SulfurVerdict& verdict : schedule.limits) {
    const Rule& rule = *verdict.limit.rule;
    text += " " + rule.id + ": " + rule.about + ", " + source_text(rule) + ".";
  }
  text += " LIMITS CHANGE, and these rules are as old as their sources: read the text in force before you rely on it.";
  std::string declared;
  for (const Rule* rule : schedule.declared)
    declared += (declared.empty() ? "" : ", ") + std::string(operator_word(rule->op)) + ' ' +
                plain_number(rule->limit) + ' ' + rule->unit + " (" + rule->id + ", " + rule->source.where + ")";
  return declared.empty() ? text : text + " Sulfites are declared on labels from a total of " + declared + ".";
}

std::string steady_text(const Outlook& outlook, const SulfurLongRun& long_run) {
  if (!long_run.settles()) return "The long run: not known, because " + why_unsettled_text(long_run) + ".";
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
  text += "; the OIV's limit is " + grams(least_sulfate_g_l(schedule.sulfate, latest->alcohol_pct)) +
          " (1 g/L; 1.5 if fortified, sweetened or two years in cask; OIV-MA-C1-01, 2019 issue, read)";
  const auto& passed = schedule.sulfate_passed;
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

// In our own words, after the safety sheets and handbooks that docs/dose.md names.
const std::vector<std::string>& sulfur_cautions() {
  static const std::vector<std::string> kCautions = {
      "The gas and the dust of the salt hurt eyes and lungs: gloves, goggles, moving air, a mask made for SO2. Nobody "
      "with asthma does this work. Over a shift 2 ppm is the most that NIOSH advises, 100 ppm is an immediate danger, "
      "and the air over wine just dosed can hold near 10 ppm: keep your face away from the bung.",
      "Dissolve the salt by itself in cold water, some 50 g to the litre, in moving air: acid and metabisulfite "
      "brought "
      "together in one vessel set the gas free.",
      "Never burn sulfur in a cask that has held spirit or fortified wine: what is left of the alcohol can catch fire.",
      "The air of an empty or sulfured cask, or of one near a ferment, can kill: nobody leans or climbs in before it "
      "has been tested.",
      "A dose does not spread by itself: put it in with the new wine or stir it in, and take the sample the next day.",
      "Measure free and total SO2 before and after. Each dose here is reckoned from the book, an estimate. Titration "
      "with iodine reads free SO2 too high in coloured or sweet wine; aspiration does not.",
      "What may be added, and what a label must say, is settled by the law of the place and by licensed practice, not "
      "by this page."};
  return kCautions;
}

}  // namespace tierce
