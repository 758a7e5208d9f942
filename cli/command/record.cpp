#include "cli/command/record.h"

#include <algorithm>
#include <ostream>

#include "cli/command/deliver.h"
#include "cli/command/record_options.h"
#include "cli/io/messages.h"
#include "cli/read/print_problems.h"
#include "cli/record/record.h"
#include "cli/record/record_sheet.h"
#include "cli/report/record.h"
#include "cli/report/remarks.h"
#include "cli/write/json.h"
#include "cli/write/write.h"
#include "engine/run/outlook.h"

namespace tierce {
namespace {

RecordView view_of(const Recorded& recorded, const RecordRequest& request, const std::vector<WrittenEntry>& entries) {
  const Scenario &before = recorded.before.scenario, &after = recorded.after.scenario;
  RecordView view{fit_to_show(request.file), recorded.written, request.only_show};
  for (std::size_t i = 0; i < entries.size(); ++i)
    view.entries.push_back({recorded.added[i].at.line, in_braces(entries[i]), recorded.added[i].behind});
  view.day = last_entry(after);
  view.changes = changed_places(before, after, view.day);
  view.remarks = request.remarks;
  for (std::string& remark : targets_too_large(before, after, view.file)) view.remarks.push_back(std::move(remark));
  return view;
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
  const RecordView view = view_of(recorded, request, entries);
  const int told = deliver("",
                           request.json ? json_text(object_of(view, kRecordOutput))
                                        : text_of(record_report(view), recorded.after.scenario.units),
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
