// Dates and the time between them.
#pragma once

#include <compare>
#include <optional>
#include <string>

namespace tierce {

struct Date {
  int year = 0;
  int month = 1;
  int day = 1;
  friend constexpr auto operator<=>(const Date&, const Date&) = default;
};

struct DayOfYear {
  int month = 1;
  int day = 1;
};

bool is_leap_year(int year);
int days_in_month(int year, int month);
/// True for a date of the Gregorian calendar in the years 1 to 9999.
bool is_valid(const Date& date);

/// Reads `2027-02-10`. Empty if the text has another form; the date may still be impossible (see is_valid).
std::optional<Date> parse_iso_date(const std::string& text);
std::string iso_text(const Date& date);

/// Days on a calendar whose every year has 365 days: 29 February counts as 1 March (design decision 2).
/// The same day next year is exactly 365 further, so that parts of a period add up to the whole.
int day_number(const Date& date);
/// The day number of 1 January of `year`, at which the year before it closes.
constexpr int day_number_of_new_year(int year) { return year * 365; }

/// Years from one day number to another; exactly 1 for the same day next year.
constexpr double years_between_days(int from, int to) { return (to - from) / 365.0; }
double years_between(const Date& from, const Date& to);

/// The date `months` later; a day that the month does not have becomes its last day (31 Aug + 6 months = 28 or 29 Feb).
Date add_months(const Date& date, int months);
/// The day of the year in `year`; 29 February becomes 28 February where there is none.
Date in_year(const DayOfYear& day, int year);

}  // namespace tierce
