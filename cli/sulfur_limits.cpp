#include "cli/sulfur_limits.h"

#include <algorithm>
#include <limits>

namespace tierce {
namespace {

constexpr const char* kRead = "read";
constexpr const char* kSplitFromMemory = "the two figures read, their split by sugar from memory";
constexpr const char* kEu = "Regulation (EU) 2019/934, annex I part B";
constexpr const char* kEuArticle = "Table 1 of Agricultural and Food Economics 2015, s40100-015-0038-1";
constexpr const char* kOiv = "OIV-MA-C1-01 (oeno 9/98)";
constexpr const char* kAustralia = "Wine Australia on sulphite limits, citing Standard 4.5.1";

// Conditions on sugar are written so that an unknown sugar falls under the stricter limit.
bool fortified(double pct) { return !(pct < kFortifiedFromPct); }

const std::vector<SulfurLimit> kLimits = {
    {"US", "US, any wine", "any class", 350.0, false, false, [](double, double) { return true; }, "27 CFR 4.22(b)(1)",
     "2004 print", kRead},
    {"EU_LIQUEUR_DRY", "EU liqueur wine, dry", "below 5 g/L sugar", 150.0, false, false,
     [](double sugar, double pct) { return fortified(pct) && !(sugar >= 5.0); }, kEu, "consolidated to 30 Jan 2022",
     kRead},
    {"EU_LIQUEUR_SWEET", "EU liqueur wine, sweet", "5 g/L sugar or more", 200.0, false, false,
     [](double sugar, double pct) { return fortified(pct) && sugar >= 5.0; }, kEu, "consolidated to 30 Jan 2022",
     kRead},
    {"EU_LIQUEUR_ORGANIC_DRY", "EU organic liqueur, dry", "below 5 g/L sugar", 120.0, false, false,
     [](double sugar, double pct) { return fortified(pct) && !(sugar >= 5.0); }, kEuArticle, "2015", kSplitFromMemory},
    {"EU_LIQUEUR_ORGANIC", "EU organic liqueur, sweet", "5 g/L sugar or more", 170.0, false, false,
     [](double sugar, double pct) { return fortified(pct) && sugar >= 5.0; }, kEuArticle, "2015", kSplitFromMemory},
    {"EU_RED", "EU red, dry", "below 5 g/L sugar", 150.0, false, false,
     [](double sugar, double pct) { return !fortified(pct) && !(sugar >= 5.0); }, kEu, "2019", kRead},
    {"EU_WHITE", "EU white or rosé, dry", "below 5 g/L sugar", 200.0, false, false,
     [](double sugar, double pct) { return !fortified(pct) && !(sugar >= 5.0); }, kEu, "2019", kRead},
    {"EU_RED_SWEET", "EU red, sweet", "5 g/L sugar or more", 200.0, false, false,
     [](double sugar, double pct) { return !fortified(pct) && sugar >= 5.0; }, kEu, "2019", kRead},
    {"EU_WHITE_SWEET", "EU white or rosé, sweet", "5 g/L sugar or more", 250.0, false, false,
     [](double sugar, double pct) { return !fortified(pct) && sugar >= 5.0; }, kEu, "2019", kRead},
    {"OIV_DRY_RED", "OIV red, dry", "up to 4 g/L reducing substances", 150.0, false, false,
     [](double sugar, double) { return !(sugar > 4.0); }, kOiv, "2019 issue", kRead},
    {"OIV_DRY_WHITE", "OIV white or rosé, dry", "up to 4 g/L reducing substances", 200.0, false, false,
     [](double sugar, double) { return !(sugar > 4.0); }, kOiv, "2019 issue", kRead},
    {"OIV_SWEET", "OIV, sweet", "above 4 g/L reducing substances", 300.0, false, false,
     [](double sugar, double) { return sugar > 4.0; }, kOiv, "2019 issue", kRead},
    {"CODEX", "Codex, grape wine", "per kilogram", 350.0, true, false, [](double, double) { return true; },
     "Codex GSFA, category 14.2.3, note 44", "undated copy", kRead},
    {"AU_LOW_SUGAR", "Australia, up to 35 g/L", "of sugar, fortified wine too", 250.0, false, false,
     [](double sugar, double) { return !(sugar > 35.0); }, kAustralia, "undated copy", kRead},
    {"AU_HIGH_SUGAR", "Australia, above 35 g/L", "of sugar, fortified wine too", 300.0, false, false,
     [](double sugar, double) { return sugar > 35.0; }, kAustralia, "undated copy", kRead},
    {"CANADA_FREE", "Canada, free SO2", "any wine", 70.0, false, true, [](double, double) { return true; },
     "Waterhouse et al., Understanding Wine Chemistry, Table 17.1", "2016", kRead},
};

bool over(const SulfurLimit& limit, const TestedMoment& moment) {
  constexpr double kRounding = 1e-9;  // of the limit: a total that settles exactly at it keeps it
  return limit.applies(moment.sugar_g_l, moment.alcohol_pct) &&
         sulfur_level_of(limit, moment) > limit.limit_mg_l * (1.0 + kRounding);
}

void take_highest(std::optional<TestedMoment>& highest, const SulfurLimit& limit, const TestedMoment& moment) {
  constexpr double kAlike = 1e-9;  // of the level: among equals the first stays, whatever the rounding
  if (!highest || sulfur_level_of(limit, moment) > sulfur_level_of(limit, *highest) * (1.0 + kAlike)) highest = moment;
}

/// The earliest of the moments, whatever their order, for which something holds.
template <class Holds>
std::optional<TestedMoment> earliest(const std::vector<TestedMoment>& moments, Holds holds) {
  std::optional<TestedMoment> first;
  for (const TestedMoment& moment : moments)
    if (holds(moment) && (!first || moment.date < first->date)) first = moment;
  return first;
}

}  // namespace

const std::vector<SulfurLimit>& sulfur_limits() { return kLimits; }

std::vector<const SulfurLimit*> sulfur_limits_for(double sugar_g_l, double alcohol_pct) {
  std::vector<const SulfurLimit*> chosen;
  for (const SulfurLimit& limit : kLimits)
    if (limit.applies(sugar_g_l, alcohol_pct)) chosen.push_back(&limit);
  return chosen;
}

double sulfate_limit_g_l(double alcohol_pct) {
  return alcohol_pct >= kFortifiedFromPct ? kSulfateLimitFortified : kSulfateLimit;
}

double sulfur_level_of(const SulfurLimit& limit, const TestedMoment& moment) {
  return limit.of_free ? moment.free_mg_l : moment.total_mg_l;
}

std::vector<SulfurVerdict> sulfur_verdicts(const std::vector<TestedMoment>& moments, const SulfurLongRun& long_run) {
  std::vector<SulfurVerdict> result;
  for (const SulfurLimit& limit : kLimits) {
    SulfurVerdict verdict{.limit = &limit};
    for (const TestedMoment& moment : moments)
      if (limit.applies(moment.sugar_g_l, moment.alcohol_pct))
        take_highest(moment.at_draw ? verdict.highest_at_draw : verdict.highest_after, limit, moment);
    if (!verdict.highest_after && !verdict.highest_at_draw) continue;
    const auto passes = [&](const TestedMoment& moment) { return over(limit, moment); };
    verdict.passed = earliest(moments, passes);
    if (!verdict.passed && long_run.why_not.empty()) {
      verdict.passed =
          earliest(long_run.moments, [&](const TestedMoment& moment) { return !moment.past && passes(moment); });
      verdict.passed_later = verdict.passed.has_value();
    }
    const auto limit_of = [&](const TestedMoment& moment) {
      return limit.applies(moment.sugar_g_l, moment.alcohol_pct) ? limit.limit_mg_l
                                                                 : std::numeric_limits<double>::infinity();
    };
    verdict.largest_dose_mg_l = largest_plain_dose_mg_l(
        long_run, {limit.of_free ? &TestedMoment::free_mg_l : &TestedMoment::total_mg_l, limit_of});
    result.push_back(verdict);
  }
  return result;
}

std::optional<TestedMoment> sulfate_passed(const std::vector<TestedMoment>& moments) {
  return earliest(
      moments, [](const TestedMoment& moment) { return moment.sulfate_g_l > sulfate_limit_g_l(moment.alcohol_pct); });
}

// In our own words, after the safety sheets and handbooks that docs/dose.md names.
const std::vector<std::string>& sulfur_cautions() {
  static const std::vector<std::string> kCautions = {
      "The gas and the dust of the salt hurt eyes and lungs: gloves, goggles, moving air, a mask made for SO2. Nobody "
      "with asthma does this work. Over a shift 2 ppm is the most that NIOSH advises, 100 ppm is an immediate danger, "
      "and the air over wine just dosed can hold near 10 ppm: keep your face away from the bung.",
      "Dissolve the salt by itself in cold water, some 50 g to the litre, in moving air: acid and metabisulfite "
      "brought "
      "together in one vessel set the gas free.",
      "Never burn sulfur in a cask that has held spirit or fortified wine: what is left of the alcohol can catch fire.",
      "The air of an empty or sulfured cask, or of one near a ferment, can kill: nobody leans or climbs in before it "
      "has been tested.",
      "A dose does not spread by itself: put it in with the new wine or stir it in, and take the sample the next day.",
      "Measure free and total SO2 before and after. Each dose here is reckoned from the book, an estimate. Titration "
      "with iodine reads free SO2 too high in coloured or sweet wine; aspiration does not.",
      "What may be added, and what a label must say, is settled by the law of the place and by licensed practice, not "
      "by this page."};
  return kCautions;
}

}  // namespace tierce
