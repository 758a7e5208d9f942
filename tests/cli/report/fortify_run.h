// Runs `tierce fortify` inside the test, with the words its user types.
#pragma once

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "cli/command/fortify.h"
#include "cli/command/options.h"

namespace tierce::test {

using nlohmann::json;
using Words = std::vector<std::string>;

struct Answer {
  int status = -1;
  std::string out, err;
};

inline Answer said(const Words& arguments) {
  std::ostringstream out, err;
  const int status = run_fortify(arguments, out, err);
  return {status, out.str(), err.str()};
}

inline Words operator+(Words words, const Words& more) {
  words.insert(words.end(), more.begin(), more.end());
  return words;
}

inline const Words kMust = {"--volume", "1000 L", "--sugar", "240 g/L", "--spirit", "96 %vol"};
inline const Words kAtSeven = kMust + Words{"--arrest", "7 %vol"};
inline const Words kToSixteen = kAtSeven + Words{"--to", "16 %vol"};

inline json answer(const Words& arguments) {
  const Answer result = said(arguments + Words{"--json"});
  EXPECT_EQ(result.status, kFine) << result.err;
  return result.out.empty() ? json() : json::parse(result.out);
}

inline double figure(const json& object, const std::string& name) { return object.at(name).get<double>(); }

}  // namespace tierce::test
