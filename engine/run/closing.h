// A year's row of the book: what passes in it, and its close.
#pragma once

#include "engine/run/run.h"

namespace tierce {

/// Writes down what is held at the close of the year that runs, and opens the next; `date`: the day of the close.
void close_year(Run& run, const Date& date);

/// Counts a period of `years` within a year, in which what is held fell evenly by what evaporated.
inline void note_time(YearFlows& year, double years, double held_l_before, double evaporated_l) {
  year.years += years;
  year.litre_years += years * (held_l_before - 0.5 * evaporated_l);
}

}  // namespace tierce
