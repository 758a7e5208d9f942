#include "cli/read/date_text.h"

#include <algorithm>
#include <cctype>
#include <vector>

#include "cli/read/quantity_text.h"
#include "cli/read/suggest.h"

namespace tierce {
namespace {

constexpr const char* kDateForm = "year-month-day, as in 2027-02-10";
constexpr const char* kDayForm = "a day and a month, as in 10 Feb";

const std::vector<std::string>& months() {
  static const std::vector<std::string> kMonths = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                   "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  return kMonths;
}

/// The groups of digits in a text that holds nothing but digits and - / . between them; empty for any other text.
std::vector<std::string> digit_groups(const std::string& text) {
  std::vector<std::string> groups(1);
  for (const char c : text) {
    if (std::isdigit(static_cast<unsigned char>(c)) != 0) groups.back() += c;
    else if (std::string("-/.").find(c) != std::string::npos) groups.emplace_back();
    else return {};
  }
  for (const std::string& group : groups)
    if (group.empty() || group.size() > 4) return {};
  return groups;
}

/// A date in another form, where that form leaves no doubt: the year first.
std::string date_meant(const std::string& text) {
  const auto groups = digit_groups(text);
  if (groups.size() != 3) return "";
  if (groups[2].size() == 4) return "the year stands first, then the month, then the day";
  if (groups[0].size() != 4 || groups[1].size() > 2 || groups[2].size() > 2) return "";
  const Date date{std::stoi(groups[0]), std::stoi(groups[1]), std::stoi(groups[2])};
  return is_valid(date) ? "write " + iso_text(date) : "";
}

std::string why_impossible(const Date& date) {
  if (date.year < 1) return "years run from 0001 to 9999";
  const Date turned{date.year, date.day, date.month};
  if (date.month > 12 && date.day >= 1 && date.day <= 12)
    return "the month stands before the day" +
           (is_valid(turned) ? ": " + iso_text(turned) : "; " + why_impossible(turned));
  if (date.month < 1 || date.month > 12) return "months run from 01 to 12";
  if (date.day < 1) return "days run from 01";
  return months()[static_cast<std::size_t>(date.month - 1)] + ' ' + std::to_string(date.year) + " has " +
         std::to_string(days_in_month(date.year, date.month)) + " days";
}

/// The month that a word names in another way: february, FEB, fev.
std::string month_meant(const std::string& word) {
  for (const std::string& month : months()) {
    bool begins = word.size() >= 3;
    for (std::size_t i = 0; begins && i < 3; ++i)
      begins = std::tolower(static_cast<unsigned char>(word[i])) == std::tolower(static_cast<unsigned char>(month[i]));
    if (begins) return month;
  }
  return nearest(word, months());
}

/// `Feb 10` or `02-10`, as a hint.
std::string day_meant(const std::string& text) {
  const auto space = text.find(' ');
  if (space != std::string::npos && !month_meant(text.substr(0, space)).empty())
    return "the day stands before the month";
  if (const auto date = parse_iso_date(text); date && is_valid(*date))
    return did_you_mean(std::to_string(date->day) + ' ' + months()[static_cast<std::size_t>(date->month - 1)]);
  return digit_groups(text).size() == 2 ? "the month is a word" : "";
}

}  // namespace

Read<Date> read_date(const std::string& text) {
  const std::string clean = trimmed(text);
  const auto date = parse_iso_date(clean);
  if (!date) return Misread{"'" + clean + "' is not a date", kDateForm, date_meant(clean)};
  if (is_valid(*date)) return *date;
  return Misread{"there is no day " + clean, "a day of the calendar", why_impossible(*date)};
}

Read<DayOfYear> read_day_of_year(const std::string& text) {
  const std::string clean = trimmed(with_plain_spaces(text));
  const auto [number, month] = split_number(clean);
  if (number.empty() || month.empty())
    return Misread{"'" + clean + "' is not a day of the year", kDayForm, day_meant(clean)};
  const auto found = std::find(months().begin(), months().end(), month);
  if (found == months().end()) {
    if (std::isalpha(static_cast<unsigned char>(month[0])) == 0)
      return Misread{"'" + clean + "' is not a day of the year", kDayForm, day_meant(clean)};
    return Misread{"unknown month '" + month + "'", listed(months()), did_you_mean(month_meant(month))};
  }
  const int index = static_cast<int>(found - months().begin()) + 1;
  const int last = days_in_month(2000, index);  // 29 Feb may be meant
  const auto day = read_whole(number, 1, last);
  if (const int* read = std::get_if<int>(&day)) return DayOfYear{index, *read};
  return Misread{"there is no day " + clean, "1 to " + std::to_string(last) + " in " + month, ""};
}

}  // namespace tierce
