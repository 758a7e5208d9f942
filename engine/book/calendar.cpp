#include "engine/book/calendar.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cstdlib>

namespace tierce {

bool is_leap_year(int year) { return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0; }

int days_in_month(int year, int month) {
  constexpr std::array<int, 12> kDays = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  return month == 2 && is_leap_year(year) ? 29 : kDays[static_cast<std::size_t>(month - 1)];
}

bool is_valid(const Date& date) {
  if (date.year < 1 || date.year > 9999 || date.month < 1 || date.month > 12 || date.day < 1) return false;
  return date.day <= days_in_month(date.year, date.month);
}

std::optional<Date> parse_iso_date(const std::string& text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return std::nullopt;
  for (const std::size_t i : {0, 1, 2, 3, 5, 6, 8, 9})
    if (!std::isdigit(static_cast<unsigned char>(text[i]))) return std::nullopt;
  return Date{std::atoi(text.substr(0, 4).c_str()), std::atoi(text.substr(5, 2).c_str()),
              std::atoi(text.substr(8, 2).c_str())};
}

namespace {
std::string padded(int value, std::size_t width) {
  std::string text = std::to_string(value);
  return std::string(text.size() < width ? width - text.size() : 0, '0') + text;
}
}  // namespace

std::string iso_text(const Date& date) {
  return padded(date.year, 4) + '-' + padded(date.month, 2) + '-' + padded(date.day, 2);
}

int day_number(const Date& date) {
  constexpr std::array<int, 12> kDaysBefore = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334};
  return day_number_of_new_year(date.year) + kDaysBefore[static_cast<std::size_t>(date.month - 1)] + date.day - 1;
}

double years_between(const Date& from, const Date& to) { return years_between_days(day_number(from), day_number(to)); }

Date add_months(const Date& date, int months) {
  const int count = date.year * 12 + date.month - 1 + months;
  const int year = count / 12;
  const int month = count % 12 + 1;
  return {year, month, std::min(date.day, days_in_month(year, month))};
}

Date in_year(const DayOfYear& day, int year) {
  return {year, day.month, std::min(day.day, days_in_month(year, day.month))};
}

}  // namespace tierce
