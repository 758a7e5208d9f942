// A rule on a label or a tax, as the rule files state it (cli/data/rules/*.yaml): a quantity, a limit, whom it concerns
// and who says so. Plain values: what a rule decides is worked out in verdict.h.
#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "engine/book/scenario.h"

namespace tierce {

/// How a figure has to stand to the limit. `at_least` and `at_most` take in the limit itself, `above` and `below` do
/// not. `same_side`: all figures on one side of the limit, which itself belongs to the lower side.
enum class Operator { at_least, above, at_most, below, exactly, same_side, multiple_of };

/// How well a text is known. What is from memory never decides anything.
enum class Known { read, second_hand, memory };

/// What follows where the figure stands as the rule says: it is within a limit; or something has to be stated.
enum class Effect { limit, statement };

/// What added spirit does in a share of the wine: it is left out; it counts; or the text does not say.
enum class SpiritIn { counted, left_out, unsettled };

/// When a rule speaks of a wine: words (any of them; "not stated" where nothing is), or a figure against a limit.
struct Condition {
  std::string fact{};                // a word that is known of a wine ("colour"), or a quantity
  std::vector<std::string> words{};  // empty: a figure
  Operator op = Operator::at_least;
  double limit = kUnknown;
  bool open_at_limit = false;  // the text does not say on which side the limit itself lies
};

/// Where a text stands and how well it is known.
struct Citation {
  std::string where{};    // 27 CFR 4.27(a)(1)
  std::string text_of{};  // the date of the text that was seen, in words
  Known known = Known::memory;
  std::string note{};
};

/// From the first to the last day of a text, both within; without one it has none that was seen.
struct InForce {
  std::optional<Date> from{}, until{};
  bool on(const Date& day) const { return (!from || *from <= day) && (!until || day <= *until); }
};
constexpr double kStrengthC = 20.0;  // where strengths in %vol are defined here; a rule may have its own scale

struct Rule {
  At at{};
  std::string set{};  // the rule set: us
  std::string id{};
  std::string about{};                // what it asks, in words
  std::vector<std::string> judges{};  // what is claimed; or "draw", "year", "figure"
  std::string quantity{};             // a row of label_quantities()
  Operator op = Operator::at_least;
  double limit = kUnknown;  // in the unit of the quantity
  std::string unit{};
  Effect effect = Effect::limit;
  std::string statement{};            // what has to be stated
  double strength_at_c = kStrengthC;  // strengths in %vol are taken at this temperature
  SpiritIn spirit = SpiritIn::counted;
  bool open_at_limit = false;  // sources differ on whether the limit itself is within
  double open_to = kUnknown;   // beyond the limit the texts leave it open as far as this; infinite: any figure
  std::string open_point{};    // what the texts leave open, there or whatever the figure: the verdict stays open
  std::vector<DayOfYear> year_ends{};  // of a rule on a year: the annual periods that the text knows
  std::vector<Condition> when{};
  std::vector<Condition> unless{};
  std::string family{};                     // rules of which one takes the place of another
  std::vector<std::string> gives_way_to{};  // rules, or families, that no tolerance of this one reaches across
  std::string boundary{};                   // what changes for a wine stronger than the limit; empty = nothing
  InForce in_force{};
  Citation source{};
};

/// A class by strength, with the tax on it; or a credit on the tax.
struct TaxClass {
  At at{};
  std::string set{};
  std::string id{};
  std::string name{};
  bool credit = false;
  double above_pct = -std::numeric_limits<double>::infinity();
  bool takes_in_lower = false;  // the lower limit belongs to the class
  double up_to_pct = std::numeric_limits<double>::infinity();
  double rate = kUnknown;  // in the currency, for each unit of volume; unknown: a class without a rate
  std::string currency{};
  double unit_l = 1.0;                // litres in that unit
  double rounded_to_l = 0.0;          // the volume that is taxed: to the nearest, a half up; 0 = as it is
  double strength_at_c = kStrengthC;  // as for a rule
  std::vector<Condition> when{};
  std::string unit{};
  double volume_l = kUnknown;  // of a credit: how much of a producer's year it is for
  InForce in_force{};
  std::string boundary{};  // what changes for a wine stronger than `above_pct`
  Citation source{};
};

struct RuleSet {
  std::string name{};   // us
  std::string title{};  // United States
  std::string noted{};  // the day on which the rules were noted down
  bool added = false;   // from a file of the user
};

struct RuleBook {
  std::vector<RuleSet> sets{};
  std::vector<Rule> rules{};
  std::vector<TaxClass> classes{};

  const Rule* find(const std::string& id) const {
    for (const Rule& rule : rules)
      if (rule.id == id) return &rule;
    return nullptr;
  }
};

}  // namespace tierce
