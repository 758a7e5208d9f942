// Log, then habit, become one list of dated events. What happens first on a day is decided here and nowhere else.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "engine/book/scenario.h"
#include "engine/run/stock.h"
#include "engine/run/wood_parts.h"

namespace tierce {

/// Opening stock comes into the book; `opening` indexes Scenario::opening.
struct Open {
  std::size_t opening = 0;
  std::vector<std::pair<int, double>> shares;  // parcel, fraction
};
/// A year closes, before the entries of the next 1 January; or the book closes on the day of its last entry.
struct CloseYear {
  int year = 0;
};
/// Somebody wants to see the stock at the end of this day, or to count what has passed by then.
struct Look {
  bool counts = false;  // no stock is kept
};

struct Event {
  using Act = std::variant<Open, Add, Draw, Move, Refill, Dose, Gauge, Analyse, Lose, Fortify, Reduce, Bottle, BringIn,
                           TakeOut, Set, CloseYear, Look>;
  Date date;
  int day = 0;        // day number at which it happens (calendar.h)
  At at;              // the entry of the log or the routine that asks for it
  bool past = false;  // from the log or the opening
  Act act;
  std::vector<int> brought{};                 // of a lot from another reserve: the columns of its parts
  int parcel = -1;                            // the column that an Add or Refill fills
  std::vector<std::pair<int, int>> entering;  // wine out of a tank: column outside the tiers -> column of this day
};

struct Timeline {
  std::vector<Lot> lots;        // the scenario's, then one for each harvest of the habit
  std::vector<Parcel> parcels;  // every column that will ever be needed
  WoodParts wood;               // which of them a part of a wine goes into; empty unless the clock is `wood`
  std::vector<Event> events;    // in order
  std::vector<std::optional<Came>>
      came{};             // by parcel, where it is counted (loss_year.h): how its lot came; empty for spirit
  Date log_end{0, 1, 1};  // the last day of the log or the opening: later faults are the forecast's
  std::vector<Problem> problems;
  std::vector<std::string> assumed;  // what was decided here and a reader should know
};

struct Span {
  int until_year = 0;            // last year of the forecast; 0 = the scenario's `until`, else 20 years past the log
  std::vector<Date> looks{};     // days at whose end a Stock is wanted, besides the end of the run
  bool habit = true;             // false: the log alone
  std::optional<Date> end_on{};  // the run ends with this day, whatever comes later
};

Timeline timeline(const Scenario& scenario, const Span& span);

/// The year in which a run of this scenario ends, by the rules of Span.
int last_year(const Scenario& scenario, const Span& span);

}  // namespace tierce
