#include "cli/report/dose.h"

#include <algorithm>
#include <cmath>

#include "cli/read/rule_book.h"
#include "cli/report/dose_words.h"
#include "cli/report/foot.h"
#include "cli/report/remarks.h"
#include "cli/report/report.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

const std::string kNoBreak = "\xC2\xA0";
constexpr Figure kTenths = Figure::tenths;  // without a unit

std::vector<DoseView> lines_of(const Outlook& outlook, const DoseSchedule& schedule) {
  std::vector<DoseView> lines;
  for (const PlannedDose& dose : schedule.doses) lines.push_back({outlook, schedule, dose});
  return lines;
}

const std::string& day_of(const std::vector<Cell>& row) { return std::get<std::string>(row.front()); }

/// The line between what was done and what is planned.
void mark_book_end(const Date& book_end, Table& table) {
  const std::string end = iso_text(book_end);  // such text sorts as its dates do, and a remark before any date
  const auto plan =
      std::find_if(table.rows.begin(), table.rows.end(), [&](const auto& row) { return day_of(row) > end; });
  if (plan == table.rows.begin() || plan == table.rows.end()) return;
  table.rows.insert(plan, {"---- the book ends on " + day_text(book_end) + "; what follows is the habit ----"});
}

/// One row a dose; what is weighed comes last.
Table schedule_table(const std::vector<DoseView>& lines, const Outlook& outlook, Units units) {
  std::vector<Pick> picks = {"date",     "tier", "asked_or_held", "volume_L", "free_before", "before/so2_total_mg_L",
                             "dose_mg_L"};
  const auto differs = [](const DoseView& line) { return !low_end_text(line.dose).empty(); };
  if (std::any_of(lines.begin(), lines.end(), differs)) picks.emplace_back("other_low_end");
  if (units == Units::us) picks.emplace_back("metabisulfite_oz");
  picks.emplace_back("metabisulfite_g", "\nsalt, g");
  Table table = table_of(lines, kDoseLine, picks);
  table.folds = true;
  mark_book_end(outlook.line.log_end, table);
  return table;
}

Table level_table(const std::vector<DoseView>& lines) {
  Table table = table_of(
      lines, kDoseLine,
      {"date", "tier", "free_after", "just_after/so2_bound_mg_L", "just_after/so2_total_mg_L", "molecular_after",
       "free_at_draw", "next_draw/so2_bound_mg_L", "next_draw/so2_total_mg_L", "molecular_at_draw"});
  constexpr std::size_t kJustAfter = 6;  // columns; a row ends there where no draw follows
  for (std::size_t i = 0; i < lines.size(); ++i)
    if (!lines[i].dose.next) table.rows[i].resize(kJustAfter);
  table.folds = true;
  return table;
}

/// Every figure of every dose, one row each.
Table csv_table(const std::vector<DoseView>& lines) {
  const std::vector<Pick> picks = {"date",
                                   "tier",
                                   "origin",
                                   "asked",
                                   "volume_L",
                                   "before/so2_free_mg_L",
                                   "before/so2_total_mg_L",
                                   "wanted_mg_L",
                                   "dose_mg_L",
                                   "dose_low_end_mg_L",
                                   "so2_g",
                                   "metabisulfite_g",
                                   "metabisulfite_oz",
                                   "just_after/so2_free_mg_L",
                                   "just_after/so2_free_low_mg_L",
                                   "just_after/so2_free_high_mg_L",
                                   "just_after/so2_bound_mg_L",
                                   "just_after/so2_total_mg_L",
                                   "just_after/so2_molecular_mg_L",
                                   "just_after/so2_molecular_low_mg_L",
                                   "just_after/so2_molecular_high_mg_L",
                                   "next_draw/so2_free_mg_L",
                                   "next_draw/so2_free_low_mg_L",
                                   "next_draw/so2_free_high_mg_L",
                                   "next_draw/so2_bound_mg_L",
                                   "next_draw/so2_total_mg_L",
                                   "next_draw/so2_molecular_mg_L",
                                   "next_draw/so2_molecular_low_mg_L",
                                   "next_draw/so2_molecular_high_mg_L"};
  Table table = table_of(lines, kDoseLine, picks);
  for (std::size_t i = 0; i < picks.size(); ++i) {  // of which of the three wines a level is
    std::string& key = table.columns[i].key = picks[i].key;
    std::replace(key.begin(), key.end(), '/', '_');
  }
  return table;
}

