// The arguments of `tierce fortify`: one record for each option says its units, its range and its meaning.
#pragma once

#include <string>
#include <vector>

#include "cli/command/options.h"
#include "cli/report/fortify/fortify.h"

namespace tierce {

struct FortifyOptions : FortifyAsked {
  Format format = Format::text;
  std::string output;  // -o; empty = the screen
  std::string rules;   // a rule file of one's own
};

struct ParsedFortify {
  FortifyOptions options;
  std::vector<Problem> faults;  // all of them; empty = the options make sense together
  std::string help;             // asked for: print it and stop
};

ParsedFortify parse_fortify(const std::vector<std::string>& arguments);

/// What is wrong between options that are each sound.
std::vector<Problem> faults_between(const FortifyOptions& options);

}  // namespace tierce
