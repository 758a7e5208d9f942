#include "cli/report/dose.h"

#include <algorithm>
#include <cmath>

#include "cli/read/quantity_text.h"
#include "cli/report/dose_words.h"
#include "cli/report/remarks.h"
#include "cli/report/report.h"
#include "cli/report/so2_text.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

constexpr Figure kMg = Figure::milligrams_per_litre;
constexpr Figure kHundredths = Figure::ph;  // two decimals and no unit: ounces name theirs in the heading
constexpr Figure kTenths = Figure::tenths;  // what is weighed and known; grams and mg/L name their unit in the heading
constexpr std::size_t kScheduleRows = 15, kLevelRows = 6;                  // on the page; the rest is in CSV and JSON
constexpr double kWeakSo2Pct = 5.0, kStrongSo2Pct = 6.0, kSaltPct = 10.0;  // solutions, weight per volume

double salt_g(const Outlook& outlook, double so2_g) {
  return metabisulfite_grams(so2_g, outlook.scenario.metabisulfite_yield);
}

double ounces(double grams) {
  for (const Unit& unit : units_of(Measure::mass))
    if (unit.name == "oz") return grams / unit.factor;
  return kUnknown;
}

const std::string& tier_of(const Outlook& outlook, const PlannedDose& dose) {
  return outlook.scenario.name_of(dose.record.row);
}

void say(Report& report, const std::string& text, std::size_t indent = 0) {
  if (!text.empty()) report.parts.push_back(Paragraph{text, indent});
}

void leave_a_line(Report& report) { report.parts.push_back(Paragraph{""}); }

// Tables.

const std::string& day_of(const std::vector<Cell>& row) { return std::get<std::string>(row.front()); }

/// The last day's rows and, where there are many, the first days' as far as they fit; a line says what is left out.
void keep_rows(Table& table, std::size_t most) {
  auto& rows = table.rows;
  if (rows.size() <= most) return;
  std::size_t tail = 1;
  while (tail < rows.size() && day_of(rows[rows.size() - 1 - tail]) == day_of(rows.back())) ++tail;
  std::size_t head = most > tail ? most - tail : 0;
  while (head > 0 && day_of(rows[head]) == day_of(rows[head - 1])) --head;
  const std::size_t left_out = rows.size() - head - tail;
  if (left_out == 0) return;
  const std::string text = "---- " + std::to_string(left_out) + " rows from " + day_of(rows[head]) + " to " +
                           day_of(rows[rows.size() - tail - 1]) + " are left out here; --csv and --json hold them ----";
  const auto gap =
      rows.erase(rows.begin() + static_cast<std::ptrdiff_t>(head), rows.end() - static_cast<std::ptrdiff_t>(tail));
  rows.insert(gap, {text});
}

constexpr std::ptrdiff_t kLowEnd = 7;  // its place in the table of the schedule

void take_column_out(Table& table, std::ptrdiff_t at) {
  table.columns.erase(table.columns.begin() + at);
  for (auto& row : table.rows) row.erase(row.begin() + at);
}

Table schedule_table(const Outlook& outlook, const DoseSchedule& schedule, Units units, Rows rows) {
  Table table{{{"date"},
               {"tier"},
               {"\nasked, mg/L"},
               {"\ninto", Figure::litres},
               {"before it\nfree, mg/L"},
               {"\ntotal", kMg},
               {"dose\nmg/L", kTenths},
               {"low\nend", kTenths},
               units == Units::us ? Column{"\nsalt, oz", kHundredths} : Column{"\nSO2, g", kTenths},
               {"\nsalt, g", kTenths}},
              {}};
  for (const PlannedDose& dose : schedule.doses) {
    const double so2_g = so2_grams(dose.record.dose_mg_l, dose.record.litres);
    table.rows.push_back(
        {iso_text(dose.record.date), tier_of(outlook, dose), asked_text(dose.asked) + (held_down(dose) ? "*" : ""),
         dose.record.litres, free_text(dose.before.now), dose.before.now.total_mg_l, dose.record.dose_mg_l,
         low_end_text(dose), units == Units::us ? ounces(salt_g(outlook, so2_g)) : so2_g, salt_g(outlook, so2_g)});
  }
  const auto differs = [](const PlannedDose& dose) { return !low_end_text(dose).empty(); };
  if (std::none_of(schedule.doses.begin(), schedule.doses.end(), differs)) take_column_out(table, kLowEnd);
  if (rows == Rows::that_fit) keep_rows(table, kScheduleRows);
  return table;
}

