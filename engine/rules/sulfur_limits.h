// The limits of SO2 of a rule book, and which of them a wine falls under at one moment.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "engine/measure/sulfur_plan.h"
#include "engine/rules/verdict.h"

namespace tierce {

/// What is asked: a rule book, and which of its sets.
struct SulfurRules {
  const RuleBook& book;
  std::vector<std::string> sets;
};

/// A rule on SO2 or sulfate, as it speaks of the wine of one file. What is not known of the wine counts as what the
/// rule asks for: so a wine of unknown colour or sugar falls under each limit of its kind.
struct SulfurLimit {
  const Rule* rule = nullptr;
  std::array<bool, 4> speaks_of{};  // by product: wine, liqueur wine, spirits, not known
  bool fortified = false;           // some lot of the file holds spirit
  double sure_part_of_sugar = 1.0;  // of what the book has; less where it was reckoned from a density
  double limit_mg_l() const { return rule->limit; }
  bool of_free() const { return rule->quantity == "free SO2"; }
  bool applies(double sugar_g_l, double alcohol_pct) const;
  double level_of(const TestedMoment& moment) const { return of_free() ? moment.free_mg_l : moment.total_mg_l; }
};
using SulfurLimits = std::vector<SulfurLimit>;

/// Those on total and free SO2, in the order of the rule book.
SulfurLimits sulfur_limits(const SulfurRules& rules, const Scenario& scenario);
/// Sulfate, as potassium sulfate, g/L: those of the OIV, whatever sets are asked.
SulfurLimits sulfate_limits(const SulfurRules& rules, const Scenario& scenario);

/// The least of the limits of sulfate for a wine of this strength; unknown if there is none.
double least_sulfate_g_l(const SulfurLimits& limits, double alcohol_pct);
/// The first moment whose sulfate is over its limit; empty if none is known to be.
std::optional<TestedMoment> sulfate_passed(const SulfurLimits& limits, const std::vector<TestedMoment>& moments);

/// Rules by which a label has to declare sulfites.
std::vector<const Rule*> sulfite_statements(const SulfurRules& rules);

/// The earliest of the moments, whatever their order, for which something holds.
template <class Holds>
std::optional<TestedMoment> earliest(const std::vector<TestedMoment>& moments, Holds holds) {
  std::optional<TestedMoment> first;
  for (const TestedMoment& moment : moments)
    if (holds(moment) && (!first || moment.date < first->date)) first = moment;
  return first;
}

}  // namespace tierce
