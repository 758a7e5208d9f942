// Dates and days of the year, as text: `2027-02-10`, `10 Feb`.
#pragma once

#include <string>
#include <variant>

#include "engine/book/calendar.h"

namespace tierce {

/// Why a text is not what its key wants: what is wrong, what is allowed, what was probably meant.
struct Misread {
  std::string what, allowed, hint;
};
template <class T>
using Read = std::variant<T, Misread>;

Read<Date> read_date(const std::string& text);              // 2027-02-10
Read<DayOfYear> read_day_of_year(const std::string& text);  // 10 Feb

}  // namespace tierce
