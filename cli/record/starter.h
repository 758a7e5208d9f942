// The text of a starter scenario.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/book/calendar.h"

namespace tierce {

struct Starter {
  std::string text;                       // of the file
  std::vector<std::string> placeholders;  // what in it is invented: the names of the questions
};

/// `answers` by the names of new_questions(), each sound by fault_of_answer(). One that is absent takes its standard
/// and is marked; `today` is that of the day. The name and the units must be there.
Starter starter_from(const std::map<std::string, std::string>& answers, const Date& today);

}  // namespace tierce
