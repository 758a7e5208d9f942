// The arguments of `tierce fortify`: one record for each option says its units, its range and its meaning.
#pragma once

#include <map>
#include <string>
#include <variant>
#include <vector>

#include "cli/command/options.h"
#include "cli/report/fortify_scale.h"

namespace tierce {

/// Nothing, an amount (g/L of sugar, %vol of alcohol), or what a hydrometer shows.
using AmountOrReading = std::variant<std::monostate, double, HydrometerReading>;

struct FortifyOptions {
  Format format = Format::text;
  std::string output;  // -o; empty = the screen
  Units units = Units::metric;

  double volume_l = kUnknown;  // of must; all litres are at 20 °C
  double fruit_kg = kUnknown;  // in its place, with the next
  double must_l_per_kg = kUnknown;
  AmountOrReading sugar;       // of the must before it ferments
  bool refractometer = false;  // the Brix of `sugar` are a refractometer's
  AmountOrReading arrest;      // when the spirit goes in
  double residual_g_l = kUnknown;
  double temperature_c = 20.0;  // of the must
  double spirit_pct = kUnknown;
  double to_pct = kUnknown;
  double add_l = kUnknown;
  double sweet_g_l = kUnknown;
  double run_on_g_l = 0.0;  // of the wine
  double drum_l = kUnknown;
  std::string lot;
  std::string designation;  // the name that the wine is to carry; its rules are shown
  std::string rules;        // a rule file of one's own

  std::map<std::string, std::string> written;  // the options given, and their values as typed
  bool has(const std::string& option) const { return written.contains(option); }
  std::string typed(const std::string& option) const { return has(option) ? written.at(option) : ""; }
  double must_l() const { return is_known(volume_l) ? volume_l : fruit_kg * must_l_per_kg; }
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
