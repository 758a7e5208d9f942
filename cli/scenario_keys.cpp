#include "cli/scenario_keys.h"

#include <cmath>
#include <sstream>

namespace tierce {
namespace {

constexpr double kAny = std::numeric_limits<double>::infinity();
constexpr Range kAboveZero{0.0, kAny, true};
constexpr Range kZeroOrMore{0.0, kAny, false};
constexpr Range kFraction{0.0, 1.0, false};
constexpr Range kFractionAboveZero{0.0, 1.0, true};
constexpr Range kStrength{0.0, 100.0, false};
constexpr bool kRequired = true;
constexpr bool kOptional = false;

Key quantity(std::string name, Measure measure, Range range, bool required, std::string standard, std::string meaning) {
  return {std::move(name), Form::quantity, measure, range, required, std::move(standard), std::move(meaning), {}};
}
Key plain(std::string name, Form form, bool required, std::string standard, std::string meaning) {
  return {std::move(name), form, Measure::volume, {}, required, std::move(standard), std::move(meaning), {}};
}
Key number(std::string name, Range range, std::string standard, std::string meaning) {
  return {std::move(name), Form::number, Measure::volume, range, kOptional, std::move(standard), std::move(meaning), {}};
}
Key whole(std::string name, double low, double high, std::string standard, std::string meaning) {
  return {std::move(name), Form::whole, Measure::volume, {low, high, false}, kOptional, std::move(standard), std::move(meaning), {}};
}
Key choice(std::string name, std::vector<std::string> choices, std::string standard, std::string meaning) {
  return {std::move(name), Form::choice, Measure::volume, {}, kOptional, std::move(standard), std::move(meaning), std::move(choices)};
}

/// What a laboratory reports of a wine: the same keys for a lot, an opening stock and an analysis.
std::vector<Key> wine_keys(bool alcohol_required) {
  return {
      quantity("alcohol", Measure::strength, kStrength, alcohol_required, "", "strength at 20 °C"),
      quantity("sugar", Measure::grams_per_litre, {0.0, 800.0, false}, kOptional, "", "glucose and fructose"),
      quantity("acidity", Measure::grams_per_litre, {0.0, 50.0, false}, kOptional, "", "total acidity, as tartaric acid"),
      quantity("va", Measure::grams_per_litre, {0.0, 50.0, false}, kOptional, "", "volatile acidity, as acetic acid"),
      number("pH", {2.0, 5.0, false}, "", "pH"),
      plain("so2", Form::map, kOptional, "", "sulfur dioxide: {free, total}"),
      quantity("acetaldehyde", Measure::milligrams_per_litre, {0.0, 2000.0, false}, kOptional, "", "acetaldehyde that can bind SO2"),
      quantity("sulfate", Measure::grams_per_litre, {0.0, 20.0, false}, kOptional, "", "sulfate, as potassium sulfate"),
  };
}

std::vector<Key> joined(std::vector<Key> first, const std::vector<Key>& then) {
  first.insert(first.end(), then.begin(), then.end());
  return first;
}

Section entry_section(const std::string& verb, const std::vector<Key>& own) {
  const std::vector<Key> common = {
      plain("date", Form::date, kRequired, "", "the day it was done"),
      plain("do", Form::choice, kRequired, "", "the verb"),
      plain("note", Form::text, kOptional, "", "a remark; kept"),
      plain("ref", Form::text, kOptional, "", "a document's number; kept"),
  };
  return {"an entry 'do: " + verb + "'", joined(joined({common[0], common[1]}, own), {common[2], common[3]})};
}

const std::vector<Key>& amount_keys() {
  static const std::vector<Key> kKeys = {
      quantity("volume", Measure::volume, kAboveZero, kOptional, "", "how much, at 20 °C"),
      quantity("share", Measure::share, kFractionAboveZero, kOptional, "", "or which part of what is there"),
  };
  return kKeys;
}

const std::vector<std::pair<std::string, Section>>& entries() {
  static const Key kFrom = plain("from", Form::text, kRequired, "", "tier, vessel or tank that gives");
  static const Key kTo = plain("to", Form::text, kRequired, "", "tier, vessel or tank that takes");
  static const std::vector<std::pair<std::string, Section>> kEntries = {
      {"add", entry_section("add", {plain("lot", Form::text, kRequired, "", "the new wine"), kTo,
                                    quantity("volume", Measure::volume, kAboveZero, kRequired, "", "litres pumped")})},
      {"draw", entry_section("draw", joined(joined({kFrom}, amount_keys()),
                                            {plain("bottles", Form::special, kOptional, "", "or bottles, as in 500 x 375 mL"),
                                             plain("for", Form::text, kOptional, "its date", "the bottling's name")}))},
      {"move", entry_section("move", joined({kFrom, kTo}, amount_keys()))},
      {"refill", entry_section("refill", {plain("lot", Form::text, kRequired, "", "the new wine"),
                                          choice("order", {"oldest first", "youngest first"}, "oldest first", "which tier is filled first"),
                                          quantity("volume", Measure::volume, kAboveZero, kOptional, "what the targets need", "new wine into the youngest tier")})},
      {"dose", entry_section("dose", {plain("tier", Form::text, kOptional, "all", "tier or tank that is dosed, or all tiers"),
                                      quantity("so2", Measure::milligrams_per_litre, kAboveZero, kOptional, "", "SO2 added"),
                                      quantity("metabisulfite", Measure::mass, kAboveZero, kOptional, "", "or potassium metabisulfite weighed"),
                                      plain("to", Form::map, kOptional, "", "or the level wanted: {free} or {molecular}")})},
      {"gauge", entry_section("gauge", {plain("tier", Form::text, kOptional, "", "the tier, vessel or tank measured"),
                                        quantity("volume", Measure::volume, kZeroOrMore, kOptional, "", "what it was found to hold"),
                                        plain("gauge", Form::map, kOptional, "", "or vessel by vessel: {F1: 221 L, F2: 219 L}"),
                                        quantity("at", Measure::temperature, {-20.0, 40.0, false}, kOptional, "20 °C", "temperature of the wine when read")})},
      {"analyse", entry_section("analyse", joined(joined({plain("tier", Form::text, kRequired, "", "the tier, vessel or tank sampled")}, wine_keys(false)),
                                                  {choice("use", {"set", "keep"}, "set; keep for one vessel of several", "set the book to the reading, or only file it"),
                                                   plain("method", Form::text, kOptional, "", "how it was measured; kept"),
                                                   plain("laboratory", Form::text, kOptional, "", "who measured; kept"),
                                                   plain("error", Form::text, kOptional, "", "error of the reading; kept")}))},
      {"lose", entry_section("lose", joined(joined({kFrom}, amount_keys()),
                                            {choice("cause", {"leak", "lees", "soakage", "spill", "sample", "theft", "fire", "other"}, "other", "why")}))},
  };
  return kEntries;
}

std::string trimmed_number(double value) {
  std::ostringstream out;
  out.imbue(std::locale::classic());
  out << value;
  return out.str();
}

}  // namespace

const Key* Section::find(const std::string& key) const {
  for (const Key& row : keys)
    if (row.name == key) return &row;
  return nullptr;
}

std::vector<std::string> Section::names() const {
  std::vector<std::string> result;
  for (const Key& row : keys) result.push_back(row.name);
  return result;
}

std::string allowed_text(const Key& key) {
  std::string unit;
  double scale = 1.0;
  if (key.form == Form::quantity) {
    const Unit& base = units_of(key.measure).front();
    unit = ' ' + base.name;
    scale = base.factor;
  }
  const std::string low = trimmed_number(key.range.low / scale) + unit;
  const std::string high = trimmed_number(key.range.high / scale) + unit;
  const bool has_low = std::isfinite(key.range.low), has_high = std::isfinite(key.range.high);
  if (has_low && has_high) return (key.range.above_low ? "above " + low + " and up to " : low + " to ") + high;
  if (has_low) return key.range.above_low ? "above " + low : low + " or more";
  return "any number";
}

namespace keys {

const Section& scenario() {
  static const Section kSection{"a scenario", {
      plain("reserve", Form::text, kRequired, "", "its name"),
      choice("units", {"metric", "us"}, "metric", "what reports print; JSON is always metric"),
      choice("clock", {"harvest", "entry", "wood"}, "harvest", "where ages begin: the harvest, the entry into a tier, or time in wood only"),
      plain("cellar", Form::map, kOptional, "15 °C, 70 %", "the air of the cellar"),
      plain("tiers", Form::list, kRequired, "", "youngest first; bottlings leave the last"),
      plain("tanks", Form::list, kOptional, "none", "vessels outside the chain of tiers"),
      plain("lots", Form::list, kRequired, "", "parcels of new wine"),
      plain("opening", Form::list, kOptional, "none", "what was there when the book began"),
      plain("log", Form::list, kOptional, "none", "what happened, in order"),
      plain("habit", Form::map, kOptional, "none", "the routine of the years to come, or a list of routines"),
      whole("until", 1, 9999, "20 years after the log", "last year of the forecast"),
      plain("claims", Form::list, kOptional, "none", "what somebody wants to print"),
      plain("rules", Form::list, kOptional, "none", "rule sets that every draw is held against"),
      plain("so2_loss", Form::special, kOptional, "90 %/yr of free where acetaldehyde is known, else 40 %/yr of total", "SO2 lost, for tiers that state none"),
      whole("so2_steps", 1, 365, "1", "steps a year in which the loss is reckoned"),
      quantity("so2_binding", Measure::share, {0.0, 0.99, false}, kOptional, "a third", "share of an addition that binds where no binder is known"),
      plain("so2_pk", Form::special, kOptional, "oiv", "pK of SO2: oiv (by strength and temperature) or 1.81"),
      quantity("metabisulfite_yield", Measure::share, {0.3, 0.576287, false}, kOptional, "57.6286 %", "SO2 from potassium metabisulfite, by mass"),
      quantity("acetaldehyde_gain", Measure::milligrams_per_litre_year, kZeroOrMore, kOptional, "0", "acetaldehyde formed"),
      quantity("va_gain", Measure::grams_per_litre_year, kZeroOrMore, kOptional, "0", "volatile acidity formed, as acetic acid"),
  }};
  return kSection;
}

const Section& cellar() {
  static const Section kSection{"cellar", {
      quantity("temperature", Measure::temperature, {-5.0, 40.0, false}, kOptional, "15 °C", "of the air, over the year"),
      quantity("humidity", Measure::share, kFraction, kOptional, "70 %", "relative"),
      choice("hemisphere", {"north", "south"}, "north", "sets the default day of harvest: 1 Oct or 1 Apr"),
  }};
  return kSection;
}

const Section& tier() {
  static const Section kSection{"a tier", {
      plain("name", Form::text, kRequired, "", "its name"),
      plain("vessels", Form::list, kRequired, "", "what it is made of"),
      quantity("target", Measure::volume, kAboveZero, kOptional, "the sum of the capacities", "what it is refilled to"),
      plain("evaporation", Form::special, kOptional, "3 %/yr", "loss, as %/yr or L/yr per vessel"),
      quantity("vapour", Measure::strength, kStrength, kOptional, "", "strength of what evaporates"),
      choice("wood", {"yes", "no"}, "yes", "whether the clock 'wood' runs in it"),
      plain("so2_loss", Form::special, kOptional, "the reserve's", "%/yr of total, mg/L/yr, or %/yr of free"),
  }};
  return kSection;
}

const Section& vessel() {
  static const Section kSection{"a vessel", {
      plain("name", Form::text, kRequired, "", "its mark; N with count: 6 becomes N1 to N6"),
      plain("count", Form::special, kOptional, "1", "how many alike, or a list of their marks: [14, 15, 031]"),
      quantity("capacity", Measure::volume, kAboveZero, kRequired, "", "what it holds when full"),
  }};
  return kSection;
}

const Section& tank() {
  static const Section kSection{"a tank", {
      plain("name", Form::text, kRequired, "", "its name"),
      quantity("capacity", Measure::volume, kAboveZero, kRequired, "", "what it holds when full"),
  }};
  return kSection;
}

const Section& lot() {
  static const Section kSection{"a lot", joined(joined({
      plain("name", Form::text, kRequired, "", "its name"),
      whole("vintage", 1, 9999, "the year of 'harvested'", "year of the harvest"),
      plain("harvested", Form::date, kOptional, "1 Oct of the vintage (1 Apr in the south)", "where its age begins"),
      plain("grapes", Form::map, kOptional, "", "varieties and their shares"),
      plain("grown", Form::map, kOptional, "", "origins and their shares"),
  }, wine_keys(true)), {
      quantity("density", Measure::relative_density, {}, kOptional, "", "as read, in place of 'sugar': SG, Bx, Be or °Oe"),
      plain("spirit", Form::map, kOptional, "", "the spirit that went in"),
      plain("cost", Form::special, kOptional, "", "a litre, as in 7.10 EUR/L"),
  })};
  return kSection;
}

const Section& spirit() {
  static const Section kSection{"spirit", {
      quantity("volume", Measure::volume, kAboveZero, kOptional, "", "spirit used"),
      quantity("strength", Measure::strength, kStrength, kOptional, "", "its strength"),
      quantity("into", Measure::volume, kAboveZero, kOptional, "", "must or wine that it went into"),
      whole("made", 1, 9999, "", "year in which the spirit was made"),
  }};
  return kSection;
}

const Section& so2() {
  static const Section kSection{"so2", {
      quantity("free", Measure::milligrams_per_litre, {0.0, 2000.0, false}, kOptional, "", "free SO2"),
      quantity("total", Measure::milligrams_per_litre, {0.0, 2000.0, false}, kOptional, "", "total SO2"),
  }};
  return kSection;
}

const Section& opening() {
  static const Section kSection{"an opening stock", joined({
      plain("date", Form::date, kRequired, "", "the day it was measured"),
      plain("tier", Form::text, kRequired, "", "the tier or tank that held it"),
      quantity("volume", Measure::volume, kAboveZero, kRequired, "", "how much"),
      plain("lots", Form::map, kOptional, "unknown: 100 %", "what it is made of, by share"),
      plain("ages", Form::map, kOptional, "", "ages on that day, for parts without a known harvest"),
  }, wine_keys(false))};
  return kSection;
}

namespace {
std::vector<Key> habit_day_keys() {
  return {
      choice("order", {"draw first", "refill first"}, "draw first", "what comes first on the day"),
      plain("draw", Form::special, kOptional, "none", "what leaves the last tier: 20 %, 300 L, 800 x 375 mL or none"),
      plain("for", Form::text, kOptional, "its date", "the bottling's name; {year} stands for the year"),
      plain("refill", Form::map, kOptional, "none", "the new wine, or none"),
      plain("dose", Form::map, kOptional, "none", "sulfur that goes in last, a list of doses, or none"),
  };
}
}  // namespace

const Section& habit() {
  static const Section kSection{"a habit", joined(joined({
      plain("day", Form::day_of_year, kOptional, "", "its day of the year, as in 10 Feb"),
      quantity("every", Measure::months, {1.0, 600.0, false}, kOptional, "", "or a period, as in 6 months, counted from 'from'"),
      plain("from", Form::date, kOptional, "", "not before this day"),
  }, habit_day_keys()), {plain("except", Form::map, kOptional, "none", "calendar years that differ; only the keys given are replaced")})};
  return kSection;
}

const Section& except() {
  static const Section kSection{"an exception", habit_day_keys()};
  return kSection;
}

const Section& habit_refill() {
  static const Section kSection{"a habit's refill", joined(joined({
      plain("like", Form::text, kOptional, "", "a new lot each harvest, like this one"),
      plain("lot", Form::text, kOptional, "", "or always this lot"),
      quantity("volume", Measure::volume, kAboveZero, kOptional, "what the targets need", "new wine into the youngest tier"),
      choice("order", {"oldest first", "youngest first"}, "oldest first; with 'refill first' youngest first", "which tier is filled first"),
  }, wine_keys(false)), {plain("cost", Form::special, kOptional, "that of the lot it is like", "a litre, as in 7.10 EUR/L")})};
  return kSection;
}

const Section& dose() {
  static const Section kSection{"a dose", {
      plain("tier", Form::text, kOptional, "all", "tier or tank that is dosed, or all tiers"),
      quantity("so2", Measure::milligrams_per_litre, kAboveZero, kOptional, "", "SO2 added"),
      quantity("metabisulfite", Measure::mass, kAboveZero, kOptional, "", "or potassium metabisulfite weighed"),
      plain("to", Form::map, kOptional, "", "or the level wanted: {free} or {molecular}"),
  }};
  return kSection;
}

const Section& dose_to() {
  static const Section kSection{"a dose's level", {
      quantity("free", Measure::milligrams_per_litre, {0.0, 500.0, true}, kOptional, "", "free SO2 wanted"),
      quantity("molecular", Measure::milligrams_per_litre, {0.0, 10.0, true}, kOptional, "", "or molecular SO2 wanted"),
  }};
  return kSection;
}

const Section* entry(const std::string& verb) {
  for (const auto& [name, section] : entries())
    if (name == verb) return &section;
  return nullptr;
}

std::vector<std::string> verbs() {
  std::vector<std::string> names;
  for (const auto& [name, section] : entries()) names.push_back(name);
  return names;
}

std::vector<const Section*> all() {
  std::vector<const Section*> sections = {&scenario(), &cellar(), &tier(), &vessel(), &tank(), &lot(), &spirit(), &so2(), &opening()};
  for (const auto& [name, section] : entries()) sections.push_back(&section);
  for (const Section* section : {&habit(), &except(), &habit_refill(), &dose(), &dose_to()}) sections.push_back(section);
  return sections;
}

}  // namespace keys
}  // namespace tierce
