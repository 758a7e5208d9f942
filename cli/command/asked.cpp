#include "cli/command/asked.h"

#include <algorithm>

#include "cli/io/messages.h"
#include "cli/io/terminal.h"
#include "cli/read/quantity_text.h"
#include "cli/read/suggest.h"

namespace tierce {

Span Asked::span() const {
  Span span;
  if (options.years) span.until_year = std::max(last_entry(loaded.scenario).year, 1) + *options.years;
  return span;
}

Shown shown_by(const Options& options) {
  constexpr std::size_t kNarrowest = 72;
  const std::size_t screen = options.output.empty() ? terminal_columns().value_or(kPageWidth) : kPageWidth;
  return {options.all, options.notes, std::clamp(screen, kNarrowest, kPageWidth)};
}

Answer refuse(const std::string& why) {
  say_error(why);
  return {kBadInput};
}

int status_of(const Outlook& outlook) {
  if (!outlook.run.stopped) return kFine;
  say_warning("the forecast stops: " + outlook.run.stopped->problem.what);
  return kFails;
}

RunToDay run_to_day(const Asked& asked) {
  const Options& options = asked.options;
  const Scenario& scenario = asked.scenario();
  const Date last = last_entry(scenario);
  Date day = last;
  RunToDay to_day{{}, "the last entry of the book; nothing later is assumed"};
  const auto refused = [](const std::string& why) {
    refuse(why);
    return RunToDay{};
  };
  if (options.on) {
    const auto read = *options.on == "today" ? Read<Date>(options.today) : read_date(*options.on);
    if (const auto* misread = std::get_if<Misread>(&read))
      return refused("--on: " + misread->what + " (" + misread->allowed + ", or today)");
    day = std::get<Date>(read);
    to_day.why = day > last ? "by the habit from the last entry of the book, " + day_text(last) : "as the book has it";
  }
  if (day.year == 0) return refused(asked.path() + ": the book is empty; --on DATE shows a day of the habit");
  to_day.outlook = run_scenario(scenario, {.until_year = 0, .habit = day > last, .end_on = day});
  if (to_day.outlook->run.looks.empty())
    return refused("--on " + iso_text(day) + ": the book of " + asked.path() + " begins later");
  return to_day;
}

Answer no_such_draw(const Asked& asked, const Outlook& outlook) {
  if (!asked.options.draw) return refuse(asked.path() + ": nothing is drawn, in the log or by a habit");
  std::vector<std::string> names;
  for (const DrawRecord& draw : outlook.run.draws) names.push_back(draw.name);
  const std::string near = nearest(*asked.options.draw, names);
  const std::string hint = !near.empty()   ? "; did you mean '" + near + "'?"
                           : names.empty() ? ""
                                           : "; draws run from '" + names.front() + "' to '" + names.back() + "'";
  return refuse(asked.path() + ": there is no draw '" + *asked.options.draw + "'" + hint);
}

}  // namespace tierce
