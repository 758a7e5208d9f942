#include "cli/command/record.h"

#include <algorithm>
#include <cmath>
#include <ostream>

#include "cli/command/deliver.h"
#include "cli/command/record_options.h"
#include "cli/io/messages.h"
#include "cli/read/print_problems.h"
#include "cli/record/record.h"
#include "cli/record/record_sheet.h"
#include "cli/report/remarks.h"
#include "cli/write/write.h"
#include "engine/run/outlook.h"
#include "engine/run/vessel_work.h"

namespace tierce {
namespace {

/// What a place holds on the last day of the book, without the entries and with them.
struct Change {
  std::string place;
  double before_l = 0.0, after_l = 0.0;
};

std::vector<double> held_on(const Scenario& scenario, const Date& day) {
  std::vector<double> litres(static_cast<std::size_t>(scenario.rows()), 0.0);
  const Outlook outlook = run_scenario(scenario, {.until_year = 0, .habit = false, .end_on = day});
  if (!outlook.run.looks.empty())
    for (std::size_t row = 0; row < litres.size(); ++row)
      litres[row] = outlook.run.looks.back().volume[static_cast<Eigen::Index>(row)];
  return litres;
}

std::vector<Change> changes(const Recorded& recorded, const Date& day) {
  const auto before = held_on(recorded.before.scenario, day), after = held_on(recorded.after.scenario, day);
  std::vector<Change> list;
  for (std::size_t row = 0; row < std::min(before.size(), after.size()); ++row) {
    const auto index = static_cast<int>(row);
    if (std::abs(after[row] - before[row]) > 1e-9 * recorded.after.scenario.capacity_of(index))
      list.push_back({recorded.after.scenario.name_of(index), before[row], after[row]});
  }
  return list;
}

std::string counted(std::size_t count) { return std::to_string(count) + (count == 1 ? " entry" : " entries"); }

void say_where(Report& report, const Recorded& recorded, const RecordRequest& request,
               const std::vector<WrittenEntry>& entries) {
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const AddedEntry& added = recorded.added[i];
    std::string place = ", at the end of the log";
    if (added.behind > entries.size() - 1 - i) place = ", before " + counted(added.behind) + " of later days";
    report.parts.push_back(Paragraph{fit_to_show(request.file) + ':' + std::to_string(added.at.line) +
                                     (request.only_show ? ": not written, only shown" : ": written") + place});
    report.parts.push_back(Paragraph{"  " + in_braces(entries[i]), 2});
  }
  for (const std::string& remark : request.remarks) report.parts.push_back(Paragraph{remark});
}

/// Tiers whose stated target is more than their vessels hold, now that one is gone: the next refill would run over.
std::vector<std::string> targets_too_large(const Recorded& recorded, const std::string& file) {
  std::vector<std::string> remarks;
  const Scenario before = as_the_log_leaves_it(recorded.before.scenario);
  const Scenario after = as_the_log_leaves_it(recorded.after.scenario);
  const auto over = [](const Scenario& scenario, std::size_t row) {
    return scenario.tiers[row].target_l > scenario.capacity_of(static_cast<int>(row)) * (1.0 + 1e-9);
  };
  for (std::size_t row = 0; row < after.tiers.size(); ++row) {
    if (!over(after, row) || (row < before.tiers.size() && over(before, row))) continue;
    const auto litres = [&](double volume_l, Rounding rounding) {
      return decimal_text(in_shown_unit(volume_l, Figure::small_litres, after.units), 1, rounding, false) + ' ' +
             unit_text(Figure::small_litres, after.units);
    };
    const std::string held = litres(after.capacity_of(static_cast<int>(row)), Rounding::down);
    remarks.push_back("Tier '" + after.tiers[row].name + "' keeps its target of " +
                      litres(after.tiers[row].target_l, Rounding::nearest) + ", and its vessels now hold " + held +
                      ": a refill up to the target would run over. Set it to at most that: tierce record " +
                      fit_to_show(file) + " set --tier \"" + after.tiers[row].name + "\" --target \"" + held + "\"");
  }
  return remarks;
}

Report report_of(const Recorded& recorded, const RecordRequest& request, const std::vector<WrittenEntry>& entries) {
  Report report;
  say_where(report, recorded, request, entries);
  for (const std::string& remark : targets_too_large(recorded, request.file)) report.parts.push_back(Paragraph{remark});
  const Date day = last_entry(recorded.after.scenario);
  const auto list = changes(recorded, day);
  report.parts.push_back(Paragraph{""});
  if (list.empty()) {
    report.parts.push_back(Paragraph{"No litre of the book at the end of " + day_text(day) + " changes."});
    return report;
  }
  report.parts.push_back(Paragraph{"The book at the end of " + day_text(day) + ", where it changes:"});
  Table table{{{""}, {"without", Figure::small_litres}, {"with", Figure::small_litres}}, {}};
  for (const Change& change : list) table.rows.push_back({change.place, change.before_l, change.after_l});
  report.parts.push_back(table);
  return report;
}

nlohmann::json json_of(const Recorded& recorded, const RecordRequest& request,
                       const std::vector<WrittenEntry>& entries) {
  nlohmann::json list = nlohmann::json::array(), moved = nlohmann::json::array();
  for (std::size_t i = 0; i < entries.size(); ++i)
    list.push_back({{"line", recorded.added[i].at.line},
                    {"text", in_braces(entries[i])},
                    {"later_entries", recorded.added[i].behind}});
  const Date day = last_entry(recorded.after.scenario);
  for (const Change& change : changes(recorded, day))
    moved.push_back({{"place", change.place}, {"without_L", change.before_l}, {"with_L", change.after_l}});
  std::vector<std::string> remarks = request.remarks;
  for (const std::string& remark : targets_too_large(recorded, request.file)) remarks.push_back(remark);
  return {{"file", fit_to_show(request.file)},
          {"written", recorded.written},
          {"entries", list},
          {"day", iso_text(day)},
          {"changes", moved},
          {"remarks", remarks}};
}

int refuse(const Recorded& recorded, const RecordRequest& request, std::ostream& err) {
  print_problems(recorded.after.problems, recorded.after.source, err);
  if (!recorded.failure.empty()) say_error(fit_to_show(request.file) + ": " + recorded.failure);
  say_error(std::string("nothing was written") + (!recorded.failure.empty() ? ""
                                                  : recorded.faulty_before
                                                      ? ": the file itself has to be mended first"
                                                      : ": the lines are those that the file would have"));
  return kBadInput;
}

/// Remarks on the file with the entries in it: those that all reports say, and those on what was added.
std::vector<std::string> remarks_of(Recorded& recorded, const Date& today) {
  Scenario& scenario = recorded.after.scenario;
  remark_on_days_ahead(scenario, today);
  std::vector<std::string> lines;
  for (const Remark& remark : scenario.remarks) {
    const auto is_there = [&](const AddedEntry& added) { return added.at.line == remark.at.line; };
    if (remark.beside_figures || std::any_of(recorded.added.begin(), recorded.added.end(), is_there))
      lines.push_back(as_sentence(remark));
  }
  return lines;
}

int record(RecordRequest request, const std::vector<WrittenEntry>& entries, std::ostream& out, std::ostream& err) {
  // Told before it is written: a slip of the year would put the whole habit off until then.
  for (const WrittenEntry& entry : entries)
    if (entry.date > request.today) {
      say_warning("the day lies ahead: " + iso_text(entry.date) +
                  "; a log holds what was done, and the habit begins only behind its last entry");
      break;
    }
  Recorded recorded =
      record_entries(request.file, entries, "record " + (request.sheet ? "--sheet" : request.verb), request.only_show);
  const bool done = recorded.after.problems.empty() && recorded.failure.empty();
  if (!done) return refuse(recorded, request, err);
  for (std::string& remark : remarks_of(recorded, request.today)) request.remarks.push_back(std::move(remark));
  for (const std::string& lost : recorded.lost)
    say_warning(request.file + ": " + lost + " could not be kept; set it again, or ask whoever may");
  const int told = deliver("",
                           request.json ? json_text(json_of(recorded, request, entries))
                                        : text_of(report_of(recorded, request, entries), recorded.after.scenario.units),
                           out);
  if (told != kFine && recorded.written) say_error("the entry stands in the file all the same");
  return told;
}

}  // namespace

int run_record(const std::vector<std::string>& arguments, const Date& today, std::istream& in, std::ostream& out,
               std::ostream& err) {
  ParsedRecord parsed = parse_record(arguments, today);
  if (!parsed.help.empty()) return deliver("", parsed.help, out);
  if (!parsed.error.empty()) {
    say_error(parsed.error);
    return kBadInput;
  }
  if (!parsed.request.sheet) return record(parsed.request, {parsed.request.entry}, out, err);
  const SheetAnswers answers = ask_sheet(parsed.request, in, parsed.request.json ? err : out, err);
  if (answers.entries.empty()) return answers.status;
  return record(parsed.request, answers.entries, out, err);
}

}  // namespace tierce