Table level_table(const Outlook& outlook, const DoseSchedule& schedule, Rows rows) {
  Table table{{{"date"},
               {"tier"},
               {"just after\nfree, mg/L"},
               {"\nbound", kMg},
               {"\ntotal", kMg},
               {"mg/L\nmolecular"},
               {"next draw\nfree, mg/L"},
               {"\nbound", kMg},
               {"\ntotal", kMg},
               {"mg/L\nmolecular"}},
              {}};
  for (const PlannedDose& dose : schedule.doses) {
    std::vector<Cell> row = {iso_text(dose.record.date), tier_of(outlook, dose)};
    const auto levels = [&](const SulfurMoment& moment) {
      row.insert(row.end(), {free_text(moment.now), moment.bound_mg_l(), moment.now.total_mg_l,
                             so2_text(moment.molecular_mg_l, Figure::fine_milligrams_per_litre)});
    };
    levels(dose.after);
    if (dose.next) levels(dose.next->wine);
    table.rows.push_back(row);
  }
  if (rows == Rows::that_fit) keep_rows(table, kLevelRows);
  return table;
}

Table csv_headings() {
  Table table{{{"date"},
               {"tier"},
               {"origin"},
               {"asked"},
               {"volume", Figure::litres},
               {"free_before", kMg},
               {"total_before", kMg},
               {"wanted", kMg},
               {"dose", kMg},
               {"dose_low_end", kMg},
               {"so2_g", kHundredths},
               {"metabisulfite_g", kHundredths},
               {"metabisulfite_oz", kHundredths}},
              {}};
  for (const char* when : {"after", "next_draw"})
    for (const char* what :
         {"free", "free_low", "free_high", "bound", "total", "molecular", "molecular_low", "molecular_high"})
      table.columns.push_back({std::string(what) + "_" + when, kMg});
  return table;
}

/// Every figure of every dose, one row each.
Table csv_table(const Outlook& outlook, const DoseSchedule& schedule) {
  Table table = csv_headings();
  for (const PlannedDose& dose : schedule.doses) {
    const DoseRecord& record = dose.record;
    const double so2_g = so2_grams(record.dose_mg_l, record.litres), salt = salt_g(outlook, so2_g);
    std::vector<Cell> row = {iso_text(record.date),
                             tier_of(outlook, dose),
                             std::string(record.past ? "book" : "plan"),
                             asked_text(dose.asked),
                             record.litres,
                             dose.before.now.free_mg_l.planned,
                             dose.before.now.total_mg_l,
                             record.wanted_mg_l.planned,
                             record.dose_mg_l,
                             record.low_end_mg_l,
                             so2_g,
                             salt,
                             ounces(salt)};
    const auto levels = [&](const SulfurMoment& moment) {
      const SulfurRange &free = moment.now.free_mg_l, &molecular = moment.molecular_mg_l;
      row.insert(row.end(), {free.planned, free.low, free.high, moment.bound_mg_l(), moment.now.total_mg_l,
                             molecular.planned, molecular.low, molecular.high});
    };
    levels(dose.after);
    levels(dose.next ? dose.next->wine : SulfurMoment{});
    table.rows.push_back(row);
  }
  return table;
}

/// The doses of the first planned day; of the last day of the book where nothing is planned.
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

std::string tablets_text(double so2_g, double tablet_g) {
  const Tablets tablets = whole_tablets(so2_g, tablet_g);
  return std::to_string(tablets.count) + " (+" + metric_text(tablets.overshoot_g, kTenths) + ")";
}

