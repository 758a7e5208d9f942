// What is to be written into a book.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/read/scenario_keys.h"
#include "cli/record/log_text.h"
#include "engine/book/calendar.h"

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

/// The value of a key as YAML; a map may stand without its braces. Fills `error` if it is none.
std::string yaml_value_of(const Key& key, const std::string& text, std::string& error);
/// An entry of a verb from its values, in the order of the keys of that verb, with the day of its entry into the book.
WrittenEntry written_entry(const std::string& verb, const Date& date, const std::optional<Date>& entered,
                           const std::vector<std::pair<std::string, std::string>>& values);

}  // namespace tierce
