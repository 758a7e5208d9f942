// The chain behind a claim: lots, dates, volumes, acts, down to the lines of the log.
#pragma once

#include "cli/read/source.h"
#include "cli/report/label.h"
#include "cli/write/table.h"

namespace tierce {

/// What another person needs to redo the figures of a draw.
void add_evidence(Report& report, const LabelView& view, const LabelledDraw& labelled, const Source& source,
                  Units units);
/// The lines of the log up to the draw that moved, added or measured wine: line number, as it stands there.
std::vector<std::pair<int, std::string>> log_lines_behind(const LabelView& view, const DrawRecord& draw,
                                                          const Source& source);

}  // namespace tierce
