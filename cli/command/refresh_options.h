// The arguments of `tierce refresh` beyond those of every command: one row for each says its form and its meaning.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "cli/report/refresh/refresh_work.h"

namespace tierce {

struct OptionRow {
  const char* name;
  const char* shown;  // as in --name SHOWN
  const char* meaning;
};
const std::vector<OptionRow>& refresh_option_rows();

struct ParsedRefresh {
  RefreshOptions options;
  std::vector<Problem> faults;  // all of them
};

/// `given`: the options that were written, by name, and their values.
/// `today`: what `--on today` means.
ParsedRefresh parse_refresh(const std::map<std::string, std::string>& given, const Date& today);

}  // namespace tierce
