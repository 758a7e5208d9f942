// The JSON Schema of the scenario, for editors: made from the key table, and held against docs/schema. Where they
// differ, `./tests/run.sh --update` writes the schema as it should be.
#include <gtest/gtest.h>

#include <map>
#include <nlohmann/json.hpp>

#include "cli/read/scenario_keys.h"
#include "cli/read/suggest.h"
#include "tests/cli/command/program.h"

namespace tierce {
namespace {

using json = nlohmann::ordered_json;

const std::string kNumber = R"([0-9]+(\.[0-9]*)?|\.[0-9]+)";
const std::string kSpace = R"([ \u00a0\u2009\u202f]*)";

std::string escaped(const std::string& text) {
  std::string result;
  for (const char c : text) result += std::string(c == '.' || c == '/' ? "\\" : "") + c;
  return result;
}

std::string amount_pattern(const std::vector<std::string>& units, bool negative) {
  std::string any;
  for (const std::string& unit : units) any += (any.empty() ? "" : "|") + escaped(unit);
  return "^ *" + std::string(negative ? "[-+]?" : "[+]?") + "(" + kNumber + ")" + kSpace + "(" + any + ") *$";
}

json amounts(const std::vector<std::string>& units, bool negative = false) {
  return {{"type", "string"}, {"pattern", amount_pattern(units, negative)}};
}

json quantity(const Key& key) {
  std::vector<std::string> units;
  for (const Unit& unit : units_of(key.measure)) units.push_back(unit.name);
  return amounts(units, key.range.low < 0.0 || key.measure == Measure::temperature);
}

json number(const Key& key, bool whole) {
  json schema = {{"type", {whole ? "integer" : "number", "string"}}};
  if (key.range.low > -1e12) schema["minimum"] = key.range.low;
  if (key.range.high < 1e12) schema["maximum"] = key.range.high;
  schema["pattern"] = "^ *(" + (whole ? std::string("[0-9]+") : kNumber) + ") *$";
  return schema;
}

json choice(const Key& key) {
  json words = key.choices;
  for (const std::string& word : key.choices)  // as editors of YAML 1.1 read them
    if (word == "yes" || word == "no") words.push_back(word == "yes");
  return {{"enum", words}};
}

json ref(const std::string& section) { return {{"$ref", "#/$defs/" + section}}; }
json list_of(const json& items) { return {{"type", "array"}, {"items", items}}; }
json or_none(const json& schema) { return {{"anyOf", {schema, {{"const", "none"}}}}}; }
json map_of(const json& values) { return {{"type", "object"}, {"additionalProperties", values}}; }
const json kText = {{"type", {"string", "number"}}};

/// What stands under the keys whose value is a list, a map, or of a form of its own.
const std::map<std::pair<std::string, std::string>, json>& parts() {
  const json share = amounts({"%"});
  const json lengths = amounts({"cm", "mm", "m", "in", "ft"});
  static const std::map<std::pair<std::string, std::string>, json> kParts = {
      {{"a scenario", "cellar"}, ref("cellar")},
      {{"a scenario", "filing"}, ref("filing")},
      {{"a scenario", "tiers"}, list_of(ref("a tier"))},
      {{"a scenario", "tanks"}, list_of(ref("a tank"))},
      {{"a scenario", "lots"}, list_of({{"anyOf", {ref("a lot"), ref(keys::lot_brought().name)}}})},
      {{"a scenario", "spirits"}, list_of(ref("a spirit of the list"))},
      {{"a scenario", "opening"}, list_of(ref("an opening stock"))},
      {{"a scenario", "log"}, list_of(ref("an entry of the log"))},
      {{"a scenario", "habit"}, {{"anyOf", {ref("a habit"), list_of(ref("a habit"))}}}},
      {{"a scenario", "claims"}, list_of(ref("a claim"))},
      {{"a scenario", "rules"}, list_of(kText)},
      {{"a scenario", "label"}, ref("label")},
      {{"a tier", "vessels"}, list_of(ref("a vessel"))},
      {{"a lot", "spirit"}, ref("spirit")},
      {{"a lot", "made"}, ref(keys::lot_made().name)},
      {{"an entry 'do: gauge'", "wet"}, {{"anyOf", {lengths, map_of(lengths)}}}},
      {{"an entry 'do: correct'", "entry"}, map_of(kText)},
      {{"an entry 'do: correct'", "with"}, or_none({{"type", "object"}})},
      {{"a lot", "grapes"}, map_of(share)},
      {{"a lot", "grown"}, map_of(share)},
      {{"an opening stock", "lots"}, map_of(share)},
      {{"an opening stock", "ages"}, map_of(amounts({"years", "year", "months", "month"}))},
      {{"an entry 'do: gauge'", "gauge"}, map_of(amounts({"L", "hL", "mL", "gal"}))},
      {{"a habit", "refill"}, or_none(ref("a habit's refill"))},
      {{"a habit", "except"}, map_of(ref("an exception"))},
      {{"an exception", "refill"}, or_none(ref("a habit's refill"))}};
  return kParts;
}

/// The same for keys that mean the same in every section.
const std::map<std::string, json>& parts_anywhere() {
  static const std::map<std::string, json> kParts = {
      {"so2", ref("so2")},
      {"table", map_of(amounts({"L", "hL", "mL", "gal"}))},
      {"at most", ref("a dose's limit")},
      {"to", ref("a dose's level")},
      {"dose", or_none({{"anyOf", {ref("a dose"), list_of(ref("a dose"))}}})},
      {"evaporation", amounts({"%/yr", "L/yr per vessel", "gal/yr per vessel"})},
      {"so2_loss", amounts({"%/yr of total", "%/yr of free", "mg/L/yr", "g/L/yr"})},
      {"so2_binding",
       {{"type", "string"},
        {"pattern",
         "^ *(" + kNumber + ")(" + kSpace + "%)? *((±|\\+-|\\+\\/-) *(" + kNumber + "))?" + kSpace + "% *$"}}},
      {"so2_pk", {{"enum", {"oiv", "oiv table", "1.81", 1.81}}}},
      {"cost", {{"type", "string"}, {"pattern", "^ *(" + kNumber + ")" + kSpace + "[A-Z]{3}\\/L *$"}}},
      {"count", {{"anyOf", {{{"type", {"integer", "string"}}, {"minimum", 1}, {"maximum", 10000}}, list_of(kText)}}}}};
  return kParts;
}

json part(const Key& key) {
  const bool is_part = key.form == Form::map || key.form == Form::list || key.form == Form::special;
  if (const auto any = parts_anywhere().find(key.name); is_part && any != parts_anywhere().end()) return any->second;
  if (key.form == Form::list) return {{"type", "array"}};
  if (key.form == Form::map) return {{"type", {"object", "string"}}};
  return kText;
}

json value_of(const Section& section, const Key& key) {
  if (const auto own = parts().find({section.name, key.name}); own != parts().end()) return own->second;
  switch (key.form) {
    case Form::quantity: return quantity(key);
    case Form::number: return number(key, false);
    case Form::whole: return number(key, true);
    case Form::date: return {{"type", "string"}, {"pattern", "^ *[0-9]{4}-[0-9]{2}-[0-9]{2} *$"}};
    case Form::day_of_year:
      return {{"type", "string"}, {"pattern", "^ *[0-9]{1,2} (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec) *$"}};
    case Form::choice: return choice(key);
    case Form::text: return kText;
    default: return part(key);
  }
}

json object_of(const Section& section) {
  json properties = json::object(), required = json::array();
  for (const Key& key : section.keys) {
    json value = value_of(section, key);
    value["description"] = key.meaning + (key.standard.empty() ? "" : " (if left out: " + key.standard + ")");
    properties[key.name] = value;
    if (key.required) required.push_back(key.name);
  }
  json object = {{"type", "object"}, {"properties", properties}, {"additionalProperties", false}};
  if (!required.empty()) object["required"] = required;
  return object;
}

/// One entry of the log: which keys it may have, its verb decides.
json entry() {
  json by_verb = json::array();
  for (const std::string& verb : keys::verbs())
    by_verb.push_back({{"if", {{"properties", {{"do", {{"const", verb}}}}}, {"required", {"do"}}}},
                       {"then", ref(keys::entry(verb)->name)}});
  return {{"type", "object"},
          {"required", {"date", "do"}},
          {"properties", {{"do", {{"enum", keys::verbs()}}}}},
          {"allOf", by_verb}};
}

json schema() {
  json whole = {{"$schema", "https://json-schema.org/draft/2020-12/schema"},
                {"title", "A scenario of tierce"},
                {"description", "Form, units and keys of a scenario file, for editors. 'tierce check' finds more."}};
  whole.update(object_of(keys::scenario()));
  json definitions = {{"an entry of the log", entry()}};
  for (const Section* section : keys::all())
    if (section != &keys::scenario()) definitions[section->name] = object_of(*section);
  whole["$defs"] = definitions;
  return whole;
}

TEST(ScenarioSchema, IsThatOfTheKeyTable) {
  const std::string wanted = schema().dump(1) + '\n';
  const std::string file = "docs/schema/scenario.schema.json";
  if (test::updating()) test::rewrite(file, wanted);
  EXPECT_TRUE(test::read_file(std::string(TIERCE_SOURCE_DIR) + "/" + file) == wanted)
      << file << " is stale: ./tests/run.sh --update writes it";
}

TEST(ScenarioSchema, KnowsEveryKeyThatHoldsAListOrAMap) {
  for (const Section* section : keys::all())
    for (const Key& key : section->keys)
      if (key.form == Form::list || key.form == Form::map) {
        EXPECT_TRUE(parts().contains({section->name, key.name}) || parts_anywhere().contains(key.name))
            << section->name << ": say in parts() what stands under '" << key.name << "'";
      }
}

}  // namespace
}  // namespace tierce
