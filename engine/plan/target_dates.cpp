#include "engine/plan/target_dates.h"

#include <algorithm>
#include <cmath>

#include "engine/measure/age.h"

namespace tierce {
namespace {

constexpr int kFurtherYears[] = {0, 50, 200, 800};

AgedDraw aged(const Outlook& outlook, const DrawRecord& draw) {
  const AgeSummary age = age_of(outlook.line, outlook.scenario.clock, draw.wine, draw.day);
  AgedDraw aged{draw.date, draw.name, draw.past, {}, age.unknown_fraction > 0.0};
  aged.age[AgeKind::by_volume] = aged.at_least ? age.mean_at_least_y : age.mean_y;
  aged.age[AgeKind::by_alcohol] = age.mean_by_alcohol_y;
  aged.age[AgeKind::by_solids] = age.mean_by_solids_y;
  aged.age[AgeKind::youngest] = is_known(age.youngest_y) ? age.youngest_y : age.youngest_at_least_y;
  return aged;
}

/// True once the draws of the last period are so near to the long run that they stay on its side of the age wanted.
bool decided(const std::vector<AgedDraw>& draws, AgeKind kind, double wanted_y, double long_run_y, double period_y) {
  if (draws.empty()) return false;
  constexpr double kNear = 1e-6;  // years
  const double near = std::max(kNear, long_run_y - wanted_y);
  const int from = draws.back().date.year - static_cast<int>(std::lround(period_y));
  return std::all_of(draws.begin(), draws.end(), [&](const AgedDraw& draw) {
    const double age_y = draw.age[kind];
    return draw.date.year <= from || (age_y >= wanted_y - kSameAgeY && std::abs(age_y - long_run_y) <= near);
  });
}

/// Whether the draws settle just at the age wanted and come up to it a little every time, without end: then a draw that
/// has it within the tolerance follows one that lacked next to nothing. An age that is reached at once does not.
bool only_nears(const std::vector<AgedDraw>& draws, AgeKind kind, double wanted_y, double long_run_y) {
  constexpr double kSettlesAt = 1e-6, kNextToNothing = 1e-5;  // years
  if (!(std::abs(long_run_y - wanted_y) <= kSettlesAt)) return false;
  double lacking_before_y = INFINITY;
  for (const AgedDraw& draw : draws) {
    const double lacking_y = wanted_y - draw.age[kind];
    if (!(lacking_y > kSameAgeY)) return lacking_y > -kSameAgeY && lacking_before_y < kNextToNothing;
    lacking_before_y = lacking_y;
  }
  return lacking_before_y < kNearY;
}

/// The first draw from which on all are so near.
std::optional<AgedDraw> near_from(const std::vector<AgedDraw>& draws, AgeKind kind, double wanted_y) {
  const auto is_near = [&](const AgedDraw& draw) { return draw.age[kind] >= wanted_y - kNearY; };
  const auto first = std::find_if_not(draws.rbegin(), draws.rend(), is_near).base();
  return first == draws.end() ? std::nullopt : std::optional(*first);
}

AgeDates dates_in(const std::vector<AgedDraw>& draws, AgeKind kind, double wanted_y, bool kept) {
  AgeDates dates;
  const auto has = [&](const AgedDraw& draw) { return draw.age[kind] >= wanted_y - kSameAgeY; };
  const auto first = std::find_if(draws.begin(), draws.end(), has);
  if (first == draws.end()) return dates;
  dates.reached = *first;
  const auto last_without = std::find_if_not(draws.rbegin(), draws.rend(), has).base();
  if (kept && last_without != draws.end()) dates.kept_from = *last_without;
  if (!dates.kept_from) dates.lost = *std::find_if(draws.rbegin(), draws.rend(), has);
  return dates;
}

}  // namespace

std::vector<AgedDraw> draws_with_ages(const Outlook& outlook) {
  std::vector<AgedDraw> draws;
  for (const DrawRecord& draw : outlook.run.draws)
    if (draw.row == outlook.scenario.tier_count() - 1) draws.push_back(aged(outlook, draw));
  return draws;
}

const std::vector<AgedDraw>& AgeCalendar::draws_until(int extra_years) {
  const auto known = known_.find(extra_years);
  if (known != known_.end()) return known->second;
  Span span = span_;
  if (extra_years > 0) span.until_year = last_year(scenario_, span_) + extra_years;
  return known_.emplace(extra_years, draws_with_ages(run_scenario(scenario_, span))).first->second;
}

AgeDates AgeCalendar::find(AgeKind kind, double wanted_y, double long_run_y, double period_y) {
  const int until = last_year(scenario_, span_);
  const bool in_the_end = is_known(long_run_y) && long_run_y >= wanted_y - kSameAgeY;
  for (const int extra : kFurtherYears) {
    const std::vector<AgedDraw>& draws = draws_until(extra);
    if (draws.empty() || !is_known(draws.back().age[kind])) return {.looked_until = until, .unknown = true};
    const bool sure = in_the_end && decided(draws, kind, wanted_y, long_run_y, period_y);
    const bool to_the_end = sure || !is_known(long_run_y);  // then "kept" is to the end of the forecast
    if (in_the_end && !sure && extra != kFurtherYears[3]) continue;
    AgeDates dates;
    if (only_nears(draws, kind, wanted_y, long_run_y)) dates.near = near_from(draws, kind, wanted_y);
    else dates = dates_in(draws, kind, wanted_y, to_the_end);
    dates.looked_until = until + extra;
    return dates;
  }
  return {};
}

}  // namespace tierce
