// A figure and a rule give a verdict: it holds, it fails, or it is open. Nothing is ever called legal.
#pragma once

#include <string>
#include <vector>

#include "engine/rules/label_facts.h"
#include "engine/rules/rule.h"

namespace tierce {

enum class Verdict { holds, fails, open };

/// Why a verdict is what it is, for words to be made of it.
enum class Because {
  figure,             // the figure stands so to the limit
  not_known,          // the figure is not known
  bounds,             // part of the wine is not known, and it may lie on either side
  readings_differ,    // the texts do not say how to reckon, and it matters
  years_differ,       // the text knows two annual periods, and they do not agree
  limits_differ,      // limits that the text joins by "or" do not agree
  at_limit,           // sources differ on the limit itself
  memory,             // the text was not seen: open whatever the figure
  open_point,         // the texts leave the question open whatever the figure
  not_in_force,       // the rule named is not in force on the day
  condition_unknown,  // whether the rule speaks of this wine is not known; `of` names what is not
  not_covered,        // the rule named speaks of other wines; `of` names the condition
  gives_way,          // by itself it would hold, but another rule, `of`, does not
  no_rule             // the rule set has nothing on it
};

struct Judgement {
  const Rule* rule = nullptr;  // null: the claim's own figure, or no rule
  std::string set{};
  Verdict verdict = Verdict::open;
  Verdict by_figure = Verdict::open;  // what the figure alone says
  Because because = Because::figure;
  std::string of{};
  std::string quantity{};
  std::string unit{};
  Operator op = Operator::at_least;
  double limit = kUnknown;
  std::vector<LabelReading> readings{};
  double value = kUnknown;   // of the first reading, where it is exact
  double margin = kUnknown;  // above zero: within; below: beyond; in the unit
  double error = 0.0;        // of a usual or stated measurement
  bool within_error = false;
  const LossYear* year = nullptr;  // of a rule on a year
};

/// What is compared and printed under one word: the claim's own figure has no rule.
struct Bound {
  std::string quantity{};
  Operator op = Operator::at_least;
  double limit = kUnknown;
  SpiritIn spirit = SpiritIn::counted;
  bool open_at_limit = false;
  double strength_at_c = kStrengthC;
  std::string unit{};         // where the quantity has none of its own
  double open_to = kUnknown;  // beyond the limit the texts leave it open as far as this
};

/// Values are the same if they differ by less than this share of the limit (or by this, for limits under 1): a figure
/// worked out through a run is exact to about 1e-12, and one that stands on a limit is on it.
constexpr double kSameFigure = 1e-9;

Judgement judge(const Bound& bound, const LabelCase& of);
/// How a figure, or the bounds of one, stands to a limit; open where the bounds lie on both sides.
Verdict stands(const LabelReading& reading, Operator op, double limit);

/// The words under which rules name what they judge: "mean age", "vintage", ...
const std::vector<std::string>& say_words();
const std::string& word_of(Say say);

/// A claim about one draw: its own figure first, where it has one, then each rule. With `rule:` that rule and those it
/// gives way to; else every rule on such a claim in each of the sets, or a row that says the set has none.
std::vector<Judgement> judge_claim(const RuleBook& book, const std::vector<std::string>& sets, const Claim& claim,
                                   const LabelFacts& facts);
/// The rules that every draw is held against; those on statements last.
std::vector<Judgement> judge_draw(const RuleBook& book, const std::vector<std::string>& sets, const LabelFacts& facts);
/// The rules on a year, each for the annual periods that it knows: `years` are periods that end in about the same time,
/// the first by the calendar. Where a rule knows several of them and they disagree, all are open.
std::vector<Judgement> judge_years(const RuleBook& book, const std::vector<std::string>& sets,
                                   const std::vector<LossYear>& years, const LabelFacts& facts);
/// The rules on a plan to fortify that speak of a wine of this name.
std::vector<Judgement> judge_fortify(const RuleBook& book, const std::vector<std::string>& sets,
                                     const LabelFacts& facts);

/// The rules on what a draw holds that may speak of a wine, in the order of the book.
struct RuleOnWine {
  const Rule* rule = nullptr;
  bool sure = false;  // else it depends on what is not known
};
std::vector<RuleOnWine> rules_on(const RuleBook& book, const std::vector<std::string>& sets,
                                 const std::vector<std::string>& quantities, const LabelFacts& facts);

/// Every designation that a rule of the book asks for, in the order of the rules.
std::vector<std::string> known_designations(const RuleBook& book);
/// True for a designation that no rule of the book asks for.
bool is_unknown_name(const std::string& name, const RuleBook& book);

/// The rule sets that a scenario names, and those of the user's files; where it names none, `otherwise` with the
/// latter.
std::vector<std::string> sets_of(const Scenario& scenario, const RuleBook& book, std::vector<std::string> otherwise);

/// The worst of several: fails before open before holds.
Verdict worst(const std::vector<Judgement>& judgements);

/// Classes of a draw on this day, by its strength on the scale of each; credits are left out.
std::vector<const TaxClass*> classes_of(const RuleBook& book, const std::vector<std::string>& sets,
                                        const LabelFacts& facts, const Date& date);
/// The volume that is taxed: as the law rounds it.
double taxed_l(const TaxClass& of, double volume_l);
/// Tax on a volume, in the class's currency.
double tax_on(const TaxClass& of, double volume_l);
/// Credit for a producer's removals of a year, from `before_l` to `before_l + volume_l`, never more than the tax, by
/// the credits of that day; unknown where the book has credits for other days only.
double credit_on(const RuleBook& book, const TaxClass& of, double before_l, double volume_l, const Date& date);

}  // namespace tierce
