#include "engine/run/routine.h"

namespace tierce {
namespace {

bool has_day(const Routine& routine, const Date& date) {
  for (int n = 0;; ++n) {
    const Date day = day_of(routine, date, n);
    if (day >= date) return day == date;
  }
}

bool refills(const Routine& routine) { return routine.usual.refill.kind != HabitRefill::Kind::none; }

}  // namespace

Date day_of(const Routine& routine, const Date& first, int n) {
  return routine.every_months > 0 ? add_months(*routine.from, n * routine.every_months)
                                  : in_year(*routine.day, first.year + n);
}

const HabitDay& doing_in(const Routine& routine, int year) {
  const auto differs = routine.except.find(year);
  return differs == routine.except.end() ? routine.usual : differs->second;
}

double half_period_y(const Routine& routine) { return routine.every_months > 0 ? routine.every_months / 24.0 : 0.5; }

const Routine* routine_on(const Scenario& scenario, const Date& date) {
  const Routine* chosen = nullptr;
  for (const Routine& routine : scenario.habit) {
    if (has_day(routine, date)) return &routine;
    if (chosen == nullptr || (refills(routine) && !refills(*chosen))) chosen = &routine;
  }
  return chosen;
}

}  // namespace tierce