/// Neighbours of the same litres share a line.
std::vector<VesselView> vessel_lines(const Outlook& outlook, const PlannedDose& dose) {
  std::vector<VesselView> lines;
  const auto& vessels = dose.vessels;
  for (std::size_t first = 0, last = 0; first < vessels.size(); first = ++last) {
    const VesselDose& vessel = vessels[first];
    while (last + 1 < vessels.size() && std::abs(vessels[last + 1].litres - vessel.litres) < kSameLevelL) ++last;
    const auto count = last - first + 1;
    lines.push_back({outlook.scenario.metabisulfite_yield, vessel});
    if (count == 2) lines.back().vessel.name += ", " + vessels[last].name + ": each";
    if (count > 2) lines.back().vessel.name += " to " + vessels[last].name + ": each of " + std::to_string(count);
  }
  return lines;
}

Table vessel_table(const Outlook& outlook, const std::vector<const PlannedDose*>& doses, Units units) {
  double least_l = kUnknown;
  for (const PlannedDose* dose : doses)
    for (const VesselDose& vessel : dose->vessels) least_l = std::fmin(least_l, vessel.litres);
  const std::vector<Pick> picks = {"name",
                                   {"volume_L", "holds", least_l < 50.0 ? Figure::small_litres : Figure::litres},
                                   units == Units::us ? "metabisulfite_oz" : "so2_g",
                                   "metabisulfite_g",
                                   {"so2_solution_5_pct_mL", "SO2 5 %\nmL", Figure::whole},
                                   {"so2_solution_6_pct_mL", "SO2 6 %\nmL", Figure::whole},
                                   {"metabisulfite_solution_10_pct_mL", "salt 10 %\nmL", Figure::whole},
                                   "small_tablets",
                                   "large_tablets"};
  Table table;
  for (const PlannedDose* dose : doses) {
    Table of_dose = table_of(vessel_lines(outlook, *dose), kVesselLine, picks);
    table.columns = of_dose.columns;
    table.rows.push_back({"-- " + outlook.scenario.name_of(dose->record.row) + ": " +
                          figure_text(dose->record.litres, Figure::litres, units) + " at " +
                          metric_text(dose->record.dose_mg_l, kTenths) + " mg/L"});
    table.rows.insert(table.rows.end(), of_dose.rows.begin(), of_dose.rows.end());
  }
  for (Column& column : table.columns)  // what few weigh by
    if (column.key == "so2_solution_6_pct_mL" || column.key == "small_tablets" || column.key == "large_tablets")
      column.when = Column::When::with_all;
  return table;
}

Table limit_table(const Outlook& outlook, const DoseSchedule& schedule) {
  std::vector<VerdictView> lines;
  for (const SulfurVerdict& verdict : schedule.limits) lines.push_back({outlook, schedule, verdict});
  return table_of(
      lines, kLimitLine,
      {"id", "limit_mg_L", "level_after", "room_after", "level_at_draw", "room_at_draw", "passed_in", "largest"});
}

Document no_dose(const Outlook& outlook) {
  Document document;
  document.say(outlook.scenario.reserve + ": no dose of SO2 stands in the log or in the habit.");
  document.say(
      "Under `habit:` write `dose: {so2: 25 mg/L}` for the same dose at every refresh, or `dose: {to: {free: 15 "
      "mg/L}}` "
      "or `dose: {to: {molecular: 0.5 mg/L}}` for what a level takes. What was done goes into the log: "
      "`- {date: 2026-02-10, do: dose, tier: all, so2: 25 mg/L}`.");
  for (const std::string& remark : remarks_beside_figures(outlook)) document.say(remark);
  document.csv = csv_table({});
  return document;
}

