// Entries into the log of a file: the whole new file is read, checked and run before a byte is written.
#pragma once

#include <string>
#include <vector>

#include "cli/read/load.h"
#include "cli/record/log_text.h"

namespace tierce {

struct Recorded {
  LoadedScenario before, after;
  std::vector<AddedEntry> added;  // their places in the new file, in the order given; without the bytes
  bool faulty_before = false;     // the faults of `after` are those that the file had already
  bool written = false;
  std::string failure;              // why nothing was written, if it is no fault of the file
  std::vector<std::string> lost{};  // what the new file could not be given of the old one, as its group
};

/// `entries` in the order of their days. `doing`: what others who want to write the file are told. With `only_show`
/// nothing is written or locked.
Recorded record_entries(const std::string& path, const std::vector<WrittenEntry>& entries, const std::string& doing,
                        bool only_show);

}  // namespace tierce
