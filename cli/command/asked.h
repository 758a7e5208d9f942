// What a command is asked of one file, and the answer in the format that is wanted.
#pragma once

#include <iosfwd>
#include <optional>
#include <string>

#include "cli/command/answers.h"
#include "cli/command/options.h"
#include "cli/read/load.h"
#include "cli/write/json.h"
#include "cli/write/write.h"
#include "engine/run/outlook.h"

namespace tierce {

/// One file, read and sound.
struct Asked {
  const Options& options;
  const LoadedScenario& loaded;
  std::ostream& err;

  const Scenario& scenario() const { return loaded.scenario; }
  const std::string& path() const { return loaded.source.path; }
  /// Those of the command line, else the file's own.
  Units units() const { return options.units.value_or(loaded.scenario.units); }
  /// As far as --years or the file lets the forecast go.
  Span span() const;
};

/// Says why, and answers that the input is bad.
Answer refuse(const std::string& why);
/// A run that stopped early is a plan that is impossible; the report says where.
int status_of(const Outlook& outlook);

/// How much of a text report is wanted, at the width of the terminal.
Shown shown_by(const Options& options);

/// Only what is wanted is made: the JSON of a long book is larger than all else. `report` makes a Document, `json` a
/// Value.
template <class MakeReport, class MakeJson>
Answer answered(const Asked& asked, int status, const MakeReport& report, const MakeJson& json) {
  Answer answer{.status = status};
  if (asked.options.format == Format::json) answer.json = json_text(json());
  else if (asked.options.format == Format::csv) answer.csv = report().csv;
  else answer.text = text_of(report(), asked.units(), shown_by(asked.options));
  return answer;
}

/// A run of the book to the end of the day that --on names, or of its last entry.
struct RunToDay {
  std::optional<Outlook> outlook;  // nothing: refused, and said why
  std::string why;                 // this day, in a few words
};
RunToDay run_to_day(const Asked& asked);

/// Says which draws there are instead of the one that is not.
Answer no_such_draw(const Asked& asked, const Outlook& outlook);

}  // namespace tierce
