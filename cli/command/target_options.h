// The arguments of `tierce target` beyond those of every command: one row for each says its form and its meaning.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "cli/command/refresh_options.h"
#include "engine/book/scenario.h"

namespace tierce {

const std::vector<OptionRow>& target_option_rows();

/// What new wine is to bring to a value.
enum class BringWhat { mean_age, alcohol, sugar, volatile_acid };

struct Bring {
  BringWhat what = BringWhat::mean_age;
  double wanted = kUnknown;  // years, %vol, g/L
};

struct TargetOptions {
  std::vector<double> means_y{}, youngest_y{};  // as typed; without any, the claims of the scenario
  std::vector<Bring> bring{};
  std::string with{};        // a lot's name
  std::string in{};          // a tier's name
  std::optional<Date> on{};  // of --bring
};

struct ParsedTarget {
  TargetOptions options;
  std::vector<Problem> faults;  // all of them
};

/// `given`: the options that were written, by name, and their values.
/// `today`: what `--on today` means.
ParsedTarget parse_target(const std::map<std::string, std::string>& given, const Date& today);

}  // namespace tierce
