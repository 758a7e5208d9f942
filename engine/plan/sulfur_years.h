// Where the doses of a habit lead: the totals that repeat year after year, and the largest dose that keeps under a
// limit.
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "engine/measure/sulfur_path.h"

namespace tierce {

/// Why a habit leads to no steady state, if it does not.
enum class Unsettled {
  no,
  no_habit,
  meets_too_late,  // its routines do so after `period_years` only
  too_many_tiers,  // to be followed
  cannot_be_kept,  // `stopped` says why
  does_nothing,    // neither draws nor doses
  total_not_known,
  does_not_repeat
};

/// The habit gone on with until the totals of a period repeat to 1e-9.
struct SulfurLongRun {
  Unsettled unsettled = Unsettled::no;
  double period_years = 1.0;
  std::optional<Stop> stopped{};
  std::vector<TestedMoment> steady{};  // of the last period; empty if there is no steady state
  int settled_year = 0;                // from this year on, all totals are within 1 % of where they end
  double closed_form_mg_l = kUnknown;  // total just after the dose by engine/wine/sulfur.h, where that model applies

  Scenario endless{};                   // the scenario, every refill with one lot: many years need few columns then
  int first_year = 0;                   // from which the habit goes on as usual, all exceptions behind it
  std::vector<TestedMoment> moments{};  // of the book and the whole run, in the order of time
  Scenario plain{};                     // the same with plain doses alone, one on every dosing day for each row
  SulfurPath plain_path{};

  bool settles() const { return unsettled == Unsettled::no; }
};
SulfurLongRun sulfur_long_run(const Scenario& scenario);

/// Which level a limit is about, and the limit for a wine: infinite where none applies.
struct SulfurCap {
  double TestedMoment::*level = &TestedMoment::total_mg_l;
  std::function<double(const TestedMoment&)> limit;
};
/// The largest plain dose, mg/L, given alike on every dosing day of the habit, that never passes the cap once the book
/// has ended; to 1e-9. Negative: it is passed without any dose. Infinite: no limit applies. Unknown: no steady state.
double largest_plain_dose_mg_l(const SulfurLongRun& long_run, const SulfurCap& cap);

}  // namespace tierce
