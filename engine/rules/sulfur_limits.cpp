#include "engine/rules/sulfur_limits.h"

#include <algorithm>
#include <cmath>

#include "engine/wine/must.h"

namespace tierce {
namespace {

const std::vector<std::string> kProducts = {"wine", "liqueur wine", "spirits", ""};  // the last: not known

bool holds_spirit(const Scenario& scenario) {
  return std::any_of(scenario.lots.begin(), scenario.lots.end(),
                     [](const Lot& lot) { return lot.spirit && lot.spirit->volume_l > 0.0; });
}

/// Of the sugar reckoned from densities, the part that is sugar at the least.
double sure_part_of_sugar(const Scenario& scenario) {
  double part = 1.0;
  for (const Lot& lot : scenario.lots)
    if (lot.sugar_is_extract && lot.wine.sugar_g_l > 0.0)
      part = std::min(part, std::max(0.0, 1.0 - kMostOtherExtractGL / lot.wine.sugar_g_l));
  return part;
}

/// What is known of the wine of a file whatever it holds on a day.
LabelFacts facts_of(const RuleBook& book, const Scenario& scenario, const std::string& product) {
  LabelFacts facts;
  facts.words = scenario.label;
  if (!facts.words.contains("product") && !product.empty()) facts.words["product"] = product;
  const auto name = facts.words.find("designation");
  if (name != facts.words.end()) {
    const auto known = known_designations(book);
    facts.name_not_known = std::find(known.begin(), known.end(), name->second) == known.end();
  }
  return facts;
}

SulfurLimits limits_on(const RuleBook& book, const Scenario& scenario, const std::vector<std::string>& sets,
                       const std::vector<std::string>& quantities) {
  SulfurLimits limits;
  for (std::size_t product = 0; product < kProducts.size(); ++product) {
    for (const RuleOnWine& one : rules_on(book, sets, quantities, facts_of(book, scenario, kProducts[product]))) {
      auto found =
          std::find_if(limits.begin(), limits.end(), [&](const SulfurLimit& limit) { return limit.rule == one.rule; });
      if (found == limits.end())
        found = limits.insert(limits.end(), {one.rule, {}, holds_spirit(scenario), sure_part_of_sugar(scenario)});
      found->speaks_of[product] = true;
    }
  }
  const auto place = [&](const SulfurLimit& limit) { return limit.rule - book.rules.data(); };
  std::stable_sort(limits.begin(), limits.end(), [&](const auto& a, const auto& b) { return place(a) < place(b); });
  return limits;
}

}  // namespace

bool SulfurLimit::applies(double sugar_g_l, double alcohol_pct) const {
  const std::string product = is_known(alcohol_pct) ? product_by_strength(alcohol_pct, fortified) : "";
  const auto which = std::find(kProducts.begin(), kProducts.end(), product) - kProducts.begin();
  if (!speaks_of[static_cast<std::size_t>(which)]) return false;
  const LabelReading sugar =
      is_known(sugar_g_l) ? LabelReading{sure_part_of_sugar * sugar_g_l, sugar_g_l, ""} : LabelReading{};
  return std::none_of(rule->when.begin(), rule->when.end(), [&](const Condition& condition) {
    return condition.fact == "sugar" && stands(sugar, condition.op, condition.limit) == Verdict::fails &&
           !(condition.open_at_limit && sugar.high == condition.limit);
  });
}

SulfurLimits sulfur_limits(const SulfurRules& rules, const Scenario& scenario) {
  return limits_on(rules.book, scenario, rules.sets, {"total SO2", "free SO2"});
}

SulfurLimits sulfate_limits(const SulfurRules& rules, const Scenario& scenario) {
  return limits_on(rules.book, scenario, {"oiv"}, {"sulfate"});
}

double least_sulfate_g_l(const SulfurLimits& limits, double alcohol_pct) {
  double least = kUnknown;
  for (const SulfurLimit& limit : limits)
    if (limit.applies(kUnknown, alcohol_pct)) least = std::fmin(least, limit.rule->limit);
  return least;
}

std::optional<TestedMoment> sulfate_passed(const SulfurLimits& limits, const std::vector<TestedMoment>& moments) {
  return earliest(moments, [&](const TestedMoment& moment) {
    return std::any_of(limits.begin(), limits.end(), [&](const SulfurLimit& limit) {
      return limit.applies(kUnknown, moment.alcohol_pct) && moment.sulfate_g_l > limit.rule->limit;
    });
  });
}

std::vector<const Rule*> sulfite_statements(const SulfurRules& rules) {
  std::vector<const Rule*> statements;
  for (const Rule& rule : rules.book.rules)
    if (rule.effect == Effect::statement && rule.quantity == "total SO2" &&
        std::find(rules.sets.begin(), rules.sets.end(), rule.set) != rules.sets.end())
      statements.push_back(&rule);
  return statements;
}

}  // namespace tierce
