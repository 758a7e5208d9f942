// The days of a routine, and what is done on them.
#pragma once

#include "engine/book/scenario.h"
#include "engine/run/timeline.h"

namespace tierce {

/// The n-th day of a routine (n from 0): a day of the year, from the year of `first` on, or a period counted from its
/// `from`.
Date day_of(const Routine& routine, const Date& first, int n);

/// What is done on its day in a calendar year.
const HabitDay& doing_in(const Routine& routine, int year);

/// Years between two of its days, halved.
double half_period_y(const Routine& routine);

/// The routine that a refresh on `date` belongs to: the one that has this very day, else the first one that refills,
/// else the first. Null without a habit.
const Routine* routine_on(const Scenario& scenario, const Date& date);

/// Log and habit up to the end of `day`, on which a day of the habit falls: of the routine above. That day takes the
/// place of the routine's days within half a period of it. Unlike its other days it may be that of the last log entry.
Timeline timeline_to(const Scenario& scenario, const Date& day);

}  // namespace tierce
