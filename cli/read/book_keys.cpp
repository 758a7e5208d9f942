// The rows of scenario_keys.h for what is done: the entries of the log, and the habit.
#include "cli/read/key_rows.h"

namespace tierce {
namespace {

using namespace rows;

constexpr const char* kVerbNames[] = {"add",     "draw",   "move",   "refill",   "dose",     "gauge", "analyse", "lose",
                                      "fortify", "reduce", "bottle", "bring in", "take out", "set",   "correct"};

std::string one_of_the_verbs() {
  std::string text = "one of ";
  for (const char* verb : kVerbNames) text += (text.size() > 7 ? ", " : "") + std::string(verb);
  return text;
}

std::vector<Key> common_first(const std::string& verb) {
  return {plain("date", Form::date, kRequired, "", "the day it was done"),
          plain("do", Form::special, kRequired, "", verb)};
}
std::vector<Key> common_last() {
  return {plain("entered", Form::date, kOptional, "its date", "the day it came into the book, where that was later"),
          plain("note", Form::text, kOptional, "", "a remark; kept"),
          plain("ref", Form::text, kOptional, "", "a document's number; kept")};
}

std::vector<Key> amount_keys() {
  return {quantity("volume", Measure::volume, kAmountAboveZero, kOptional, "", "how much, at 20 °C"),
          quantity("share", Measure::share, kFractionAboveZero, kOptional, "", "or which part of what is there")};
}

std::vector<Key> dose_keys() {
  return {
      plain("tier", Form::text, kOptional, "all", "tier or tank that is dosed, or all tiers"),
      quantity("so2", Measure::milligrams_per_litre, {0.0, 2000.0, true}, kOptional, "", "SO2 added"),
      quantity("metabisulfite", Measure::mass, kAmountAboveZero, kOptional, "", "or potassium metabisulfite weighed"),
      plain("to", Form::map, kOptional, "", "or the level wanted: {free} or {molecular}"),
      plain("at most", Form::map, kOptional, "", "what may be in the wine just after: {total}")};
}

/// Where spirit or water goes, and how much of it.
std::vector<Key> strength_keys(const std::string& what) {
  return {plain("tier", Form::text, kOptional, "", "the tier that takes it"),
          plain("tank", Form::text, kOptional, "", "or the tank"),
          quantity("volume", Measure::volume, kAmountAboveZero, kOptional, "", what + " put in, at 20 °C"),
          quantity("to", Measure::strength, kStrength, kOptional, "", "or the strength wanted")};
}

Key from() { return plain("from", Form::text, kRequired, "", "tier, vessel or tank that gives"); }
Key to() { return plain("to", Form::text, kRequired, "", "tier, vessel or tank that takes"); }
Key new_wine() { return plain("lot", Form::text, kRequired, "", "the new wine"); }
Key order(std::string standard) {
  return choice("order", {"oldest first", "youngest first"}, std::move(standard), "which tier is filled first");
}

std::vector<Key> own_keys(const std::string& verb) {
  if (verb == "add")
    return {new_wine(), to(), quantity("volume", Measure::volume, kAmountAboveZero, kRequired, "", "litres pumped")};
  if (verb == "draw")
    return joined(
        joined({from()}, amount_keys()),
        {plain("bottles", Form::special, kOptional, "", "or bottles, as in 500 x 375 mL"),
         plain("to", Form::text, kOptional, "out of the book", "the tank where it stands until it is bottled"),
         choice("use", {"bottling", "bulk", "distil", "vinegar", "own use", "destroyed"}, "bottling",
                "what becomes of it; only bottlings are held against claims"),
         plain("for", Form::text, kOptional, "its date", "the bottling's name")});
  if (verb == "bottle")
    return {plain("from", Form::text, kRequired, "", "the tank"),
            plain("bottles", Form::special, kRequired, "", "what was filled, as in 568 x 375 mL"),
            quantity("loss", Measure::volume, kAmount, kOptional, "none", "wine lost in filling, beside the bottles"),
            plain("for", Form::text, kOptional, "that of the draw in the tank", "the bottling's name")};
  if (verb == "move") return joined({from(), to()}, amount_keys());
  if (verb == "refill")
    return {plain("lot", Form::text, kOptional, "", "the new wine"),
            plain("from", Form::text, kOptional, "", "or the tank that gives it"), order("oldest first"),
            quantity("volume", Measure::volume, kAmountAboveZero, kOptional, "what the targets need",
                     "new wine into the youngest tier")};
  if (verb == "dose") return dose_keys();
  if (verb == "gauge")
    return {plain("tier", Form::text, kOptional, "", "the tier, vessel or tank measured"),
            quantity("volume", Measure::volume, kAmount, kOptional, "", "what it was found to hold"),
            plain("gauge", Form::map, kOptional, "", "or vessel by vessel: {F1: 221 L, F2: 219 L}"),
            quantity("wet", Measure::length, {0.0, 1000.0, false}, kOptional, "",
                     "or by dip: the depth of the wine at the bung; or {F1: 41 cm, F2: 39.5 cm}"),
            quantity("at", Measure::temperature, {-20.0, 40.0, false}, kOptional, "20 °C",
                     "temperature of the wine when read"),
            plain("error", Form::special, kOptional, "", "error of each reading: 1 % or 2 L")};
  if (verb == "analyse")
    return joined(
        joined({plain("tier", Form::text, kRequired, "", "the tier, vessel or tank sampled")}, wine_keys(false)),
        {choice("use", {"set", "keep"}, "set; keep for one vessel of several",
                "set the book to the reading, or only file it"),
         choice("leave out", {"yes", "no"}, "as before",
                "of one vessel: reports mark it, for its wine is not the tier's"),
         plain("method", Form::text, kOptional, "", "how it was measured, as: aspiration, iodine; kept"),
         plain("laboratory", Form::text, kOptional, "", "who measured; kept"),
         plain("error", Form::text, kOptional, "", "error of the reading; kept")});
  if (verb == "bring in")
    return joined({plain("tier", Form::text, kRequired, "", "the tier that gets it"),
                   plain("vessel", Form::text, kRequired, "", "its name; or one that was taken out before"),
                   quantity("capacity", Measure::volume, kAmountAboveZero, kRequired, "", "what it holds when full"),
                   quantity("soakage", Measure::volume, kAmount, kOptional, "none",
                            "what its dry wood takes from the first wine that lies in it")},
                  dip_keys());
  if (verb == "take out")
    return {plain("vessel", Form::text, kRequired, "", "the vessel; the wine that it holds is lost"),
            plain("because", Form::text, kRequired, "", "why; the cause of that loss")};
  if (verb == "set")
    return {plain("tier", Form::text, kRequired, "", "the tier"),
            quantity("target", Measure::volume, kAmountAboveZero, kOptional, "", "what it is refilled to from now on"),
            plain("evaporation", Form::special, kOptional, "", "loss from now on, as in 4 %/yr or 8 L/yr per vessel"),
            quantity("vapour", Measure::strength, kStrength, kOptional, "", "strength of what evaporates from now on")};
  if (verb == "fortify")
    return joined({plain("spirit", Form::text, kRequired, "", "which spirit of 'spirits'")}, strength_keys("spirit"));
  if (verb == "reduce") return strength_keys("water");
  if (verb == "correct")
    return {plain("entry", Form::map, kRequired, "", "the entry that is meant, by values that it has: {ref: D-17}"),
            plain("because", Form::text, kRequired, "", "why it is corrected"),
            plain("with", Form::map, kRequired, "",
                  "keys and values in place of its own ('none' takes a key away), or none: it was not done")};
  return joined(
      joined({from()}, amount_keys()),
      {choice("cause", {"leak", "lees", "soakage", "spill", "sample", "theft", "fire", "other"}, "other", "why")});
}

const std::vector<std::pair<std::string, Section>>& entries() {
  static const std::vector<std::pair<std::string, Section>> kEntries = [] {
    std::vector<std::pair<std::string, Section>> all;
    for (const char* verb : kVerbNames)
      all.emplace_back(verb, Section{"an entry 'do: " + std::string(verb) + "'",
                                     joined(joined(common_first(verb), own_keys(verb)), common_last())});
    return all;
  }();
  return kEntries;
}

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

namespace keys {

const Section& habit() {
  static const Section kSection{
      "a habit", joined(joined(
                            {
                                plain("day", Form::day_of_year, kOptional, "", "its day of the year, as in 10 Feb"),
                                quantity("every", Measure::months, {1.0, 600.0, false}, kOptional, "",
                                         "or a period, as in 6 months, counted from 'from'"),
                                plain("from", Form::date, kOptional, "", "not before this day"),
                            },
                            habit_day_keys()),
                        {plain("except", Form::map, kOptional, "none",
                               "calendar years that differ; only the keys given are replaced")})};
  return kSection;
}

const Section& except() {
  static const Section kSection{"an exception", habit_day_keys()};
  return kSection;
}

const Section& habit_refill() {
  static const Section kSection{
      "a habit's refill",
      joined(joined(
                 {
                     plain("like", Form::text, kOptional, "", "a new lot each harvest, like this one"),
                     plain("lot", Form::text, kOptional, "", "or always this lot"),
                     quantity("volume", Measure::volume, kAmountAboveZero, kOptional, "what the targets need",
                              "new wine into the youngest tier"),
                     order("oldest first; with 'refill first' youngest first"),
                 },
                 wine_keys(false)),
             {plain("cost", Form::special, kOptional, "that of the lot it is like", "a litre, as in 7.10 EUR/L")})};
  return kSection;
}

const Section& dose() {
  static const Section kSection{"a dose", dose_keys()};
  return kSection;
}

const Section& dose_limit() {
  static const Section kSection{"a dose's limit",
                                {quantity("total", Measure::milligrams_per_litre, {0.0, 2000.0, true}, kRequired, "",
                                          "total SO2 just after the dose")}};
  return kSection;
}

const Section& dose_to() {
  static const Section kSection{
      "a dose's level",
      {
          quantity("free", Measure::milligrams_per_litre, {0.0, 500.0, true}, kOptional, "", "free SO2 wanted"),
          quantity("molecular", Measure::milligrams_per_litre, {0.0, 10.0, true}, kOptional, "",
                   "or molecular SO2 wanted"),
      }};
  return kSection;
}

const Section* entry(const std::string& verb) {
  for (const auto& [name, section] : entries())
    if (name == verb) return &section;
  return nullptr;
}

const Section& any_entry() {
  static const Section kSection = [] {
    Section all{"an entry of the log", common_first(one_of_the_verbs())};
    for (const auto& [verb, section] : entries())
      for (const Key& key : section.keys)
        if (all.find(key.name) == nullptr) {
          all.keys.push_back(key);
          all.keys.back().required = false;
        }
    return all;
  }();
  return kSection;
}

std::vector<std::string> verbs() {
  std::vector<std::string> names;
  for (const auto& [name, section] : entries()) names.push_back(name);
  return names;
}

std::vector<std::string> verbs_with(const std::string& key) {
  std::vector<std::string> names;
  for (const auto& [name, section] : entries())
    if (section.find(key) != nullptr) names.push_back(name);
  return names;
}

std::vector<const Section*> all() {
  std::vector<const Section*> sections = {&scenario(),       &cellar(), &filing(),   &tier(),        &vessel(),
                                          &tank(),           &lot(),    &lot_made(), &lot_brought(), &spirit(),
                                          &spirit_account(), &so2(),    &opening()};
  for (const auto& [name, section] : entries()) sections.push_back(&section);
  for (const Section* section :
       {&habit(), &except(), &habit_refill(), &dose(), &dose_to(), &dose_limit(), &claim(), &label()})
    sections.push_back(section);
  return sections;
}

}  // namespace keys
}  // namespace tierce
