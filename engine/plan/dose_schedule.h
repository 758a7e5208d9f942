// The doses of the last year of the book with one and of the forecast, how they stand to the limits, and where the
// habit leads.
#pragma once

#include <optional>
#include <vector>

#include "engine/plan/sulfur_years.h"
#include "engine/rules/sulfur_limits.h"
#include "engine/run/outlook.h"

namespace tierce {

/// How a run stands to one limit, at the moments at which the limit applies.
struct SulfurVerdict {
  SulfurLimit limit{};
  std::optional<TestedMoment> highest_after{}, highest_at_draw{};  // empty: it never applies at such a moment
  std::optional<TestedMoment> passed{};                            // the first that is over it
  bool passed_later = false;                                       // beyond the forecast, if the habit goes on
  double largest_dose_mg_l = kUnknown;                             // as in sulfur_years.h

  /// What the limit leaves; negative where it is passed.
  double room_at(const TestedMoment& moment) const { return limit.limit_mg_l() - limit.level_of(moment); }
};
/// One verdict for each limit that applies at any of `moments`.
std::vector<SulfurVerdict> sulfur_verdicts(const SulfurLimits& limits, const std::vector<TestedMoment>& moments,
                                           const SulfurLongRun& long_run);

struct DoseSchedule {
  std::vector<PlannedDose> doses{};
  std::vector<TestedMoment> moments{};  // of the same time
  SulfurLongRun long_run{};
  SulfurLimits so2{}, sulfate{};                 // all that are asked
  std::vector<SulfurVerdict> limits{};           // on those that apply
  std::optional<TestedMoment> sulfate_passed{};  // of these moments, else in the long run
  std::vector<const Rule*> declared{};           // rules by which a label declares sulfites
};
/// Without doses where the book and the habit have none.
DoseSchedule dose_schedule(const Outlook& outlook, const SulfurRules& rules);

/// The doses of the first planned day; of the last day of the book where nothing is planned.
std::vector<const PlannedDose*> next_doses(const DoseSchedule& schedule);

/// What a limit says of one dose.
struct LimitOnDose {
  const SulfurLimit* limit = nullptr;
  double room_after_mg_l = kUnknown;
  double room_at_draw_mg_l = kUnknown;   // of the next draw; unknown where that is not from the dosed row
  std::optional<Shortfall> shortfall{};  // of limits on the total
};
/// Those that apply to the wine just after it.
std::vector<LimitOnDose> limits_on(const Scenario& scenario, const SulfurLimits& limits, const PlannedDose& dose);

}  // namespace tierce
