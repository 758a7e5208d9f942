// When an age is reached under the habit, from when on it is kept, and whether ever.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "engine/plan/share_search.h"
#include "engine/run/outlook.h"

namespace tierce {

/// One draw from the last tier, with its ages.
struct AgedDraw {
  Date date{};
  std::string name{};
  bool past = false;
  AgeFigures age{};
  bool at_least = false;  // part of the wine is of unknown age: mean by volume and youngest are lower bounds
};

/// The draws from the last tier of a run, in order.
std::vector<AgedDraw> draws_with_ages(const Outlook& outlook);

/// Years; draws that settle just at the age wanted are told to be near it from within this.
constexpr double kNearY = 0.01;

struct AgeDates {
  std::optional<AgedDraw> reached{};    // the first draw that has the age
  std::optional<AgedDraw> kept_from{};  // the first from which on every draw has it, in the long run too
  std::optional<AgedDraw> lost{};       // the last draw that has it, where it is not kept
  std::optional<AgedDraw> near{};       // the age is neared without end and never reached: from here on within kNearY
  int looked_until = 0;                 // the last year that was run
  bool unknown = false;                 // the age of the draws to come is not known
};

/// Runs of the habit as the file has it, each year run once; they go on past the forecast, for 800 years at most, where
/// the age comes later.
class AgeCalendar {
 public:
  AgeCalendar(const Scenario& scenario, const Span& span) : scenario_(scenario), span_(span) {}

  /// `long_run_y`: where this age settles; unknown: only the forecast is looked at.
  AgeDates find(AgeKind kind, double wanted_y, double long_run_y, double period_y);

 private:
  const std::vector<AgedDraw>& draws_until(int extra_years);

  const Scenario& scenario_;
  Span span_;
  std::map<int, std::vector<AgedDraw>> known_;
};

}  // namespace tierce
