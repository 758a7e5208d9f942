// What the dose report says of each day, of each limit and of the long run.
#include <algorithm>

#include "cli/report/dose_rows.h"
#include "cli/report/dose_words.h"
#include "cli/report/head.h"
#include "cli/report/label/label_words.h"
#include "cli/report/run_rows.h"
#include "cli/write/parts.h"

namespace tierce {
namespace {

constexpr Figure kMg = Figure::milligrams_per_litre, kTenths = Figure::tenths;

/// Doses of one day, and the refresh of that day; an empty one where it only dosed.
struct DosingDay {
  const Outlook& outlook;
  std::vector<DoseView> doses;
  RefreshRecord refresh{};
  const DoseRecord& first() const { return doses.front().dose.record; }
};

Value first_lot(const DosingDay& day) {
  return day.refresh.lots.empty() ? Value() : Value(day.refresh.lots.front().first);
}

Value moves_of(const DosingDay& day) { return list_of(move_rows(day.outlook.scenario, day.refresh.moves), kMove); }

constexpr Field<DosingDay> kDayFields[] = {
    {"date", "", Figure::date, "the day", at<&DosingDay::first, &DoseRecord::date>},
    {"past", "", Figure::flag, "true: the log holds it; false: forecast", at<&DosingDay::first, &DoseRecord::past>},
    {"new_wine_L", "", Figure::litres, "new wine in all", at<&DosingDay::refresh, &RefreshRecord::new_wine_l>, kAlways},
    {"lot", "", Figure::text, "the first lot of new wine; null if there was none", first_lot, kOrNull},
    list<DosingDay>("lots", "new wine, lot by lot", kNewWine,
                    [](auto& day) { return list_of(day.refresh.lots, kNewWine); }),
    list<DosingDay>("moves", "wine moved from tier to tier, in the order done", kMove, moves_of),
    list<DosingDay>("doses", "doses in the order done", kPlannedDose,
                    [](auto& day) { return list_of(day.doses, kPlannedDose); }),
};
const Shape<DosingDay> kDay{"dosing_day", "A day with doses.", kDayFields};

Value days_of(const ScheduleView& of) {
  std::vector<DosingDay> days;
  for (const PlannedDose& dose : of.schedule.doses) {
    if (days.empty() || days.back().first().date != dose.record.date) {
      const auto& refreshes = of.outlook.run.refreshes;
      const auto refresh = std::find_if(refreshes.begin(), refreshes.end(),
                                        [&](const RefreshRecord& record) { return record.date == dose.record.date; });
      days.push_back({of.outlook, {}, refresh == refreshes.end() ? RefreshRecord{} : *refresh});
    }
    days.back().doses.push_back({of.outlook, of.schedule, dose});
  }
  return list_of(days, kDay);
}

struct TestedView {
  const std::string& tier;
  TestedMoment moment;
};
constexpr Field<TestedView> kTestedFields[] = {
    {"date", "", Figure::date, "the day", at<&TestedView::moment, &TestedMoment::date>},
    {"tier", "", Figure::text, "tier or tank", [](auto& of) -> Value { return of.tier; }},
    {"moment", "", Figure::word, "which of the two",
     [](auto& of) -> Value { return of.moment.at_draw ? "draw" : "just after the dose"; }, kAlways,
     "just after the dose|draw"},
    {"so2_free_mg_L", "", kMg, "free SO2", at<&TestedView::moment, &TestedMoment::free_mg_l>},
    {"so2_total_mg_L", "", kMg, "total SO2", at<&TestedView::moment, &TestedMoment::total_mg_l>},
    {"sulfate_g_L", "", Figure::fine_grams_per_litre, "sulfate, as potassium sulfate",
     at<&TestedView::moment, &TestedMoment::sulfate_g_l>},
    {"dose_mg_L", "", kTenths, "the dose; null at a draw",
     [](auto& of) -> Value { return of.moment.at_draw ? kUnknown : of.moment.dose_mg_l; }},
};
const Shape<TestedView> kTested{"tested_moment", "A moment at which a limit is tested.", kTestedFields};

using Perhaps = std::optional<TestedMoment>;

Value tested(const Outlook& outlook, const Perhaps& moment) {
  if (!moment) return Value::Absent{};
  return object_of(TestedView{outlook.scenario.name_of(moment->row), *moment}, kTested);
}
template <Perhaps SulfurVerdict::*Which>
Value tested(const VerdictView& of) {
  return tested(of.outlook, of.verdict.*Which);
}

/// Null where there is no such moment.
template <Perhaps SulfurVerdict::*Which>
Value headroom(const VerdictView& of) {
  const Perhaps& highest = of.verdict.*Which;
  return highest ? of.verdict.room_at(*highest) : kUnknown;
}

/// Nothing where there is no such moment; "-" where its SO2 is not known.
template <Perhaps SulfurVerdict::*Which, bool Room>
Value shown(const VerdictView& of) {
  const Perhaps& highest = of.verdict.*Which;
  if (!highest) return Value::Absent{};
  return Room ? of.verdict.room_at(*highest) : of.verdict.limit.level_of(*highest);
}

constexpr auto kAfter = &SulfurVerdict::highest_after, kDrawn = &SulfurVerdict::highest_at_draw;

constexpr Field<VerdictView> kVerdictFields[] = {
    {"id", "rule", Figure::text, "id of the rule", at<&VerdictView::rule, &Rule::id>},
    {"set", "", Figure::text, "the rule set", at<&VerdictView::rule, &Rule::set>},
    {"name", "", Figure::text, "what the rule is about", at<&VerdictView::rule, &Rule::about>},
    {"applies_to", "", Figure::text, "the condition", at<&VerdictView::rule, applies_to_text>},
    {"limit_mg_L", "\nlimit", kMg, "the limit", at<&VerdictView::rule, &Rule::limit>, kAlways},
    {"of", "", Figure::word, "which SO2",
     [](auto& of) -> Value { return of.verdict.limit.of_free() ? "free" : "total"; }, kAlways, "total|free"},
    {"source", "", Figure::text, "where it stands", at<&VerdictView::rule, &Rule::source, &Citation::where>},
    {"text_of", "", Figure::text, "date of the text", at<&VerdictView::rule, &Rule::source, &Citation::text_of>},
    {"known", "", Figure::text, "how well it is known: read, or from memory",
     at<&VerdictView::rule, &Rule::source, &Citation::known, known_word>},
    {"note", "", Figure::text, "what a reader should know; may be empty",
     at<&VerdictView::rule, &Rule::source, &Citation::note>},
    object<VerdictView>("highest_just_after", "the highest just after a dose", kTested, tested<kAfter>, kOrAbsent),
    {"headroom_just_after_mg_L", "", kMg, "room there; negative: passed", headroom<kAfter>},
    object<VerdictView>("highest_at_draw", "the highest at a draw", kTested, tested<kDrawn>, kOrAbsent),
    {"headroom_at_draw_mg_L", "", kMg, "room there; negative: passed", headroom<kDrawn>},
    object<VerdictView>("passed", "the first moment over it; absent: none found", kTested,
                        tested<&SulfurVerdict::passed>, kOrAbsent),
    {"passed_later", "", Figure::flag, "that moment lies beyond the forecast",
     at<&VerdictView::verdict, &SulfurVerdict::passed_later>},
    {"passed_without_dose", "", Figure::flag, "it is passed even if nothing more is dosed",
     [](auto& of) -> Value { return of.verdict.largest_dose_mg_l < 0.0; }},
    {"largest_dose_mg_L", "", kTenths, "largest plain yearly dose that never passes it; null: none, any, or not known",
     [](auto& of) -> Value { return of.verdict.largest_dose_mg_l < 0.0 ? kUnknown : of.verdict.largest_dose_mg_l; }},
};
const Shape<VerdictView> kVerdict{
    "so2_limit", "A limit that applies to wine of this reserve, and how the plan stands to it.", kVerdictFields};

constexpr Field<VerdictView> kLimitLineFields[] = {
    all_of<VerdictView>(kVerdict, part<kVerdict>),
    {"level_after", "just after\nhighest", kMg, "", shown<kAfter, false>},
    {"room_after", "\nroom", kMg, "", shown<kAfter, true>},
    {"level_at_draw", "at a draw\nhighest", kMg, "", shown<kDrawn, false>},
    {"room_at_draw", "\nroom", kMg, "", shown<kDrawn, true>},
    {"passed_in", "passed", Figure::text, "",
     [](auto& of) -> Value { return passed_text(of.verdict, of.schedule.long_run); }},
    {"largest", "largest\ndose, mg/L", Figure::text, "",
     at<&VerdictView::verdict, &SulfurVerdict::largest_dose_mg_l, largest_text>},
};

Value steady_of(const ScheduleView& of) {
  Value::List steady;
  for (const TestedMoment& moment : of.long_run().steady) steady.push_back(tested(of.outlook, moment));
  return steady;
}

constexpr Field<ScheduleView> kDoseLongRunFields[] = {
    {"why_not", "", Figure::text, "why there is no steady state; empty if there is one",
     at<&ScheduleView::long_run, why_unsettled_text>},
    {"settled_year", "", Figure::whole, "from this year on, totals are within 1 % of where they end",
     [](auto& of) { return of.long_run().steady.empty() ? Value() : Value(of.long_run().settled_year); }, kOrNull},
    list<ScheduleView>("steady", "the last period of the run: doses, then draws", kTested, steady_of),
    {"closed_form_total_mg_L", "", kMg, "total just after the dose, by the closed form for one tier",
     at<&ScheduleView::long_run, &SulfurLongRun::closed_form_mg_l>},
    {"sulfate_limit_g_L", "", Figure::fine_grams_per_litre, "limit of sulfate for this wine, as potassium sulfate",
     [](auto& of) -> Value { return least_sulfate_g_l(of.schedule.sulfate, of.schedule.moments.back().alcohol_pct); }},
    object<ScheduleView>(
        "sulfate_passed", "the first moment over it; absent: none found", kTested,
        [](auto& of) { return tested(of.outlook, of.schedule.sulfate_passed); }, kOrAbsent),
};
const Shape<ScheduleView> kDoseLongRun{"so2_long_run", "Where the doses lead if the habit goes on.",
                                       kDoseLongRunFields};

Value stopped(const ScheduleView& of) {
  const auto& stop = of.outlook.run.stopped;
  if (!stop) return Value::Absent{};
  return object_of({&of.outlook.scenario, &*stop}, kStop);
}

Value verdicts_of(const ScheduleView& of) {
  Value::List verdicts;
  for (const SulfurVerdict& verdict : of.schedule.limits)
    verdicts.push_back(object_of(VerdictView{of.outlook, of.schedule, verdict}, kVerdict));
  return verdicts;
}

Value long_run_of(const ScheduleView& of) {
  return of.schedule.doses.empty() ? Value(Value::Absent{}) : object_of(of, kDoseLongRun);
}

constexpr Field<ScheduleView> kOutputFields[] = {
    all_of<ScheduleView>(kHead, [](auto& of) { return object_of(of.outlook, kHead); }),
    {"metabisulfite_yield", "", Figure::exact_number, "grams of SO2 from a gram of potassium metabisulfite",
     [](auto& of) -> Value { return of.outlook.scenario.metabisulfite_yield; }, kAlways},
    list<ScheduleView>("refreshes", "every day with doses", kDay, days_of),
    list<ScheduleView>("limits", "limits that apply, with their sources; limits change", kVerdict, verdicts_of),
    object<ScheduleView>("long_run", "where the habit leads; absent without a dose", kDoseLongRun, long_run_of,
                         kOrAbsent),
    {"cautions", "", Figure::texts, "what to beware of, one sentence or two each",
     [](auto&) -> Value { return sulfur_cautions(); }},
    object<ScheduleView>("stopped", "only if the plan is impossible (exit status 1)", kStop, stopped, kOrAbsent),
};

}  // namespace

const Shape<VerdictView> kLimitLine{"limit_line", "A limit as a row of a table.", kLimitLineFields};
const Shape<ScheduleView> kDoseOutput{
    "dose", "The sulfur dioxide of every refresh: of the book's last year with a dose, and of the forecast.",
    kOutputFields};

}  // namespace tierce
