// The limits of SO2 of the rule book, which of them a wine falls under at one moment, and what to beware of.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "engine/plan/sulfur_years.h"
#include "engine/rules/verdict.h"

namespace tierce {

/// A rule on total or free SO2, as it speaks of the wine of one file. What is not known of the wine counts as what the
/// rule asks for: so a wine of unknown colour or sugar falls under each limit of its kind.
struct SulfurLimit {
  const Rule* rule = nullptr;
  std::array<bool, 4> speaks_of{};  // by product: wine, liqueur wine, spirits, not known
  bool fortified = false;           // some lot of the file holds spirit
  double sure_part_of_sugar = 1.0;  // of what the book has; less where it was reckoned from a density
  double limit_mg_l() const { return rule->limit; }
  bool of_free() const;
  bool applies(double sugar_g_l, double alcohol_pct) const;
  std::string applies_to() const;  // the conditions in words
};

/// Those of the rule sets that the file names, or of all where it names none, in the order of the rule files.
std::vector<SulfurLimit> sulfur_limits(const Scenario& scenario);
std::vector<SulfurLimit> sulfur_limits_for(const Scenario& scenario, double sugar_g_l, double alcohol_pct);

/// Sulfate, as potassium sulfate, g/L: the OIV's limit for a wine of this strength.
double sulfate_limit_g_l(const Scenario& scenario, double alcohol_pct);

/// From which total on a label must declare sulfites: "at least 10 mg/L (US-SO2-DECL, ...)".
std::string sulfite_statements(const Scenario& scenario);

/// How a run stands to one limit, at the moments at which the limit applies.
struct SulfurVerdict {
  SulfurLimit limit{};
  std::optional<TestedMoment> highest_after{}, highest_at_draw{};  // empty: it never applies at such a moment
  std::optional<TestedMoment> passed{};                            // the first that is over it
  bool passed_later = false;                                       // beyond the forecast, if the habit goes on
  double largest_dose_mg_l = kUnknown;                             // as in sulfur_years.h
};
double sulfur_level_of(const SulfurLimit& limit, const TestedMoment& moment);

/// One verdict for each limit that applies at any of `moments`.
std::vector<SulfurVerdict> sulfur_verdicts(const Scenario& scenario, const std::vector<TestedMoment>& moments,
                                           const SulfurLongRun& long_run);

/// The first moment whose sulfate is over its limit; empty if none is known to be.
std::optional<TestedMoment> sulfate_passed(const Scenario& scenario, const std::vector<TestedMoment>& moments);

const std::vector<std::string>& sulfur_cautions();

}  // namespace tierce