/// What is to be said of the schedule, right below it.
void explain_schedule(Document& document, const Outlook& outlook, const DoseSchedule& schedule) {
  document.note(low_end_note(schedule));
  for (const std::string& text : shortfall_texts(outlook, schedule)) document.note(text);
  document.note(scales_text(outlook, next_doses(schedule)));
  if (const auto& stop = outlook.run.stopped)
    document.add(Sentence{"THE FORECAST STOPS on " + day_text(stop->date) + ": " + stop->problem.what + ".", true,
                          Sentence::BelongsTo::last});
}

/// "Amber: dose 57.7 g of metabisulfite on 10 Feb 2027 (25.0 mg/L into 1,330 L of barrels); ..."
std::string answer_text(const Outlook& outlook, const DoseSchedule& schedule, Units units) {
  std::string text;
  for (const PlannedDose* dose : next_doses(schedule)) {
    const double grams = metabisulfite_grams(so2_grams(dose->record.dose_mg_l, dose->record.litres),
                                             outlook.scenario.metabisulfite_yield);
    text += (text.empty() ? "" : ", and ") + metric_text(grams, kTenths) + kNoBreak + "g of metabisulfite (" +
            metric_text(dose->record.dose_mg_l, kTenths) + kNoBreak + "mg/L into " +
            figure_text(dose->record.litres, Figure::litres, units) + " of " +
            outlook.scenario.name_of(dose->record.row) + ", total then " +
            metric_text(dose->after.now.total_mg_l, Figure::milligrams_per_litre) + kNoBreak + "mg/L)";
  }
  const DoseRecord& first = next_doses(schedule).front()->record;
  return outlook.scenario.reserve + (first.past ? ": the last dose in the book, on " : ": dose on ") +
         day_text(first.date) + ": " + text + ".";
}

}  // namespace

DoseSchedule dose_schedule(const Outlook& outlook) {
  const RuleBook& book = rules_of(outlook.scenario);
  return dose_schedule(outlook, {book, sets_of(outlook.scenario, set_names(book))});
}

Document dose_report(const Outlook& outlook, Units units) {
  const DoseSchedule schedule = dose_schedule(outlook);
  if (schedule.doses.empty()) return no_dose(outlook);
  const auto lines = lines_of(outlook, schedule);
  const auto next = next_doses(schedule);
  Document document, more;
  document.title = answer_text(outlook, schedule, units);
  document.lead("Vessel by vessel (each a choice: weigh the salt, or measure a solution; with --all also tablets):");
  document.add(vessel_table(outlook, next, units));
  document.add(schedule_table(lines, outlook, units));
  explain_schedule(document, outlook, schedule);
  document.add(Block(limit_table(outlook, schedule)));  // its headings stand even where no limit applies
  document.note(
      "Limits change: read the text in force before you rely on one. Levels at each dose and draw, the "
      "sources of the limits, oxygen, the balance of SO2: --all.");
  document.gap();
  document.say(footnotes_text(outlook, schedule));
  document.say(steady_text(outlook, schedule.long_run));
  document.say(sulfate_text(outlook, schedule));
  document.gap();
  for (const std::string& caution : sulfur_cautions()) document.item(caution);
  more.add(level_table(lines));
  more.say(sources_text(schedule));
  more.say(oxygen_text(outlook, next));
  more.say(sulfur_balance_text(outlook));
  document.more = std::move(more.blocks);
  close_report(document, outlook, units, kSulfur | kStrengths);
  document.csv = csv_table(lines);
  return document;
}

Value dose_json(const Outlook& outlook) {
  const DoseSchedule schedule = dose_schedule(outlook);
  return object_of(ScheduleView{outlook, schedule}, kDoseOutput);
}

}  // namespace tierce
