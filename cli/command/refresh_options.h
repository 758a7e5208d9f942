// The arguments of `tierce refresh` beyond those of every command: one row for each says its form and its meaning.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/book/scenario.h"
#include "engine/plan/filling.h"

namespace tierce {

struct OptionRow {
  const char* name;
  const char* shown;  // as in --name SHOWN
  const char* meaning;
};
const std::vector<OptionRow>& refresh_option_rows();

/// A loss on the way: a part of what goes in, or litres.
struct Loss {
  double part = 0.0;
  double litres = 0.0;
  double of(double volume_l) const { return part * volume_l + litres; }
  /// What must go in for `volume_l` to come out.
  double before(double volume_l) const { return (volume_l + litres) / (1.0 - part); }
};

/// What the new wine that is ordered comes from.
enum class MadeFrom { wine, must, fruit };

struct RefreshOptions {
  std::optional<Date> on{};
  std::optional<Amount> draw{};
  std::string refill{};                                   // a lot's name
  double error_part = 0.01;                               // of a gauge
  Loss lees{}, filter{};                                  // of the new wine, before it goes in
  Loss bottling{};                                        // of the draw
  double bottle_l = kUnknown;                             // the reserve's own bottle
  std::optional<Level> level{};                           // of the vessels; empty: as the file has it
  std::optional<double> ullage_part{};                    // of each, to be left free; likewise
  std::vector<std::pair<std::string, double>> soakage{};  // vessels of new wood, litres that each drinks

  MadeFrom from = MadeFrom::wine;
  std::string sugar{}, spirit{}, yield{}, drum{};  // as typed: the last three go on to the fortification
  double fruit_cost_per_kg = kUnknown;
  std::string fruit_currency{};

  std::vector<std::pair<std::string, double>> lots{};                           // at hand, with the litres of each
  double strength_pct = kUnknown, sweet_g_l = kUnknown, youngest_y = kUnknown;  // wanted of the wine chosen from them
};

struct ParsedRefresh {
  RefreshOptions options;
  std::vector<Problem> faults;  // all of them
};

/// `given`: the options that were written, by name, and their values.
/// `today`: what `--on today` means.
ParsedRefresh parse_refresh(const std::map<std::string, std::string>& given, const Date& today);

}  // namespace tierce
