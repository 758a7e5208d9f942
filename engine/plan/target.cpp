#include "engine/plan/target.h"

#include <algorithm>

#include "engine/plan/crossing.h"
#include "engine/plan/draw_shares.h"
#include "engine/run/simulate.h"

namespace tierce {
namespace {

constexpr double kNoCeilingY = 10'000.0;  // an age that grows beyond this as less is drawn has no ceiling
constexpr double kLeastEvaporationPart = 1e-4;
constexpr double kTableAgesY[] = {1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50};
constexpr std::size_t kMostTableRows = 8;

AgeFigures figures_of(const LongRun& settled) {
  AgeFigures figures;
  figures[AgeKind::by_volume] = settled.mean_y;
  figures[AgeKind::by_alcohol] = settled.mean_by_alcohol_y;
  figures[AgeKind::by_solids] = settled.mean_by_solids_y;
  figures[AgeKind::youngest] = settled.youngest_y;
  return figures;
}

/// From full tiers: how they were filled is forgotten in the long run, and a shortage of today is the forecast's.
EndlessHabit from_full_tiers(EndlessHabit habit) {
  for (int tier = 0; tier < habit.scenario.tier_count(); ++tier)
    habit.volume_l[tier] = habit.scenario.tiers[static_cast<std::size_t>(tier)].target_l;
  return habit;
}

ShareTrial long_run_trial(const EndlessHabit& habit, double share) {
  EndlessHabit other = habit;
  other.scenario = with_drawn_share(habit.scenario, share);
  const LongRun settled = long_run(other);
  ShareTrial trial;
  trial.goes = is_known(settled.mean_y) || !settled.why_not;
  trial.why_not = settled.why_not;
  trial.last = trial.least = figures_of(settled);
  trial.drawn_l_y = settled.drawn_l_y;
  trial.new_wine_l_y = settled.new_wine_l_y;
  trial.full_l = settled.full_l;
  return trial;
}

/// The most that the tiers hold together in the last year of a run, just after a refill; unknown without one.
double fullest_in_last_year(const Outlook& outlook) {
  double most_l = 0.0;
  const int last = outlook.run.flows.years.back().year, tiers = outlook.scenario.tier_count();
  for (std::size_t i = 0; i < outlook.run.volumes.size(); ++i)
    if (outlook.line.events[i].date.year == last && outlook.run.volumes[i].size() > 0)
      most_l = std::max(most_l, outlook.run.volumes[i].head(tiers).sum());
  return most_l > 0.0 ? most_l : kUnknown;
}

ShareTrial forecast_trial(const Scenario& scenario, const Span& span, double share) {
  Outlook outlook{with_drawn_share(scenario, share), {}, {}};
  outlook.line = timeline(outlook.scenario, span);
  outlook.run = simulate(outlook.scenario, outlook.line, Keep::path);
  ShareTrial trial;
  trial.goes = !outlook.run.stopped && !outlook.run.flows.years.empty();
  if (outlook.run.stopped) trial.why_not = {NoLongRun::Because::stops, outlook.run.stopped->problem.what};
  if (!trial.goes) return trial;
  bool any = false;
  for (const AgedDraw& draw : draws_with_ages(outlook)) {
    if (draw.past) continue;
    trial.last = draw.age;
    for (int kind = 0; kind < kAgeKinds; ++kind) {
      double& least_y = trial.least.y[kind];
      least_y = any && !(draw.age.y[kind] < least_y) ? least_y : draw.age.y[kind];
    }
    any = true;
  }
  const YearFlows& last = outlook.run.flows.years.back();
  trial.drawn_l_y = last.litres[kDrawn];
  trial.new_wine_l_y = last.litres[kIn];
  trial.full_l = fullest_in_last_year(outlook);
  return trial;
}

/// The part of today's evaporation with which the ceiling is the age wanted.
double evaporation_for(const EndlessHabit& habit, AgeKind kind, double wanted_y, double share) {
  const auto above = [&](double part) {
    EndlessHabit other = habit;
    for (Tier& tier : other.scenario.tiers) tier.evaporation.per_year *= part;
    const double found_y = long_run_trial(other, share).last[kind];
    return is_known(found_y) ? found_y - wanted_y : -wanted_y;
  };
  if (above(kLeastEvaporationPart) < 0.0 || above(1.0) >= 0.0) return kUnknown;
  return crossing(above, kLeastEvaporationPart, 1.0, 40).first;
}

std::vector<WantedAge> claimed_ages(const Scenario& scenario) {
  std::vector<WantedAge> wanted;
  for (const Claim& claim : scenario.claims) {
    if (claim.say != Say::mean_age && claim.say != Say::youngest) continue;
    const double years = is_known(claim.at_least) ? claim.at_least : claim.stated;
    const bool youngest = claim.say == Say::youngest;
    const bool known = std::any_of(wanted.begin(), wanted.end(), [&](const WantedAge& one) {
      return one.youngest == youngest && one.years == years;
    });
    if (is_known(years) && years > 0.0 && !known) wanted.push_back({youngest, years, true});
  }
  return wanted;
}

/// All the searches of one scenario; their runs are shared by the targets.
class Work {
 public:
  Work(const Scenario& scenario, const Span& span, const std::function<void(int)>& tell)
      : alone_(from_full_tiers(endless_habit(scenario))),
        calendar_(scenario, span),
        long_run_([this, tell](double share) {
          tell(++runs_);
          return long_run_trial(alone_, share);
        }),
        forecast_([this, scenario, span, tell](double share) {
          tell(++runs_);
          return forecast_trial(scenario, span, share);
        }) {}

