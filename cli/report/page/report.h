// Reports that other commands print, as blocks of a page: the same words and figures, set as a page sets them.
#pragma once

#include <vector>

#include "cli/report/page/thinned.h"
#include "cli/write/page.h"

namespace tierce {

/// The parts of a report. Its title, and the balance and the notes that close it, are left out: the page has a part of
/// its own for these.
std::vector<Block> blocks_of(const Document& document);

/// Sheets of monospaced text, between form feeds.
std::vector<Block> blocks_of_sheets(const std::string& sheets);

/// A part without what is too long for a page: rows, lines and items beyond the room there is, and how many they are.
void shorten(Part& part, const PageRoom& room);

}  // namespace tierce
