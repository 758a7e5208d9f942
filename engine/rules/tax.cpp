// Classes by strength, and the taxes on them.
#include <algorithm>
#include <cmath>

#include "engine/rules/rule_covers.h"
#include "engine/rules/strength.h"

namespace tierce {

std::vector<const TaxClass*> classes_of(const RuleBook& book, const std::vector<std::string>& sets,
                                        const LabelFacts& facts, const Date& date) {
  std::vector<const TaxClass*> found;
  const double at_20c = facts.wine.alcohol_pct;
  if (!is_known(at_20c)) return found;
  for (const TaxClass& one : book.classes) {
    if (one.credit || !contains(sets, one.set)) continue;
    if (!one.in_force.on(date)) continue;
    const LabelCase of{&facts, nullptr, nullptr, one.strength_at_c};
    const bool spoken_of = std::none_of(one.when.begin(), one.when.end(), [&](const Condition& condition) {
      return covers(condition, of, false) == Covers::no;
    });
    const double pct = strength_on_scale(at_20c, one.strength_at_c);
    // Strengths on a boundary belong to the lower class, unless the class says "at least".
    const double tie = one.takes_in_lower ? -kSameFigure : kSameFigure;
    const bool above = !std::isfinite(one.above_pct) || pct > one.above_pct + tie * one.above_pct;
    const bool within = !std::isfinite(one.up_to_pct) || pct <= one.up_to_pct + kSameFigure * one.up_to_pct;
    if (spoken_of && above && within) found.push_back(&one);
  }
  return found;
}

double taxed_l(const TaxClass& of, double volume_l) {
  if (of.rounded_to_l <= 0.0) return volume_l;
  const double steps = volume_l / of.rounded_to_l;
  return of.rounded_to_l * std::floor(steps * (1.0 + kSameFigure) + 0.5);  // a half goes up
}

double tax_on(const TaxClass& of, double volume_l) { return of.rate * taxed_l(of, volume_l) / of.unit_l; }

double credit_on(const RuleBook& book, const TaxClass& of, double before_l, double volume_l, const Date& date) {
  double credit = 0.0, from_l = 0.0;
  bool of_other_days = false, of_the_day = false;
  for (const TaxClass& step : book.classes) {
    if (!step.credit || step.set != of.set) continue;
    (step.in_force.on(date) ? of_the_day : of_other_days) = true;
    if (!step.in_force.on(date)) continue;
    const double to_l = from_l + step.volume_l;
    const double litres = std::min(before_l + volume_l, to_l) - std::max(before_l, from_l);
    if (litres > 0.0) credit += std::min(step.rate / step.unit_l, of.rate / of.unit_l) * litres;
    from_l = to_l;
  }
  return of_other_days && !of_the_day ? kUnknown : credit;
}

}  // namespace tierce
