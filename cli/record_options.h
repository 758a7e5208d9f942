// The arguments of `tierce record`, checked. Which keys a verb has is read from scenario_keys.h.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/log_text.h"
#include "cli/options.h"
#include "cli/scenario_keys.h"

namespace tierce {

struct RecordRequest {
  std::string file;
  std::string verb;
  WrittenEntry entry;
  bool sheet = false;      // --sheet: the entries are asked for
  bool only_show = false;  // --show
  bool json = false;
  Date today{};
  std::optional<Date> entered;       // --entered, for a sheet
  std::vector<std::string> remarks;  // what was decided here: "the day is today"
};

struct ParsedRecord {
  RecordRequest request;
  std::string error;
  std::string help;
};

ParsedRecord parse_record(const std::vector<std::string>& arguments, const Date& today);

/// How an option for this key is called: `at most` is --at-most.
std::string option_of(const std::string& key);
/// The value of a key as YAML; a map may stand without its braces. Fills `error` if it is none.
std::string yaml_value_of(const Key& key, const std::string& text, std::string& error);
/// An entry of a verb from its values, in the order of the keys of that verb, with the day of its entry into the book.
WrittenEntry written_entry(const std::string& verb, const Date& date, const std::optional<Date>& entered,
                           const std::vector<std::pair<std::string, std::string>>& values);

}  // namespace tierce
