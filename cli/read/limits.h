// How large a reserve may be, so that no file takes more than two seconds or 500 MB. `--large` lifts the limits.
#pragma once

#include <cstddef>
#include <vector>

#include "engine/run/timeline.h"

namespace tierce {

struct Limits {
  std::size_t bytes = 12'000'000;  // of the file; 50,000 entries need about 5 million
  std::size_t lines = 400'000;
  std::size_t values = 900'000;  // keys and values; 50,000 entries need up to 750,000
  std::size_t entries = 50'000;  // of the log
  std::size_t tiers = 2'000;
  std::size_t tanks = 1'000;
  std::size_t lots = 10'000;
  std::size_t spirits = 1'000;
  std::size_t parts = 20'000;  // of all opening stocks
  std::size_t routines = 50;
  double habit_days = 20'000;  // days of the forecast on which a routine is done
  double steps = 1e9;  // things done x (tiers + tanks) x lots that there can be (parts: engine/run/wood_parts.h)
  double kept = 1e7;   // draws x lots that there can be: each draw keeps what it holds
  std::size_t claims = 200;
  std::size_t claimed_names = 100;    // varieties or origins that one claim names
  double judged = 2e4;                // claims x draws that there can be: each verdict keeps its reasons
  std::size_t other_files = 200;      // that are read because lots come from draws of them
  std::size_t other_files_deep = 50;  // of which each names the next
};

constexpr Limits kUsualLimits{};
/// With --large: what the program can still hold in a machine's memory; 64 MB of text are its end.
constexpr Limits kLargeLimits{64u << 20, 4'000'000, 20'000'000, 2'000'000, 100'000, 100'000,
                              1'000'000, 100'000,   2'000'000,  5'000,     1e7,     1e13,
                              1e10,      10'000,    10'000,     1e7,       10'000,  200};

/// Lists and maps inside one another; a scenario needs six.
constexpr std::size_t kDeepest = 30;
/// Bytes of one key or value.
constexpr std::size_t kLongestText = 4'000;
/// Columns of a name in a table or on a sheet, a wide letter counting as two.
constexpr std::size_t kLongestName = 60;
/// Brackets and braces open at once, in quotes or not: more would only fill the memory.
constexpr std::size_t kMostOpen = 100'000;
/// Faults that are kept and shown, more than one for each entry; the rest is counted.
constexpr std::size_t kMostFaults = 60'000;

/// What makes the scenario too large to be run with this span, each at its place; empty where it is not. `sound`: the
/// rules between its values hold, so that a timeline can be made of it.
std::vector<Problem> too_large(const Scenario& scenario, const Span& span, const Limits& limits, bool sound = true);

}  // namespace tierce
