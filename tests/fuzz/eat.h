// What the fuzzers feed with bytes, and what must hold whatever the bytes are. corpus_test.cpp feeds the same kept
// files.
#pragma once

#include <string>
#include <vector>

namespace tierce::fuzz {

/// Takes any bytes; throws std::logic_error if something does not hold that must hold for all.
using Eater = void (*)(const std::string& bytes);

void eat_scenario(const std::string& bytes);  // read, validate, run the log, print every fault
void eat_forecast(const std::string& bytes);  // and, if the file is sound: forecast, its text and its JSON
void eat_quantity(const std::string& bytes);  // a number with a unit, of every measure; amounts, bottles, numbers
void eat_date(const std::string& bytes);      // a date, and a day of the year

struct Target {
  const char* name;  // also the folder of its files
  Eater eat;
};
/// All of them.
const std::vector<Target>& targets();

}  // namespace tierce::fuzz