  AgeTarget target(AgeKind kind, const WantedAge& wanted, const LongRun& habit) {
    AgeTarget target{.kind = kind, .wanted = wanted};
    const AgeOfTrial last = [kind](const ShareTrial& trial) { return trial.last[kind]; };
    const AgeOfTrial least = [kind](const ShareTrial& trial) { return trial.least[kind]; };
    if (alone_.why_not) target.in_the_long_run.why_not = alone_.why_not;
    else target.in_the_long_run = long_run_.largest(last, wanted.years);
    target.at_the_last = forecast_.largest(last, wanted.years);
    target.at_every = forecast_.largest(least, wanted.years);
    target.long_run_y = figures_of(habit)[kind];
    const double highest_y = target.in_the_long_run.highest_y;
    target.no_ceiling = highest_y > kNoCeilingY;
    if (!target.no_ceiling) target.ceiling_y = highest_y;
    target.dates = calendar_.find(kind, wanted.years, target.long_run_y, is_known(habit.period_y) ? habit.period_y : 1);
    if (target.impossible() && kind != AgeKind::youngest && is_known(long_run_.least()))
      target.evaporation_part = evaporation_for(alone_, kind, wanted.years, long_run_.least());
    return target;
  }

  /// The largest draws for round ages, by volume.
  void table(TargetAnswer& answer) {
    answer.why_no_search = alone_.why_not ? alone_.why_not : long_run_.why_none();
    if (answer.why_no_search) return;
    const AgeOfTrial age = [](const ShareTrial& trial) { return trial.last[AgeKind::by_volume]; };
    const ShareTrial& most = long_run_.at(long_run_.most());
    answer.most = {age(most), most};
    answer.why_no_more = long_run_.at(1.0).why_not;
    for (const double years : kTableAgesY) {
      if (!(years > answer.most.mean_y) || answer.ages.size() == kMostTableRows) continue;
      const LargestShare found = long_run_.largest(age, years);
      if (found.limit == LargestShare::Limit::age) answer.ages.push_back({years, found.at});
    }
  }

  LongRunCheck check() const { return check_long_run(alone_); }

 private:
  EndlessHabit alone_;
  AgeCalendar calendar_;
  int runs_ = 0;
  ShareSearch long_run_;
  ShareSearch forecast_;
};

}  // namespace

bool TargetAnswer::impossible() const {
  const auto never = [](const AgeTarget& target) { return target.impossible(); };
  return (why_no_search && outlook.run.stopped) || std::any_of(targets.begin(), targets.end(), never);
}

TargetAnswer work_out_target(const Scenario& scenario, const Span& span, std::vector<WantedAge> wanted,
                             const std::function<void(int runs)>& tell) {
  TargetAnswer answer{.outlook = run_scenario(scenario, span)};
  answer.last_year = last_year(scenario, span);
  answer.long_run = long_run(scenario);
  Work work(answer.outlook.scenario, span, tell);
  answer.check = work.check();
  if (wanted.empty()) wanted = claimed_ages(scenario);
  for (const WantedAge& one : wanted) {
    if (one.youngest) answer.targets.push_back(work.target(AgeKind::youngest, one, answer.long_run));
    else
      for (const AgeKind kind : {AgeKind::by_volume, AgeKind::by_alcohol, AgeKind::by_solids})
        answer.targets.push_back(work.target(kind, one, answer.long_run));
  }
  work.table(answer);
  return answer;
}

}  // namespace tierce
