// What was lost in an annual period, and what it is held against. The period ends with the year or with another day,
// as an inventory does.
#pragma once

#include <array>
#include <utility>
#include <vector>

#include "engine/run/timeline.h"
#include "engine/run/trajectory.h"

namespace tierce {

struct LossYear {
  Date first{}, last{};       // of the period
  bool filed = false;         // the file states it, and no other counts for rules that know several
  double part = 1.0;          // of it that the book covers
  double on_hand_l = 0.0;     // when it began; with stock that the book opened with
  double in_l = 0.0;          // new wine
  double in_bond_l = 0.0;     // of that: received in bond, as its lots state
  double not_stated_l = 0.0;  // of that: nothing says how it came
  double loss_l = 0.0;        // evaporated, missed by gauges, lost for a cause
  double closing_l = 0.0;
  double fermented_l = 0.0;  // still wine that lots made here and then began with; unknown where one does not say
};

/// The period that ends with a day of the year and has `date` in it.
std::pair<Date, Date> period_of(const DayOfYear& ends, const Date& date);

/// The ends of these periods and of those before them.
std::vector<Date> days_to_count(const std::vector<std::pair<Date, Date>>& periods);

/// A run along this line counts what has passed at the end of these days, as far as it has them, and at its own end.
void count_on(Timeline& line, const std::vector<Date>& days);

/// One for each period that the run reaches; the run has counted on the days above.
std::vector<LossYear> loss_years(const Timeline& line, const Trajectory& run,
                                 const std::vector<std::pair<Date, Date>>& periods);

}  // namespace tierce
