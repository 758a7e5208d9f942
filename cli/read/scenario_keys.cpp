#include "cli/read/scenario_keys.h"

#include <cmath>

#include "cli/read/key_rows.h"

namespace tierce {

using namespace rows;

namespace rows {
std::vector<Key> wine_keys(bool alcohol_required) {
  return {
      quantity("alcohol", Measure::strength, kStrength, alcohol_required, "", "strength at 20 °C"),
      quantity("sugar", Measure::grams_per_litre, {0.0, 800.0, false}, kOptional, "", "glucose and fructose"),
      quantity("acidity", Measure::grams_per_litre, {0.0, 200.0, false}, kOptional, "",
               "total acidity, as tartaric acid"),
      quantity("va", Measure::grams_per_litre, {0.0, 200.0, false}, kOptional, "", "volatile acidity, as acetic acid"),
      number("pH", {2.0, 5.0, false}, "", "pH"),
      plain("so2", Form::map, kOptional, "", "sulfur dioxide: {free, total}"),
      quantity("acetaldehyde", Measure::milligrams_per_litre, {0.0, 2000.0, false}, kOptional, "",
               "acetaldehyde that can bind SO2"),
      quantity("pyruvic", Measure::milligrams_per_litre, {0.0, 2000.0, false}, kOptional, "",
               "pyruvic acid, which binds SO2"),
      quantity("oxoglutaric", Measure::milligrams_per_litre, {0.0, 2000.0, false}, kOptional, "",
               "2-oxoglutaric acid, likewise"),
      quantity("galacturonic", Measure::milligrams_per_litre, {0.0, 5000.0, false}, kOptional, "",
               "galacturonic acid, likewise"),
      quantity("sulfate", Measure::grams_per_litre, {0.0, 20.0, false}, kOptional, "", "sulfate, as potassium sulfate"),
  };
}

std::vector<Key> dip_keys() {
  constexpr Range kSize{0.0, 1000.0, true};
  return {
      quantity("bung", Measure::length, kSize, kOptional, "", "for a dip: inside diameter at the bung"),
      quantity("head", Measure::length, kSize, kOptional, "that at the bung", "inside diameter at the heads"),
      quantity("length", Measure::length, kSize, kOptional, "",
               "inside length; holds the capacity against the measures"),
      plain("table", Form::map, kOptional, "", "for a dip: litres at depths, as in {10 cm: 31 L, 20 cm: 84 L}"),
  };
}
}  // namespace rows

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

namespace {
double to_twelve_digits(double value) {
  if (value == 0.0) return value;
  const double step = std::pow(10.0, 11.0 - std::floor(std::log10(std::abs(value))));
  return std::round(value * step) / step;
}
}  // namespace

std::string allowed_text(const Key& key) {
  constexpr double kBeyondAnyCellar = 1e9;  // an upper end that only catches slips goes without saying
  std::string unit;
  double scale = 1.0;
  if (key.form == Form::quantity) {
    const Unit& base = units_of(key.measure).front();
    unit = ' ' + base.name;
    scale = base.factor;
  }
  const bool has_low = std::isfinite(key.range.low), has_high = key.range.high < kBeyondAnyCellar;
  // To twelve digits: an end held in another unit than the one written is often a last bit away from it.
  const auto end = [&](double value) { return plain_number(to_twelve_digits(value / scale)) + unit; };
  const std::string low = has_low ? end(key.range.low) : "", high = has_high ? end(key.range.high) : "";
  if (has_low && has_high) return (key.range.above_low ? "above " + low + " and up to " : low + " to ") + high;
  if (has_low) return key.range.above_low ? "above " + low : low + " or more";
  return "any number";
}

namespace keys {

const Section& scenario() {
  static const Section kSection{
      "a scenario",
      {
          plain("reserve", Form::text, kRequired, "", "its name"),
          choice("units", {"metric", "us"}, "metric", "what reports print; JSON is always metric"),
          choice("clock", {"harvest", "entry", "wood"}, "harvest",
                 "where ages begin: the harvest, the entry into a tier, or time in wood only"),
          plain("cellar", Form::map, kOptional, "15 °C, 70 %", "the air of the cellar"),
          plain("tiers", Form::list, kRequired, "", "youngest first; bottlings leave the last"),
          plain("tanks", Form::list, kOptional, "none", "vessels outside the chain of tiers"),
          plain("lots", Form::list, kRequired, "", "parcels of new wine"),
          plain("spirits", Form::list, kOptional, "none", "spirit for fortifying, with its account"),
          plain("opening", Form::list, kOptional, "none", "what was there when the book began"),
          plain("log", Form::list, kOptional, "none", "what happened, in order"),
          plain("habit", Form::map, kOptional, "none", "the routine of the years to come, or a list of routines"),
          whole("until", 1, 9999, "20 years after the log", "last year of the forecast"),
          quantity("allowance", Measure::share_per_year, kFraction, kOptional, "",
                   "loss that is allowed a year, as you state it; `tierce losses` holds the book against it"),
          quantity("interest", Measure::share_per_year, kFraction, kOptional, "none", "on the cost of the wine"),
          plain("filing", Form::map, kOptional, "", "what the accounts filed with an authority rest on"),
          plain("claims", Form::list, kOptional, "none", "what somebody wants to print"),
          plain("rules", Form::list, kOptional, "us, eu",
                "rule sets, or rule files of your own, that claims and every draw are held against"),
          plain("label", Form::map, kOptional, "", "what the rules ask and the book does not say"),
          plain("so2_loss", Form::special, kOptional,
                "90 %/yr of free where acetaldehyde is known, else 40 %/yr of total",
                "SO2 lost, for tiers that state none"),
          whole("so2_steps", 1, 365, "1", "steps a year in which the loss is reckoned"),
          plain("so2_binding", Form::special, kOptional,
                "a third; a fifth to a half, or two thirds from 12 g/L of sugar",
                "share of an addition that binds where no binder is known, as in 38 % or 38 ± 5 %"),
          plain("so2_pk", Form::special, kOptional, "oiv",
                "pK of SO2: oiv, by strength and temperature; oiv table, literally; or 1.81"),
          quantity("metabisulfite_yield", Measure::share, {0.3, 0.576287, false}, kOptional,
                   "57.6286 %, the theory; 50 % is customary", "SO2 from potassium metabisulfite, by mass"),
          quantity("acetaldehyde_gain", Measure::milligrams_per_litre_year, kAmount, kOptional, "0",
                   "acetaldehyde formed"),
          quantity("va_gain", Measure::grams_per_litre_year, kAmount, kOptional, "0",
                   "volatile acidity formed, as acetic acid"),
      }};
  return kSection;
}

const Section& filing() {
  static const Section kSection{"filing",
                                {
                                    plain("inventory", Form::day_of_year, kOptional, "31 Dec and 30 Jun, both judged",
                                          "day of the yearly inventory, with which the year for losses ends: 30 Jun"),
                                }};
  return kSection;
}

const Section& cellar() {
  static const Section kSection{
      "cellar",
      {
          quantity("temperature", Measure::temperature, {-5.0, 40.0, false}, kOptional, "15 °C",
                   "of the air, over the year"),
          quantity("humidity", Measure::share, kFraction, kOptional, "70 %", "relative"),
          quantity("neutral_humidity", Measure::share, kFraction, kOptional, "70 %",
                   "at which strengths stay, for a vapour that is not stated"),
          choice("hemisphere", {"north", "south"}, "north", "sets the default day of harvest: 1 Oct or 1 Apr"),
      }};
  return kSection;
}

const Section& tier() {
  static const Section kSection{
      "a tier",
      {
          plain("name", Form::text, kRequired, "", "its name"),
          plain("vessels", Form::list, kRequired, "", "what it is made of"),
          quantity("target", Measure::volume, kAmountAboveZero, kOptional, "the capacities, less 'ullage'",
                   "what it is refilled to"),
          plain("evaporation", Form::special, kOptional, "by the air; 3 %/yr if 'vapour' is stated",
                "loss, as %/yr or L/yr per vessel"),
          quantity("vapour", Measure::strength, kStrength, kOptional, "from the cellar's air",
                   "strength of what evaporates"),
          choice("wood", {"yes", "no"}, "yes", "whether the clock 'wood' runs in it"),
          plain("so2_loss", Form::special, kOptional, "the reserve's", "%/yr of total, mg/L/yr, or %/yr of free"),
          choice("level", {"even", "full first"}, "even", "how `tierce refresh` spreads wine over its vessels"),
          quantity("ullage", Measure::share, {0.0, 0.9, false}, kOptional, "0 %",
                   "of each vessel, left free when filled"),
      }};
  return kSection;
}

const Section& vessel() {
  static const Section kSection{
      "a vessel",
      joined(joined(
                 {
                     plain("name", Form::text, kRequired, "", "its mark; N with count: 6 becomes N1 to N6"),
                     plain("count", Form::special, kOptional, "1",
                           "how many alike, or a list of their marks: [14, 15, 031]"),
                     quantity("capacity", Measure::volume, kAmountAboveZero, kRequired, "", "what it holds when full"),
                 },
                 dip_keys()),
             {plain("note", Form::text, kOptional, "", "a remark; stock shows it")})};
  return kSection;
}

const Section& tank() {
  static const Section kSection{
      "a tank",
      {
          plain("name", Form::text, kRequired, "", "its name"),
          quantity("capacity", Measure::volume, kAmountAboveZero, kRequired, "", "what it holds when full"),
          plain("table", Form::map, kOptional, "", "for a dip: litres at depths, as in {10 cm: 31 L, 20 cm: 84 L}"),
          plain("note", Form::text, kOptional, "", "a remark; stock shows it"),
      }};
  return kSection;
}

namespace {

Key came_key() {
  return choice("came", {"made here", "in bond", "tax paid"}, "not stated: losses may be open",
                "how it came to the premises: fermented there, received in bond, or with its tax paid");
}

}  // namespace

const Section& lot() {
  static const Section kSection{
      "a lot", joined(joined(
                          {
                              plain("name", Form::text, kRequired, "", "its name"),
                              whole("vintage", 1, 9999, "the year of 'harvested'", "year of the harvest"),
                              plain("harvested", Form::date, kOptional, "1 Oct of the vintage (1 Apr in the south)",
                                    "where its age begins"),
                              plain("grapes", Form::map, kOptional, "", "varieties and their shares"),
                              plain("grown", Form::map, kOptional, "", "origins and their shares"),
                          },
                          wine_keys(true)),
                      {
                          quantity("density", Measure::relative_density, {}, kOptional, "",
                                   "as read, in place of 'sugar': SG, Bx, Be or °Oe"),
                          plain("spirit", Form::map, kOptional, "", "the spirit that went in"),
                          came_key(),
                          plain("cost", Form::special, kOptional, "", "a litre, as in 7.10 EUR/L"),
                          plain("made", Form::map, kOptional, "", "how much there was, and when: {volume, date}"),
                          quantity("lees", Measure::share, {0.0, 0.5, false}, kOptional, "none",
                                   "part of what was made that is no wine"),
                          plain("in", Form::text, kOptional, "", "the tank that received it on the day it was made"),
                          plain("analysed", Form::date, kOptional, "", "day of the analysis; kept"),
                      })};
  return kSection;
}

const Section& lot_brought() {
  static const Section kSection{
      "a lot of another reserve",
      {
          plain("name", Form::text, kRequired, "", "its name here"),
          plain("from", Form::text, kRequired, "", "the file of the other reserve, from this file's folder"),
          plain("draw", Form::text, kRequired, "", "the draw there, by its name or date"),
          came_key(),
          plain("cost", Form::special, kOptional, "what its parts cost there", "a litre, as in 7.10 EUR/L"),
      }};
  return kSection;
}

const Section& lot_made() {
  static const Section kSection{
      "made",
      {
          quantity("volume", Measure::volume, kAmountAboveZero, kRequired, "",
                   "what was made, lees and all; using more is an error"),
          plain("date", Form::date, kOptional, "the day of 'harvested'", "the day; not to be used before"),
      }};
  return kSection;
}

const Section& spirit() {
  static const Section kSection{
      "spirit",
      {
          quantity("volume", Measure::volume, kAmountAboveZero, kOptional, "", "spirit used"),
          quantity("strength", Measure::strength, kStrength, kOptional, "", "its strength"),
          quantity("into", Measure::volume, kAmountAboveZero, kOptional, "", "must or wine that it went into"),
          whole("made", 1, 9999, "", "year in which the spirit was made"),
      }};
  return kSection;
}

const Section& spirit_account() {
  static const Section kSection{
      "a spirit of the list",
      {
          plain("name", Form::text, kRequired, "", "its name"),
          quantity("strength", Measure::strength, kStrength, kRequired, "", "its strength"),
          plain("made", Form::date, kOptional, "", "the day it was made; without it its age is not known"),
          plain("origin", Form::text, kOptional, "", "where it comes from; kept"),
          plain("cost", Form::special, kOptional, "", "a litre, as in 7.10 EUR/L"),
          quantity("stock", Measure::volume, kAmountAboveZero, kOptional, "", "bought in all; using more is an error"),
      }};
  return kSection;
}

const Section& so2() {
  static const Section kSection{
      "so2",
      {
          quantity("free", Measure::milligrams_per_litre, {0.0, 2000.0, false}, kOptional, "", "free SO2"),
          quantity("total", Measure::milligrams_per_litre, {0.0, 2000.0, false}, kOptional, "", "total SO2"),
      }};
  return kSection;
}

const Section& opening() {
  static const Section kSection{
      "an opening stock",
      joined(
          {
              plain("date", Form::date, kRequired, "", "the day it was measured"),
              plain("tier", Form::text, kRequired, "", "the tier or tank that held it"),
              quantity("volume", Measure::volume, kAmountAboveZero, kRequired, "", "how much"),
              plain("lots", Form::map, kOptional, "unknown: 100 %", "what it is made of, by share"),
              plain("ages", Form::map, kOptional, "", "ages on that day, for parts without a known harvest"),
          },
          joined(wine_keys(false), {plain("cost", Form::special, kOptional, "", "a litre, as in 7.10 EUR/L")}))};
  return kSection;
}

const Section& claim() {
  static const Section kSection{
      "a claim",
      {
          plain("say", Form::special, kRequired, "", "what is to be printed: mean age, vintage, alcohol, ..."),
          plain("at least", Form::special, kOptional, "", "the least figure that may be printed"),
          plain("at most", Form::special, kOptional, "", "the largest figure that may be printed"),
          whole("year", 1, 9999, "", "the harvest, or the year of the start, to be printed"),
          whole("before", 1, 9999, "all but the oldest", "oldest share: of harvests before this year"),
          plain("stated", Form::special, kOptional, "", "the figure to be printed; of alcohol also 17 to 19 %vol"),
          plain("of", Form::special, kOptional, "", "variety, origin: a name, a list, or names with shares"),
          plain("term", Form::text, kOptional, "", "a term that a rule defines, as dry"),
          plain("measured", Form::special, kOptional, "the book's", "the figure of a laboratory, for the computed one"),
          plain("error", Form::special, kOptional, "a usual one", "of the measurement"),
          plain("rule", Form::text, kOptional, "all of the sets", "the one rule that it is held against"),
          plain("for", Form::text, kOptional, "every draw", "one draw, by its name or its date"),
          whole("since", 1, 9999, "every draw", "draws from this year on"),
      }};
  return kSection;
}

const Section& label() {
  static const Section kSection{
      "label",
      {
          choice("product", {"wine", "liqueur wine", "spirits", "vinegar"}, "by strength and spirit",
                 "as what it is sold"),
          choice("colour", {"red", "white", "rose", "amber"}, "", "of the wine; some limits differ by it"),
          plain("designation", Form::text, kOptional, "none", "a protected name, in small letters"),
          choice("organic", {"yes", "no"}, "no", "sold as organic; some limits differ by it"),
          choice("appellation", {"viticultural area", "state", "county", "country"}, "",
                 "what stands beside a vintage or an origin"),
      }};
  return kSection;
}

}  // namespace keys
}  // namespace tierce
