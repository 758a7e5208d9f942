// Adds an entry to the log of a scenario file as text: every other byte stays as it is, whatever the style of the file.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "cli/read/yaml_tree.h"
#include "engine/book/calendar.h"

namespace tierce {

/// An entry as it will be written: keys with values that are YAML already (quoted where they must be).
struct WrittenEntry {
  Date date;
  std::vector<std::pair<std::string, std::string>> keys;  // in order, `date` first
};

/// {date: 2027-02-10, do: draw, from: floor}
std::string in_braces(const WrittenEntry& entry);

/// A text as a value inside braces: as it is, or in double quotes where YAML would read it otherwise.
std::string yaml_value(const std::string& text);

struct AddedEntry {
  std::string bytes{};     // the whole new file
  At at{};                 // of the entry in it
  std::size_t before = 0;  // entries that stand before it
  std::size_t behind = 0;  // and behind it
  std::string failure{};   // why it could not be added; then `bytes` is empty
};

/// Puts the entry behind the last one that is not later. `bytes`: the file as it stands on the disk.
AddedEntry add_to_log(const std::string& bytes, const WrittenEntry& entry);

}  // namespace tierce
