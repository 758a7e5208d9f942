// `tierce record`: one entry, or those of a sheet, into the log of a file.
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "engine/book/calendar.h"

namespace tierce {

/// `in`: where the answers to a sheet are read from.
int run_record(const std::vector<std::string>& arguments, const Date& today, std::istream& in, std::ostream& out,
               std::ostream& err);

}  // namespace tierce
