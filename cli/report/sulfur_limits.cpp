#include "cli/report/sulfur_limits.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "cli/read/quantity_text.h"
#include "cli/read/read_rules.h"
#include "cli/read/rule_book.h"
#include "cli/read/suggest.h"
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
LabelFacts facts_of(const Scenario& scenario, const std::string& product) {
  LabelFacts facts;
  facts.words = scenario.label;
  if (!facts.words.contains("product") && !product.empty()) facts.words["product"] = product;
  const auto name = facts.words.find("designation");
  if (name != facts.words.end()) {
    const auto known = known_designations(rules_of(scenario));
    facts.name_not_known = std::find(known.begin(), known.end(), name->second) == known.end();
  }
  return facts;
}

std::vector<SulfurLimit> limits_on(const Scenario& scenario, const std::vector<std::string>& sets,
                                   const std::vector<std::string>& quantities) {
  std::vector<SulfurLimit> limits;
  for (std::size_t product = 0; product < kProducts.size(); ++product) {
    const LabelFacts facts = facts_of(scenario, kProducts[product]);
    for (const RuleOnWine& one : rules_on(rules_of(scenario), sets, quantities, facts)) {
      auto found =
          std::find_if(limits.begin(), limits.end(), [&](const SulfurLimit& limit) { return limit.rule == one.rule; });
      if (found == limits.end())
        found = limits.insert(limits.end(), {one.rule, {}, holds_spirit(scenario), sure_part_of_sugar(scenario)});
      found->speaks_of[product] = true;
    }
  }
  const auto place = [&](const SulfurLimit& limit) { return limit.rule - rules_of(scenario).rules.data(); };
  std::stable_sort(limits.begin(), limits.end(), [&](const auto& a, const auto& b) { return place(a) < place(b); });
  return limits;
}

bool over(const SulfurLimit& limit, const TestedMoment& moment) {
  constexpr double kRounding = 1e-9;  // of the limit: a total that settles exactly at it keeps it
  return limit.applies(moment.sugar_g_l, moment.alcohol_pct) &&
         sulfur_level_of(limit, moment) > limit.limit_mg_l() * (1.0 + kRounding);
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

std::string in_words(const Condition& condition) {
  if (!condition.words.empty()) return listed(condition.words);
  return condition.fact + ' ' + operator_word(condition.op) + ' ' + plain_number(condition.limit) + ' ' +
         find_quantity(condition.fact)->unit;
}

}  // namespace

bool SulfurLimit::of_free() const { return rule->quantity == "free SO2"; }

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

std::string SulfurLimit::applies_to() const {
  std::string text;
  for (const Condition& condition : rule->when) text += (text.empty() ? "" : "; ") + in_words(condition);
  return text;
}

std::vector<SulfurLimit> sulfur_limits(const Scenario& scenario) {
  return limits_on(scenario, sets_of(scenario, set_names(rules_of(scenario))), {"total SO2", "free SO2"});
}

std::vector<SulfurLimit> sulfur_limits_for(const Scenario& scenario, double sugar_g_l, double alcohol_pct) {
  std::vector<SulfurLimit> limits = sulfur_limits(scenario);
  std::erase_if(limits, [&](const SulfurLimit& limit) { return !limit.applies(sugar_g_l, alcohol_pct); });
  return limits;
}

double sulfate_limit_g_l(const Scenario& scenario, double alcohol_pct) {
  double least = kUnknown;
  for (const SulfurLimit& limit : limits_on(scenario, {"oiv"}, {"sulfate"}))
    if (limit.applies(kUnknown, alcohol_pct)) least = std::fmin(least, limit.rule->limit);
  return least;
}

std::string sulfite_statements(const Scenario& scenario) {
  std::string text;
  const RuleBook& book = rules_of(scenario);
  const auto sets = sets_of(scenario, set_names(book));
  for (const Rule& rule : book.rules)
    if (rule.effect == Effect::statement && rule.quantity == "total SO2" &&
        std::find(sets.begin(), sets.end(), rule.set) != sets.end())
      text += (text.empty() ? "" : ", ") + std::string(operator_word(rule.op)) + ' ' + plain_number(rule.limit) + ' ' +
              rule.unit + " (" + rule.id + ", " + rule.source.where + ")";
  return text;
}

double sulfur_level_of(const SulfurLimit& limit, const TestedMoment& moment) {
  return limit.of_free() ? moment.free_mg_l : moment.total_mg_l;
}

std::vector<SulfurVerdict> sulfur_verdicts(const Scenario& scenario, const std::vector<TestedMoment>& moments,
                                           const SulfurLongRun& long_run) {
  std::vector<SulfurVerdict> result;
  for (const SulfurLimit& limit : sulfur_limits(scenario)) {
    SulfurVerdict verdict{.limit = limit};
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
      return limit.applies(moment.sugar_g_l, moment.alcohol_pct) ? limit.limit_mg_l()
                                                                 : std::numeric_limits<double>::infinity();
    };
    verdict.largest_dose_mg_l = largest_plain_dose_mg_l(
        long_run, {limit.of_free() ? &TestedMoment::free_mg_l : &TestedMoment::total_mg_l, limit_of});
    result.push_back(verdict);
  }
  return result;
}

std::optional<TestedMoment> sulfate_passed(const Scenario& scenario, const std::vector<TestedMoment>& moments) {
  const auto limits = limits_on(scenario, {"oiv"}, {"sulfate"});
  return earliest(moments, [&](const TestedMoment& moment) {
    return std::any_of(limits.begin(), limits.end(), [&](const SulfurLimit& limit) {
      return limit.applies(kUnknown, moment.alcohol_pct) && moment.sulfate_g_l > limit.rule->limit;
    });
  });
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
