#include "cli/report/record.h"

#include "cli/read/suggest.h"
#include "cli/write/write.h"
#include "engine/run/vessel_work.h"

namespace tierce {
namespace {

constexpr Field<EntryRow> kEntryFields[] = {
    {"line", "", Figure::whole, "its line in the new file", of<&EntryRow::line>, kAlways},
    {"text", "", Figure::text, "the entry", of<&EntryRow::text>},
    {"later_entries", "", Figure::whole, "entries that stand behind it", of<&EntryRow::later_entries>, kAlways},
};
constexpr Shape<EntryRow> kNewEntry{"new_entry", "An entry that was recorded, or shown.", kEntryFields};

constexpr Field<ChangedPlace> kChangeFields[] = {
    {"place", "", Figure::text, "its name", of<&ChangedPlace::place>},
    {"without_L", "without", Figure::small_litres, "litres without the entries", of<&ChangedPlace::before_l>, kAlways},
    {"with_L", "with", Figure::small_litres, "litres with them", of<&ChangedPlace::after_l>, kAlways},
};
constexpr Shape<ChangedPlace> kChangedPlace{"changed_place", "A tier or tank whose wine changes by what was recorded.",
                                            kChangeFields};

constexpr Field<RecordView> kRecordFields[] = {
    {"file", "", Figure::text, "the file, as given", of<&RecordView::file>},
    {"written", "", Figure::flag, "the file was written; false with --show", of<&RecordView::written>},
    {"entries", "", Figure::list, "the new entries", [](auto& of) { return list_of(of.entries, kNewEntry); }, kAlways,
     nullptr, &kNewEntry},
    {"day", "", Figure::date, "the last day of the book, for 'changes'", of<&RecordView::day>},
    {"changes", "", Figure::list, "what the book says of that day otherwise",
     [](auto& of) { return list_of(of.changes, kChangedPlace); }, kAlways, nullptr, &kChangedPlace},
    {"remarks", "", Figure::texts, "what was decided, as a day that was not stated", of<&RecordView::remarks>},
};

constexpr Field<StarterView> kNewFields[] = {
    {"file", "", Figure::text, "the file, as given", of<&StarterView::file>},
    {"placeholders", "", Figure::texts, "the options whose values are invented, since they were not given",
     of<&StarterView::placeholders>},
};

}  // namespace

const Shape<RecordView> kRecordOutput{"record", "What was recorded, or would be with --show.", kRecordFields};
const Shape<StarterView> kNewOutput{"new", "A starter scenario that was written.", kNewFields};

std::vector<std::string> targets_too_large(const Scenario& read_before, const Scenario& read_after,
                                           const std::string& file) {
  std::vector<std::string> remarks;
  const Scenario before = as_the_log_leaves_it(read_before), after = as_the_log_leaves_it(read_after);
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
                      ": a refill up to the target would run over. Set it to at most that: tierce record " + file +
                      " set --tier \"" + after.tiers[row].name + "\" --target \"" + held + "\"");
  }
  return remarks;
}

Document record_report(const RecordView& view) {
  Document document;
  for (std::size_t i = 0; i < view.entries.size(); ++i) {
    const EntryRow& entry = view.entries[i];
    std::string place = ", at the end of the log";
    if (entry.later_entries > view.entries.size() - 1 - i)
      place = ", before " + std::to_string(entry.later_entries) + (entry.later_entries == 1 ? " entry" : " entries") +
              " of later days";
    document.say(view.file + ':' + std::to_string(entry.line) +
                 (view.only_show ? ": not written, only shown" : ": written") + place);
    document.term("", entry.text, 2);
  }
  for (const std::string& remark : view.remarks) document.say(remark);
  document.gap();
  if (view.changes.empty()) {
    document.say("No litre of the book at the end of " + day_text(view.day) + " changes.");
    return document;
  }
  document.lead("The book at the end of " + day_text(view.day) + ", where it changes:");
  document.add(table_of(view.changes, kChangedPlace, {"place", "without_L", "with_L"}));
  return document;
}

Document new_report(const StarterView& view) {
  Document document;
  document.say(view.file + " was written.");
  if (!view.placeholders.empty())
    document.say("Invented, and marked PLACEHOLDER in it: " + listed(view.placeholders) + ".");
  document.say("Next: tierce forecast " + view.file);
  return document;
}

}  // namespace tierce
