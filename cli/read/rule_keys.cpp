#include "cli/read/rule_keys.h"

#include "cli/read/key_rows.h"

namespace tierce::keys {

using namespace rows;

const Section& rule_file() {
  static const Section kSection{
      "a rule file",
      {
          plain("rules", Form::text, kRequired, "", "name of the rule set, as 'rules:' of a scenario has it"),
          plain("title", Form::text, kRequired, "", "whose rules they are"),
          plain("noted", Form::date, kRequired, "", "the day on which they were noted down"),
          plain("list", Form::list, kOptional, "none", "the rules"),
          plain("classes", Form::list, kOptional, "none", "classes by strength, with the tax on them"),
      }};
  return kSection;
}

const Section& rule() {
  static const Section kSection{
      "a rule",
      {
          plain("id", Form::text, kRequired, "", "its name; no two rules have the same"),
          plain("about", Form::text, kRequired, "", "what it asks, in words"),
          plain("judges", Form::list, kRequired, "",
                "what is claimed (mean age, vintage, ...), or draw, year, fortify, figure"),
          plain("quantity", Form::special, kRequired, "", "what is held against the limit"),
          plain("limit", Form::special, kRequired, "",
                "at least, above, at most, below, exactly, same side or multiple of, and a value with its unit"),
          choice("at the limit", {"decided", "open"}, "decided", "open where sources differ on the limit itself"),
          plain("open to", Form::special, kOptional, "",
                "a value beyond the limit, or any figure: so far the texts leave it open"),
          choice("strength at", {"20 °C", "60 °F"}, "20 °C",
                 "the scale of its strengths: those of the book are at 20 °C, and are brought to it"),
          plain("year ends", Form::list, kOptional, "31 Dec",
                "of a rule on a year: the last days of the annual periods that the text knows"),
          choice("spirit", {"counted", "left out", "unsettled"}, "counted",
                 "added spirit in a share of the wine; unsettled gives both readings"),
          plain("when", Form::map, kOptional, "always", "the wines and claims that it speaks of"),
          plain("unless", Form::map, kOptional, "none", "those among them that are excepted"),
          plain("statement", Form::text, kOptional, "",
                "what has to be stated where the figure stands as the limit says; makes it no limit but a trigger"),
          plain("family", Form::text, kOptional, "", "rules of which one stands in for the other"),
          plain("gives way to", Form::list, kOptional, "none", "rules or families that it does not reach across"),
          plain("boundary", Form::text, kOptional, "",
                "of a limit on strength: what a wine changes there; forecasts tell the draws that cross it"),
          plain("left open", Form::text, kOptional, "",
                "what the text does not answer; keeps it open, with 'open to' between the limit and that"),
          plain("from", Form::date, kOptional, "", "first day of the text"),
          plain("until", Form::date, kOptional, "", "last day of the text"),
          plain("citation", Form::text, kRequired, "", "where the text stands"),
          plain("text", Form::text, kRequired, "", "date of the text that was seen"),
          choice("known", {"read", "second hand", "memory"}, "memory", "how well; from memory is never but open"),
          plain("note", Form::text, kOptional, "", "what a reader should know"),
      }};
  return kSection;
}

const Section& tax_class() {
  static const Section kSection{
      "a class",
      {
          plain("id", Form::text, kRequired, "", "its name"),
          plain("name", Form::text, kRequired, "", "what it is called, in words"),
          choice("kind", {"class", "credit"}, "class", "a class, or a credit on the tax of a producer's year"),
          quantity("above", Measure::strength, kStrength, kOptional, "no lower limit", "stronger than this"),
          quantity("at least", Measure::strength, kStrength, kOptional, "",
                   "in place of 'above': this strength is in it"),
          quantity("up to", Measure::strength, kStrength, kOptional, "no upper limit", "this strength is still in it"),
          plain("rate", Form::special, kOptional, "", "tax or credit, as in 1.07 USD/gal"),
          quantity("volume", Measure::volume, kAmountAboveZero, kOptional, "",
                   "of a credit: for so much, after those "
                   "before it"),
          quantity("rounded to", Measure::volume, kAmountAboveZero, kOptional, "as it is",
                   "what is taxed is the nearest multiple of this, a half going up"),
          choice("strength at", {"20 °C", "60 °F"}, "20 °C", "as for a rule"),
          plain("when", Form::map, kOptional, "always", "the wines that it is for, as for a rule"),
          plain("from", Form::date, kOptional, "", "first day"),
          plain("until", Form::date, kOptional, "", "last day"),
          plain("boundary", Form::text, kOptional, "", "of 'above': what a wine changes there, as for a rule"),
          plain("citation", Form::text, kRequired, "", "where the text stands"),
          plain("text", Form::text, kRequired, "", "date of the text that was seen"),
          choice("known", {"read", "second hand", "memory"}, "memory", "how well"),
          plain("note", Form::text, kOptional, "", "what a reader should know"),
      }};
  return kSection;
}

std::vector<const Section*> of_rules() { return {&rule_file(), &rule(), &tax_class()}; }

const std::vector<FactWord>& fact_words() {
  static const std::vector<FactWord> kWords = {
      {"product",
       {"wine", "liqueur wine", "spirits", "vinegar"},
       "as the scenario's `label` states it, else by strength"},
      {"colour", {"red", "white", "rose", "amber"}, "as the scenario's `label` states it"},
      {"designation", {}, "a protected name, as the scenario's `label` states it; or `not stated`"},
      {"appellation",
       {"viticultural area", "state", "county", "country"},
       "as the scenario's `label` states it; or `not stated`"},
      {"organic", {"yes", "no"}, "as the scenario's `label` states it; no where it does not"},
      {"statement", {"one figure", "a range"}, "how a claim states the strength"},
      {"term", {}, "the term that a claim states; of wording, whole words that stand in it"},
  };
  return kWords;
}

}  // namespace tierce::keys
