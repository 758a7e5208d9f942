// The same reserve, drawn more or less: exact runs of the engine for every whole percent drawn; of a large one for
// every fifth or fifteenth.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "engine/plan/long_run.h"
#include "engine/run/outlook.h"

namespace tierce {

/// What the years to come would be if every draw of the habit took one share of what the last tier holds.
struct ShareOutcome {
  double share = kUnknown;                           // drawn each time; unknown: the habit as the file has it
  std::vector<std::pair<Date, double>> means_y{};    // mean age of each draw to come, of many 200
  double mean_y = kUnknown, youngest_y = kUnknown;   // of the last draw
  double drawn_l = kUnknown, new_wine_l = kUnknown;  // in the last year
  double bottles = kUnknown;                         // those litres, in the bottles of the file
  LongRun long_run{};
  std::string stopped{};  // why the plan cannot be kept to the end
};

struct DrawShares {
  double bottle_l = 0.75;  // unless a draw of the file states another
  int last_year = 0;
  ShareOutcome as_stated{};
  std::vector<ShareOutcome> shares{};  // 5 % to 50 %, fewer of a large reserve; empty if no habit draws
};

bool draws_by_habit(const Scenario& scenario);
/// The habit with every draw of it this share of what its tier holds; its exceptions stay. Where no routine draws,
/// those that refill do.
Scenario with_drawn_share(Scenario scenario, double share);
/// The habit with every draw of it, those of its exceptions too, so many times what it is.
Scenario with_draws_times(Scenario scenario, double times);

/// The exceptions of the habit stay as the file has them, and so do its refills and doses.
/// `span`: that of the outlook.
DrawShares draw_shares(const Outlook& outlook, const Span& span);

}  // namespace tierce
