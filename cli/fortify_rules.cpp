#include "cli/fortify_rules.h"

#include <algorithm>

#include "cli/write.h"

namespace tierce {
namespace {

using Sources = std::vector<std::string>;

// As read; texts may have changed since.
const std::string kDecree = "decree of 29 Dec 1997 on Rivesaltes, art. 6";
const std::string kRegulation = "Reg. (EU) 2019/934 annex III B 7, consolidated to 30 Jan 2022";
const std::string kOlder = "CGI art. 416, in an undated version";

constexpr double kOldSugarGPerLPerPct =
    17.5;                           // g/L for 1 %vol of potential alcohol in Reg. (EU) 2019/934 annex III B 7
constexpr double kRounding = 1e-9;  // a value computed from the limit itself is on it

MutedMustRule at_least(MutedMustRule rule) {
  if (is_known(rule.value)) rule.verdict = rule.value >= rule.limit - kRounding ? "holds" : "fails";
  return rule;
}

MutedMustRule at_most(MutedMustRule rule) {
  if (is_known(rule.value)) rule.verdict = rule.value <= rule.limit + kRounding ? "holds" : "fails";
  return rule;
}

MutedMustRule rule_of(const std::string& id, const std::string& what, const std::string& asks, double limit,
                      double value, const std::string& unit, const Sources& sources, const std::string& note = "") {
  return {id, what, asks, limit, value, unit, "open", sources, "read", note};
}

/// Total strength: the decree does not say at how much sugar for 1 %vol, so it is open where the two customs disagree.
MutedMustRule total_strength(const Fortified& wine, double old_total_pct) {
  MutedMustRule rule = at_least(rule_of("FR-VDN-TOT", "total strength", "at least 21.5 %vol", 21.5, old_total_pct,
                                        "%vol", {kDecree}, "total strengths count 17.5 g/L of sugar as 1 %vol"));
  if (rule.verdict == "fails" && wine.total_alcohol_pct >= rule.limit - kRounding) {
    rule.verdict = "open";
    rule.note = "the total fails with 17.5 and holds with 16.83 g/L of sugar for 1 %vol; the decree names neither";
  }
  return rule;
}

}  // namespace

std::vector<MutedMustRule> muted_must_rules(const FortifyPlan& plan, double spirit_pct) {
  const Fortified& wine = plan.wine;
  const double old_total_pct = wine.alcohol_pct + potential_alcohol_pct(wine.sugar_g_l, kOldSugarGPerLPerPct);
  const double added_pct = wine.spirit_alcohol_share_of_must_pct;
  const double natural_g_l = plan.sugar_inferred ? kUnknown : plan.must.sugar_g_l;
  const double share_cap_pct = std::min(10.0, 0.40 * old_total_pct);
  const std::string pure = "alcohol of the spirit, of the must";
  return {
      at_least(rule_of("FR-VDN-SUGAR", "natural sugar of the must", "at least 252 g/L", 252.0, natural_g_l, "g/L",
                       {kDecree, kRegulation}, plan.sugar_inferred ? "the must's sugar was not stated" : "")),
      at_least(rule_of("FR-VDN-SP-MIN", pure, "at least 5 %", 5.0, added_pct, "%", {kDecree, kRegulation})),
      at_most(rule_of("FR-VDN-SP-MAX", pure, "at most 10 %", 10.0, added_pct, "%", {kDecree, kRegulation})),
      at_most(rule_of("FR-VDN-SP-40", pure, "at most " + at_most_text(share_cap_pct, 2) + " %", share_cap_pct,
                      added_pct, "%", {kRegulation}, "the lower of 10 % and 40 % of the total strength is asked")),
      at_least(rule_of("FR-VDN-SP-96", "strength of the spirit", "at least 96 %vol", 96.0, spirit_pct, "%vol",
                       {kDecree, kOlder}, "the undated version of CGI art. 416 says 90 for the spirit")),
      at_least(
          rule_of("FR-VDN-ACT", "strength of the wine", "at least 15 %vol", 15.0, wine.alcohol_pct, "%vol", {kDecree})),
      total_strength(wine, old_total_pct),
      rule_of("FR-VDN-DATE", "last spirit", "by 31 Dec of the harvest year", kUnknown, kUnknown, "", {kDecree},
              "spirit after that day only where authorised, within the 10 % in all"),
      rule_of("FR-VDN-YIELD", "yield of the vineyard", "at most 40 hL/ha", 40.0, kUnknown, "hL/ha", {kRegulation}),
      rule_of("FR-VDN-VAR", "vines of Muscat, Grenache, Maccabeu, Malvoisie", "at least 90 %", 90.0, kUnknown, "%",
              {kRegulation}),
  };
}

}  // namespace tierce
