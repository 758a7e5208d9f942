// `tierce record`: what was added to a log, and what it changes.
#pragma once

#include <string>
#include <vector>

#include "cli/write/document.h"
#include "cli/write/field.h"
#include "engine/measure/changed_places.h"

namespace tierce {

/// An entry as it stands in the new file.
struct EntryRow {
  int line = 0;
  std::string text;
  std::size_t later_entries = 0;  // that stand behind it
};

/// What a report of a recording says.
struct RecordView {
  std::string file;  // as shown
  bool written = false, only_show = false;
  std::vector<EntryRow> entries{};
  Date day{};  // the last of the book
  std::vector<ChangedPlace> changes{};
  std::vector<std::string> remarks{};
};

extern const Shape<RecordView> kRecordOutput;
Document record_report(const RecordView& view);

/// Tiers whose stated target is more than their vessels hold, now that one is gone: the next refill would run over.
std::vector<std::string> targets_too_large(const Scenario& read_before, const Scenario& read_after,
                                           const std::string& file);

/// What `tierce new` wrote.
struct StarterView {
  std::string file;  // as shown
  std::vector<std::string> placeholders{};
};
extern const Shape<StarterView> kNewOutput;
Document new_report(const StarterView& view);

}  // namespace tierce
