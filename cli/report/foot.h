// What closes every report.
#pragma once

#include <optional>
#include <string>

#include "cli/report/assumptions.h"
#include "cli/write/document.h"

namespace tierce {

/// One dated line of the balance; what was left out of the book, and the remarks, in full; how many defaults touch the
/// kinds of figures that the report shows. All that they rest on goes into the document's notes.
/// `day`: of a report about a past day, whose balance is that of its day, not that of the forecast.
void close_report(Document& report, const Outlook& outlook, Units units, unsigned touches = kAllFigures,
                  const std::optional<Date>& day = {});

/// The balance in litres or gallons, term by term, and in money where it is counted.
std::string balance_text(const Outlook& outlook, Units units);

}  // namespace tierce