/// Neighbours of the same litres share a line.
void vessel_rows(const Outlook& outlook, const PlannedDose& dose, Units units, Table& table) {
  const auto& vessels = dose.vessels;
  for (std::size_t first = 0, last = 0; first < vessels.size(); first = ++last) {
    const VesselDose& vessel = vessels[first];
    while (last + 1 < vessels.size() && std::abs(vessels[last + 1].litres - vessel.litres) < kSameLevelL) ++last;
    const auto count = last - first + 1;
    const std::string names = count == 1 ? vessel.name
                              : count == 2
                                  ? vessel.name + ", " + vessels[last].name + ": each"
                                  : vessel.name + " to " + vessels[last].name + ": each of " + std::to_string(count);
    const double salt = salt_g(outlook, vessel.so2_g);
    table.rows.push_back({names, vessel.litres, units == Units::us ? ounces(salt) : vessel.so2_g, salt});
    table.rows.back().insert(
        table.rows.back().end(),
        {solution_ml(vessel.so2_g, kWeakSo2Pct), solution_ml(vessel.so2_g, kStrongSo2Pct), solution_ml(salt, kSaltPct),
         tablets_text(vessel.so2_g, 2.0), tablets_text(vessel.so2_g, 5.0)});
  }
}

Table vessel_table(const Outlook& outlook, const std::vector<const PlannedDose*>& doses, Units units) {
  double least_l = kUnknown;
  for (const PlannedDose* dose : doses)
    for (const VesselDose& vessel : dose->vessels) least_l = std::fmin(least_l, vessel.litres);
  Table table{{{"vessel"},
               {"holds", least_l < 50.0 ? Figure::small_litres : Figure::litres},
               {units == Units::us ? "salt, oz" : "SO2, g", units == Units::us ? kHundredths : kTenths},
               {"salt, g", kTenths}},
              {}};
  for (const Column& column :
       {Column{"SO2 5 %\nmL", Figure::whole}, Column{"SO2 6 %\nmL", Figure::whole},
        Column{"salt 10 %\nmL", Figure::whole}, Column{"2 g tabs\n(over, g)"}, Column{"5 g tabs\n(over, g)"}})
    table.columns.push_back(column);
  for (const PlannedDose* dose : doses) {
    table.rows.push_back({"-- " + tier_of(outlook, *dose) + ": " +
                          figure_text(dose->record.litres, Figure::litres, units) + " at " +
                          metric_text(dose->record.dose_mg_l, kTenths) + " mg/L"});
    vessel_rows(outlook, *dose, units, table);
  }
  return table;
}

Cell room(const SulfurLimit& limit, const std::optional<TestedMoment>& highest) {
  return highest ? Cell(limit.limit_mg_l() - sulfur_level_of(limit, *highest)) : Cell();
}

Cell level(const SulfurLimit& limit, const std::optional<TestedMoment>& highest) {
  return highest ? Cell(sulfur_level_of(limit, *highest)) : Cell();
}

std::string passed_text(const SulfurVerdict& verdict, const DoseSchedule& schedule) {
  const auto& highest = verdict.highest_after ? verdict.highest_after : verdict.highest_at_draw;
  if (!is_known(sulfur_level_of(verdict.limit, *highest))) return "not known";
  if (verdict.passed) return std::to_string(verdict.passed->date.year) + (verdict.passed_later ? ", later" : "");
  return schedule.long_run.why_not.empty() ? "never" : "not so far";
}

std::string largest_text(double dose_mg_l) {
  if (dose_mg_l < 0.0) return "none";
  if (std::isinf(dose_mg_l)) return "any";
  return metric_text(dose_mg_l, Figure::age);  // one decimal, rounded down: it supports a claim
}

