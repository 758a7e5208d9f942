// Limits of SO2 in print, which of them a wine falls under, and what to beware of. Limits change: each carries its
// source, the date of the text, and how well it is known.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/sulfur_years.h"

namespace tierce {

struct SulfurLimit {
  const char* id;
  const char* name;        // who sets it, for which wine, in a few words
  const char* applies_to;  // the condition, in a few words more
  double limit_mg_l;       // `per_kg`: taken as if a litre weighed a kilogram
  bool per_kg;
  bool of_free;  // of free SO2 instead of the total
  bool (*applies)(double sugar_g_l, double alcohol_pct);
  const char* source;
  const char* text_of;  // date of the text
  const char* known;    // how well: read, or from memory
};

/// All of them, in the order of reports. A wine of unknown sugar falls under the lower limit of each kind.
const std::vector<SulfurLimit>& sulfur_limits();
std::vector<const SulfurLimit*> sulfur_limits_for(double sugar_g_l, double alcohol_pct);

/// From this strength on a wine is a liqueur wine of the EU (and fortified here). Regulation (EU) 1308/2013 annex VII
/// part II (3): at least 15 %vol; from memory.
constexpr double kFortifiedFromPct = 15.0;
/// Sulfate, as potassium sulfate, g/L: OIV-MA-C1-01 (2019 issue). The higher one is for wine two years or more in cask,
/// sweetened, or fortified.
constexpr double kSulfateLimit = 1.0, kSulfateLimitFortified = 1.5;
double sulfate_limit_g_l(double alcohol_pct);

/// From this total on a label must declare sulfites: US 10 ppm or more (27 CFR parts 4, 5 and 7), EU above 10 mg/L
/// (Regulation (EU) 1169/2011).
constexpr double kDeclaredFromMgL = 10.0;

/// How a run stands to one limit, at the moments at which the limit applies.
struct SulfurVerdict {
  const SulfurLimit* limit = nullptr;
  std::optional<TestedMoment> highest_after{}, highest_at_draw{};  // empty: it never applies at such a moment
  std::optional<TestedMoment> passed{};                            // the first that is over it
  bool passed_later = false;                                       // beyond the forecast, if the habit goes on
  double largest_dose_mg_l = kUnknown;                             // as in sulfur_years.h
};
double sulfur_level_of(const SulfurLimit& limit, const TestedMoment& moment);

/// One verdict for each limit that applies at any of `moments`.
std::vector<SulfurVerdict> sulfur_verdicts(const std::vector<TestedMoment>& moments, const SulfurLongRun& long_run);

/// The first moment whose sulfate is over its limit; empty if none is known to be.
std::optional<TestedMoment> sulfate_passed(const std::vector<TestedMoment>& moments);

const std::vector<std::string>& sulfur_cautions();

}  // namespace tierce
