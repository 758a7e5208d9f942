// The plan of the next refresh day: the acts of the habit as entries of the log, what they find and what they leave.
// The plan is what the book says once those entries stand in it: it is made by putting them there and running the book.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "engine/book/scenario.h"
#include "engine/plan/filling.h"
#include "engine/run/timeline.h"
#include "engine/run/trajectory.h"

namespace tierce {

/// What differs from the habit.
struct RefreshWish {
  std::optional<Date> on{};             // the day; empty: the habit's next one
  std::optional<Amount> draw{};         // from the last tier
  std::optional<int> lot{};             // the new wine
  std::optional<Level> level{};         // of the vessels; empty: as each tier states it
  std::optional<double> ullage_part{};  // of each vessel's capacity, to be left free; empty: as each tier states it
  // The new wine from several lots, in this order, with the litres of each; the last one also takes what rounding
  // leaves. Lots index Scenario::lots.
  std::vector<std::pair<int, double>> lots{};
};

/// One run, to the end of a day.
struct Ran {
  Timeline line;
  Trajectory run;
  bool holds_wine() const { return !run.looks.empty(); }
  const Stock& stock() const { return run.looks.back(); }
};

struct PlannedEntry {
  Entry entry;
  bool of_the_day = false;  // false: the habit does it before that day
  bool levels = false;      // wine between the vessels of a tier, for the levels that are wanted
};

/// The vessels of a tier that takes part, before and after.
struct TierFilling {
  int row = 0;
  Filling filling{};
  bool poured = false;  // the book would fill them otherwise: the plan pours between them
};

struct RefreshPlan {
  Date date{};
  Date book_end{};  // the last entry of the log as it stands
  Scenario base{};  // the scenario with every lot that the plan uses
  std::vector<PlannedEntry> entries{};
  Scenario booked{};            // base with the plan in its log
  std::size_t first_lot = 0;    // lots of `booked` from here on are the plan's
  std::size_t first_entry = 0;  // the same for its log
  Ran before{};                 // up to just before the acts of the day
  Ran after{};                  // the plan itself: booked, to the end of the day
  std::vector<TierFilling> fillings{};
  std::vector<std::string> assumed{};  // what the timeline decided
};

enum class RefreshFault { no_habit, no_day, day_in_the_book, file, act, ullage };

struct RefreshRefusal {
  RefreshFault fault = RefreshFault::act;
  Problem problem;  // for `file`, `act` and `ullage`
  Date date{};
  int row = 0;
  double short_l = 0.0;                 // litres wanted and not there; negative: litres too many
  double draw_l = kUnknown;             // what the day's draw asks for
  double draw_possible_l = kUnknown;    // the largest draw with which the rest of the day goes
  double refill_l = kUnknown;           // new wine that the day's refill states
  double refill_possible_l = kUnknown;  // where vessels run over: the most new wine with which the day goes
};

using PlanOrRefusal = std::variant<RefreshPlan, RefreshRefusal>;

/// `scenario`: checked, its log without faults.
PlanOrRefusal plan_refresh(const Scenario& scenario, const RefreshWish& wish);

/// What the day comes to if tiers are found to hold something else than expected.
struct IfGauged {
  double drawn_l = 0.0;
  double new_wine_l = 0.0;
  std::vector<Pour> moves{};
  std::vector<DoseRecord> doses{};
  std::optional<Problem> fault{};  // it cannot be done then
};
IfGauged if_gauged(const RefreshPlan& plan, const std::vector<std::pair<int, double>>& found_l);

/// The records of the plan's day in a run of it.
std::vector<const DrawRecord*> draws_of_day(const RefreshPlan& plan);
const RefreshRecord* refresh_of_day(const RefreshPlan& plan);
std::vector<const DoseRecord*> doses_of_day(const RefreshPlan& plan);

}  // namespace tierce
