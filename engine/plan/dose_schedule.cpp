#include "engine/plan/dose_schedule.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tierce {
namespace {

bool applies(const SulfurLimit& limit, const TestedMoment& moment) {
  return limit.applies(moment.sugar_g_l, moment.alcohol_pct);
}

bool over(const SulfurLimit& limit, const TestedMoment& moment) {
  constexpr double kRounding = 1e-9;  // of the limit: a total that settles exactly at it keeps it
  return applies(limit, moment) && limit.level_of(moment) > limit.limit_mg_l() * (1.0 + kRounding);
}

void take_highest(std::optional<TestedMoment>& highest, const SulfurLimit& limit, const TestedMoment& moment) {
  constexpr double kAlike = 1e-9;  // of the level: among equals the first stays, whatever the rounding
  if (!highest || limit.level_of(moment) > limit.level_of(*highest) * (1.0 + kAlike)) highest = moment;
}

/// Of a limit that applies at none of the moments, one without a highest.
SulfurVerdict verdict_on(const SulfurLimit& limit, const std::vector<TestedMoment>& moments,
                         const SulfurLongRun& long_run) {
  SulfurVerdict verdict{.limit = limit};
  for (const TestedMoment& moment : moments)
    if (applies(limit, moment))
      take_highest(moment.at_draw ? verdict.highest_at_draw : verdict.highest_after, limit, moment);
  if (!verdict.highest_after && !verdict.highest_at_draw) return verdict;
  verdict.passed = earliest(moments, [&](const TestedMoment& moment) { return over(limit, moment); });
  if (!verdict.passed && long_run.settles()) {
    verdict.passed =
        earliest(long_run.moments, [&](const TestedMoment& moment) { return !moment.past && over(limit, moment); });
    verdict.passed_later = verdict.passed.has_value();
  }
  const auto limit_of = [&](const TestedMoment& moment) {
    return applies(limit, moment) ? limit.limit_mg_l() : std::numeric_limits<double>::infinity();
  };
  verdict.largest_dose_mg_l = largest_plain_dose_mg_l(
      long_run, {limit.of_free() ? &TestedMoment::free_mg_l : &TestedMoment::total_mg_l, limit_of});
  return verdict;
}

}  // namespace

std::vector<SulfurVerdict> sulfur_verdicts(const SulfurLimits& limits, const std::vector<TestedMoment>& moments,
                                           const SulfurLongRun& long_run) {
  std::vector<SulfurVerdict> verdicts;
  for (const SulfurLimit& limit : limits) verdicts.push_back(verdict_on(limit, moments, long_run));
  std::erase_if(verdicts, [](const SulfurVerdict& one) { return !one.highest_after && !one.highest_at_draw; });
  return verdicts;
}

DoseSchedule dose_schedule(const Outlook& outlook, const SulfurRules& rules) {
  DoseSchedule schedule;
  if (outlook.run.doses.empty()) return schedule;
  schedule.doses = planned_doses(outlook.scenario, outlook.line, outlook.run);
  schedule.moments = tested_moments(outlook.run);
  int from_year = outlook.line.log_end.year;
  for (const PlannedDose& dose : schedule.doses)
    if (dose.record.past) from_year = dose.record.date.year;
  std::erase_if(schedule.doses, [&](const PlannedDose& dose) { return dose.record.date.year < from_year; });
  std::erase_if(schedule.moments, [&](const TestedMoment& moment) { return moment.date.year < from_year; });
  schedule.long_run = sulfur_long_run(outlook.scenario);
  schedule.so2 = sulfur_limits(rules, outlook.scenario);
  schedule.sulfate = sulfate_limits(rules, outlook.scenario);
  schedule.limits = sulfur_verdicts(schedule.so2, schedule.moments, schedule.long_run);
  schedule.sulfate_passed = sulfate_passed(schedule.sulfate, schedule.moments);
  if (!schedule.sulfate_passed && schedule.long_run.settles())
    schedule.sulfate_passed = sulfate_passed(schedule.sulfate, schedule.long_run.moments);
  schedule.declared = sulfite_statements(rules);
  return schedule;
}

std::vector<const PlannedDose*> next_doses(const DoseSchedule& schedule) {
  std::vector<const PlannedDose*> chosen;
  for (const PlannedDose& dose : schedule.doses) {
    const bool another_day = !chosen.empty() && dose.record.date != chosen.back()->record.date;
    if (another_day && !chosen.back()->record.past) break;
    if (another_day) chosen.clear();
    chosen.push_back(&dose);
  }
  return chosen;
}

std::vector<LimitOnDose> limits_on(const Scenario& scenario, const SulfurLimits& limits, const PlannedDose& dose) {
  std::vector<LimitOnDose> found;
  for (const SulfurLimit& limit : limits) {
    if (!limit.applies(dose.after.now.sugar_g_l, dose.after.now.alcohol_pct)) continue;
    const auto room = [&](const SulfurMoment& moment) {
      return limit.limit_mg_l() - (limit.of_free() ? moment.now.free_mg_l.planned : moment.now.total_mg_l);
    };
    LimitOnDose& one = found.emplace_back(LimitOnDose{&limit, room(dose.after)});
    if (dose.next && dose.next->from_this_row) one.room_at_draw_mg_l = room(dose.next->wine);
    if (!limit.of_free()) one.shortfall = shortfall_under(scenario, dose, limit.limit_mg_l());
  }
  return found;
}

}  // namespace tierce
