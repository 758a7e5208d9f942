// Every key of the scenario file: its form, unit, range, default and meaning, one row each. The reader, the messages
// and the table in docs/scenario.md all read these rows.
#pragma once

#include <limits>
#include <string>
#include <vector>

#include "cli/read/units.h"

namespace tierce {

enum class Form { text, quantity, number, whole, date, day_of_year, choice, map, list, special };

struct Range {
  double low = -std::numeric_limits<double>::infinity();
  double high = std::numeric_limits<double>::infinity();
  bool above_low = false;  // the low end itself is not allowed
  bool holds(double value) const { return value <= high && (above_low ? value > low : value >= low); }
};

struct Key {
  std::string name;
  Form form = Form::text;
  Measure measure = Measure::volume;  // of a quantity
  Range range{};                      // in the measure's base unit
  bool required = false;
  std::string standard{};  // the default, in words; empty = none (unknown or absent)
  std::string meaning{};
  std::vector<std::string> choices{};
};

/// The keys allowed together in one map of the file.
struct Section {
  std::string name;  // as messages call it: "a tier"
  std::vector<Key> keys;
  const Key* find(const std::string& key) const;
  std::vector<std::string> names() const;
};

/// What the base unit and the range of a key allow, in words: "0 L or more".
std::string allowed_text(const Key& key);

namespace keys {
const Section& scenario();
const Section& cellar();
const Section& filing();
const Section& tier();
const Section& vessel();
const Section& tank();
const Section& lot();
const Section& lot_made();
const Section& lot_brought();
const Section& spirit();
const Section& spirit_account();
const Section& so2();
const Section& opening();
const Section& habit();
const Section& except();
const Section& habit_refill();
const Section& dose();
const Section& dose_to();
const Section& dose_limit();
const Section& claim();
const Section& label();
/// The keys of a log entry with this verb; null for an unknown verb.
const Section* entry(const std::string& verb);
/// The keys that a log entry may have, whatever its verb.
const Section& any_entry();
std::vector<std::string> verbs();
/// The verbs whose entries have this key.
std::vector<std::string> verbs_with(const std::string& key);
/// All sections, for the manual.
std::vector<const Section*> all();
}  // namespace keys

}  // namespace tierce
