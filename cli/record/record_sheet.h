// The blanks of the sheet of the next refresh, asked for one by one.
#pragma once

#include <iosfwd>
#include <vector>

#include "cli/record/log_text.h"
#include "cli/record/request.h"

namespace tierce {

struct SheetAnswers {
  std::vector<WrittenEntry> entries;  // empty: nothing is to be recorded
  int status = 0;                     // exit status then
};

/// Shows what is expected, takes what was read, shows the entries and asks whether they shall be written.
SheetAnswers ask_sheet(const RecordRequest& request, std::istream& in, std::ostream& out, std::ostream& err);

}  // namespace tierce
