#include "cli/dose_words.h"

#include <algorithm>
#include <cmath>

#include "cli/label_words.h"
#include "cli/write.h"
#include "engine/balance.h"

namespace tierce {
namespace {

constexpr Figure kMg = Figure::milligrams_per_litre, kFineMg = Figure::fine_milligrams_per_litre;
constexpr double kNearNone = 2.0;  // mg/L free; below it the usual methods do not tell it from none

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
  const std::string takes = "it takes " + short_number(shortfall.wanted_total_mg_l) + " mg/L in all";
  if (!is_known(acetaldehyde_mg_l)) return takes + ", since what is bound counts too";
  return takes + ", since " + mg_text(acetaldehyde_mg_l) + " of acetaldehyde binds up to " +
         mg_text(shortfall.acetaldehyde_binds_mg_l) + " before much is free (1.454 for each)";
}

/// What stands in the way of a level, and the most that the limits leave.
std::string shortfall_text(const Outlook& outlook, const PlannedDose& dose) {
  std::string most, why;
  for (const SulfurLimit& limit :
       sulfur_limits_for(outlook.scenario, dose.after.sugar_g_l, dose.after.now.alcohol_pct)) {
    const auto shortfall = limit.of_free() ? std::nullopt : shortfall_under(outlook.scenario, dose, limit.limit_mg_l());
    if (!shortfall) continue;
    why = reason_text(dose, *shortfall);
    most += (most.empty() ? "" : "; ") + limit.rule->id + " (" + metric_text(limit.limit_mg_l(), kMg) +
            "): " + free_text(shortfall->best) + " free, " + molecular_text(shortfall->best) + " molecular" +
            (shortfall->full_before ? ", without any dose" : "");
  }
  if (most.empty()) return "";
  return "NOT REACHABLE under the limits named here: " + asked_text(dose.asked) + " mg/L in " + tier_of(outlook, dose) +
         " on " + day_text(dose.record.date) + ", for " + why + ". The most that can stand, in mg/L: " + most + ".";
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

std::string free_text(const SulfurMoment& moment) {
  if (moment.free_high_mg_l < kNearNone) return "near none";
  return range_text(moment.free_low_mg_l, moment.free_high_mg_l, kMg);
}

std::string molecular_text(const SulfurMoment& moment) {
  return range_text(moment.molecular_low_mg_l, moment.molecular_high_mg_l, kFineMg);
}

bool held_down(const PlannedDose& dose) { return dose.record.dose_mg_l < dose.record.wanted_mg_l; }

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

/// For each row, its first planned dose that a limit stands against.
std::vector<std::string> shortfall_texts(const Outlook& outlook, const DoseSchedule& schedule) {
  std::vector<std::string> texts;
  std::vector<int> said;
  for (const PlannedDose& dose : schedule.doses) {
    if (dose.record.past || std::find(said.begin(), said.end(), dose.record.row) != said.end()) continue;
    const std::string text = shortfall_text(outlook, dose);
    if (text.empty()) continue;
    said.push_back(dose.record.row);
    texts.push_back(text);
  }
  return texts;
}

std::string footnotes_text(const Outlook& outlook, const DoseSchedule& schedule) {
  std::string text = "Salt: potassium metabisulfite, counted at " +
                     figure_text(outlook.scenario.metabisulfite_yield, Figure::share, Units::metric) +
                     " SO2 (57.6 in theory, less when old). Free SO2 is an estimate: from tighter to looser binding by "
                     "acetaldehyde (0.0014 to 0.0024 mmol/L) where that is known, else with ";
  text += outlook.scenario.so2_binding_stated ? "the share bound that the file states"
                                              : "a half to a third of each dose bound";
  text += "; near none: below 2 mg/L. Next draw: the wine of the tier on that day; what is drawn is bottled that day.";
  for (const PlannedDose& dose : schedule.doses)
    if (held_down(dose))
      return text + " *Held down by 'at most', total " + mg_text(dose.asked.at_most_total_mg_l) + ": on " +
             day_text(dose.record.date) + " the level asked would take a dose of " +
             short_number(dose.record.wanted_mg_l) + " mg/L.";
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
    text +=
        std::string(text.ends_with("at") ? " " : ", ") + mg_text(moment.total_mg_l) +
        (moment.at_draw ? " at the draw from " : " just after a dose of " + short_number(moment.dose_mg_l) + " in ") +
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
  text += "; the OIV's limit is " + grams(sulfate_limit_g_l(outlook.scenario, latest->alcohol_pct)) +
          " (1 g/L; 1.5 if fortified, sweetened or two years in cask; OIV-MA-C1-01, 2019 issue, read)";
  auto passed = sulfate_passed(outlook.scenario, schedule.moments);
  if (!passed && !steady.empty()) passed = sulfate_passed(outlook.scenario, schedule.long_run.moments);
  return text + (passed ? ", PASSED in " + std::to_string(passed->date.year) + "." : ", not passed.");
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