Table limit_table(const DoseSchedule& schedule) {
  Table table{{{"rule"},
               {"\nlimit", kMg},
               {"just after\nhighest", kMg},
               {"\nroom", kMg},
               {"at a draw\nhighest", kMg},
               {"\nroom", kMg},
               {"passed"},
               {"largest\ndose, mg/L"}},
              {}};
  for (const SulfurVerdict& verdict : schedule.limits) {
    const SulfurLimit& limit = verdict.limit;
    table.rows.push_back({limit.rule->id, limit.limit_mg_l(), level(limit, verdict.highest_after),
                          room(limit, verdict.highest_after), level(limit, verdict.highest_at_draw),
                          room(limit, verdict.highest_at_draw), passed_text(verdict, schedule),
                          largest_text(verdict.largest_dose_mg_l)});
  }
  return table;
}

Report no_dose(const Outlook& outlook) {
  Report report;
  say(report, outlook.scenario.reserve + ": no dose of SO2 stands in the log or in the habit.");
  say(report,
      "Under `habit:` write `dose: {so2: 25 mg/L}` for the same dose at every refresh, or `dose: {to: {free: 15 "
      "mg/L}}` "
      "or `dose: {to: {molecular: 0.5 mg/L}}` for what a level takes. What was done goes into the log: "
      "`- {date: 2026-02-10, do: dose, tier: all, so2: 25 mg/L}`.");
  for (const std::string& remark : remarks_beside_figures(outlook)) say(report, remark);
  report.csv = csv_table(outlook, {});
  return report;
}

/// The line between what was done and what is planned.
void mark_book_end(const Date& book_end, Table& table) {
  const std::string end = iso_text(book_end);  // such text sorts as its dates do, and a remark before any date
  const auto plan =
      std::find_if(table.rows.begin(), table.rows.end(), [&](const auto& row) { return day_of(row) > end; });
  if (plan == table.rows.begin() || plan == table.rows.end()) return;
  table.rows.insert(plan, {"---- the book ends on " + day_text(book_end) + "; what follows is the habit ----"});
}

}  // namespace

DoseSchedule dose_schedule(const Outlook& outlook) {
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
  schedule.limits = sulfur_verdicts(outlook.scenario, schedule.moments, schedule.long_run);
  return schedule;
}

Report dose_report(const Outlook& outlook, Units units, Rows rows) {
  const DoseSchedule schedule = dose_schedule(outlook);
  if (schedule.doses.empty()) return no_dose(outlook);
  Report report;
  const auto next = next_doses(schedule);
  say(report, outlook.scenario.reserve + ": sulfur dioxide, refresh by refresh, from " +
                  day_text(schedule.doses.front().record.date) + " to " + day_text(schedule.doses.back().record.date));
  leave_a_line(report);
  Table doses = schedule_table(outlook, schedule, units, rows);
  mark_book_end(outlook.line.log_end, doses);
  report.parts.push_back(doses);
  say(report, low_end_note(schedule));
  for (const std::string& text : shortfall_texts(outlook, schedule)) say(report, text);
  say(report, scales_text(outlook, next));
  if (outlook.run.stopped)
    say(report, "THE FORECAST STOPS on " + day_text(outlook.run.stopped->date) + ": " +
                    outlook.run.stopped->problem.what + ".");
  leave_a_line(report);
  say(report, (next.front()->record.past ? "The last dose in the book, " : "The next dose, ") +
                  day_text(next.front()->record.date) +
                  ", vessel by vessel (each a choice: weigh the salt, or measure a solution, or count tablets):");
  report.parts.push_back(vessel_table(outlook, next, units));
  leave_a_line(report);
  report.parts.push_back(level_table(outlook, schedule, rows));
  say(report, footnotes_text(outlook, schedule));
  leave_a_line(report);
  report.parts.push_back(limit_table(schedule));
  say(report, sources_text(outlook, schedule));
  leave_a_line(report);
  say(report, steady_text(outlook, schedule.long_run));
  say(report, sulfate_text(outlook, schedule));
  say(report, oxygen_text(outlook, next));
  leave_a_line(report);
  for (const std::string& caution : sulfur_cautions()) say(report, "- " + caution, 2);
  leave_a_line(report);
  say(report, sulfur_balance_text(outlook));
  close_report(report, outlook, units);
  report.csv = csv_table(outlook, schedule);
  return report;
}

}  // namespace tierce
