// The arguments of `tierce record`, checked. Which keys a verb has is read from scenario_keys.h.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/command/options.h"
#include "cli/record/request.h"

namespace tierce {

struct ParsedRecord {
  RecordRequest request;
  std::string error;
  std::string help;
};

ParsedRecord parse_record(const std::vector<std::string>& arguments, const Date& today);

/// How an option for this key is called: `at most` is --at-most.
std::string option_of(const std::string& key);

}  // namespace tierce
