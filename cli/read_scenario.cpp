#include "cli/read_scenario.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "cli/reading.h"
#include "cli/suggest.h"
#include "cli/yaml_tree.h"
#include "engine/must.h"

namespace tierce {

namespace {

std::vector<std::string> place_names(const Scenario& scenario) {
  std::vector<std::string> names;
  for (const Tier& tier : scenario.tiers) {
    names.push_back(tier.name);
    for (const Vessel& vessel : tier.vessels) names.push_back(vessel.name);
  }
  for (const Tank& tank : scenario.tanks) names.push_back(tank.name);
  return names;
}

std::vector<std::string> row_names(const Scenario& scenario) {
  std::vector<std::string> names;
  for (int row = 0; row < scenario.rows(); ++row) names.push_back(scenario.name_of(row));
  return names;
}

std::string hint_for(const std::string& word, const std::vector<std::string>& names) {
  const std::string near = nearest(word, names);
  return near.empty() ? "" : "did you mean '" + near + "'?";
}

std::vector<std::string> lot_names(const Scenario& scenario) {
  std::vector<std::string> names;
  for (const Lot& lot : scenario.lots) names.push_back(lot.name);
  return names;
}

int lot_index(const Scenario& scenario, const std::string& name) {
  for (std::size_t i = 0; i < scenario.lots.size(); ++i)
    if (scenario.lots[i].name == name) return static_cast<int>(i);
  return -1;
}

}  // namespace

std::optional<Place> find_place(Draft& draft, const std::string& name, At at, const std::string& key) {
  const Scenario& scenario = draft.scenario;
  for (int row = 0; row < scenario.rows(); ++row)
    if (scenario.name_of(row) == name) return Place{at, row, -1};
  for (std::size_t row = 0; row < scenario.tiers.size(); ++row) {
    const auto& vessels = scenario.tiers[row].vessels;
    for (std::size_t i = 0; i < vessels.size(); ++i)
      if (vessels[i].name == name) return Place{at, static_cast<int>(row), static_cast<int>(i)};
  }
  draft.problems.push_back({at, "'" + key + "': there is no tier, vessel or tank '" + name + "'",
                            listed(row_names(scenario)) + ", or a vessel of them", hint_for(name, place_names(scenario))});
  return std::nullopt;
}

std::optional<Place> read_place(Draft& draft, Fields& fields, const std::string& key) {
  const std::string name = fields.text(key);
  if (name.empty()) return std::nullopt;
  return find_place(draft, name, fields.at(key), key);
}

std::optional<int> read_lot_name(Draft& draft, Fields& fields, const std::string& key) {
  const std::string name = fields.text(key);
  if (name.empty()) return std::nullopt;
  const int index = lot_index(draft.scenario, name);
  if (index >= 0) return index;
  const auto names = lot_names(draft.scenario);
  fields.report(fields.at(key), "'" + key + "': there is no lot '" + name + "'", names.empty() ? "a lot stated under 'lots'" : "lots: " + listed(names), hint_for(name, names));
  return std::nullopt;
}

Composition read_wine(Draft& draft, Fields& fields) {
  Composition wine;
  wine.alcohol_pct = fields.quantity("alcohol");
  wine.sugar_g_l = fields.quantity("sugar");
  wine.acidity_g_l = fields.quantity("acidity");
  wine.va_g_l = fields.quantity("va");
  wine.ph = fields.number("pH");
  wine.acetaldehyde_mg_l = fields.quantity("acetaldehyde");
  wine.sulfate_g_l = fields.quantity("sulfate");
  if (const Node* node = fields.find("so2")) {
    Fields so2(*node, keys::so2(), draft.problems);
    wine.so2_free_mg_l = so2.quantity("free");
    wine.so2_total_mg_l = so2.quantity("total");
    if (wine.so2_free_mg_l > wine.so2_total_mg_l) so2.report(so2.at("free"), "'free' is more than 'total'", "free SO2 up to the total");
  }
  return wine;
}

namespace {

/// The sugar of a wine from its density as read, corrected for its alcohol (Tabarié): all that is dissolved, counted as sugar.
double sugar_from_density(Fields& fields, double alcohol_pct) {
  const double read = fields.quantity("density");
  if (!is_known(read) || !is_known(alcohol_pct)) return kUnknown;
  const std::string unit = split_number(fields.text("density")).second;
  std::optional<double> sg = read;
  if (unit == "Bx") sg = sg_from_hydrometer_brix(read);
  else if (unit == "Be") sg = sg_from_baume(read);
  else if (unit == "°Oe") sg = sg_from_oechsle(read);
  const auto sugar_g_l = sg ? wine_extract_g_l(*sg, alcohol_pct) : std::nullopt;
  if (!sugar_g_l) fields.report(fields.at("density"), "'density': no wine of this strength reads " + fields.text("density"), "a density within the tables", "");
  return sugar_g_l.value_or(kUnknown);
}

void read_shares(Fields& fields, const std::string& key, std::map<std::string, double>& shares) {
  double sum = 0.0;
  for (const auto& [name, share] : fields.quantities(key, Measure::share, {0.0, 1.0, true})) {
    shares[name->text] = share;
    sum += share;
  }
  if (sum > 1.0 + 1e-9) fields.report(fields.at(key), "'" + key + "': the shares add up to more than 100 %", "shares that add up to 100 % at most");
}

void read_vessels(Draft& draft, const Node& node, std::vector<Vessel>& vessels) {
  Fields fields(node, keys::vessel(), draft.problems);
  if (!fields.is_map()) return;
  const std::string name = fields.text("name");
  const double capacity_l = fields.quantity("capacity");
  const Node* count = fields.find("count");
  if (count != nullptr && count->kind == Node::Kind::list) {
    for (const Node& mark : count->items)
      if (const auto text = scalar_text(mark, "a mark", draft.problems)) vessels.push_back({mark.at, name + *text, capacity_l});
    if (count->items.empty()) fields.report(count->at, "'count' is an empty list", "a number, or the vessels' marks");
    return;
  }
  int number = 1;
  if (count != nullptr) {
    const auto read = read_whole(count->kind == Node::Kind::scalar ? count->text : "", 1, 100000);
    if (const auto* misread = std::get_if<Misread>(&read)) fields.report(count->at, *misread, "count");
    else number = std::get<int>(read);
  }
  for (int i = 1; i <= number; ++i) vessels.push_back({fields.at(), number == 1 ? name : name + std::to_string(i), capacity_l});
}

void read_evaporation(Fields& fields, Tier& tier) {
  const std::string written = fields.text("evaporation");
  if (written.empty()) return;
  tier.evaporation.stated = true;
  const bool by_vessel = split_number(written).second.ends_with("per vessel");
  const auto read = read_quantity(written, by_vessel ? Measure::volume_per_vessel_year : Measure::share_per_year);
  if (const auto* misread = std::get_if<Misread>(&read)) {
    const std::string hint = misread->hint.empty() && misread->what.starts_with("unknown unit '%'") ? "did you mean '%/yr'?" : misread->hint;
    fields.report(fields.at("evaporation"), Misread{misread->what, "%/yr, L/yr per vessel, gal/yr per vessel", hint}, "evaporation");
    return;
  }
  tier.evaporation.kind = by_vessel ? Evaporation::Kind::litres_per_vessel : Evaporation::Kind::share;
  tier.evaporation.per_year = std::get<Quantity>(read).value;
  if (tier.evaporation.per_year < 0.0 || (!by_vessel && tier.evaporation.per_year >= 1.0))
    fields.report(fields.at("evaporation"), "'evaporation': " + written + " is out of range", by_vessel ? "0 L/yr per vessel or more" : "0 %/yr and up, below 100 %/yr");
}

void read_tier(Draft& draft, const Node& node) {
  Fields fields(node, keys::tier(), draft.problems);
  Tier tier;
  tier.at = fields.at();
  if (!fields.is_map()) return;
  tier.name = fields.text("name");
  for (const Node* vessel : fields.list("vessels")) read_vessels(draft, *vessel, tier.vessels);
  if (fields.has("vessels") && tier.vessels.empty() && fields.find("vessels")->kind == Node::Kind::list && fields.find("vessels")->items.empty())
    fields.report(fields.at("vessels"), "tier '" + tier.name + "' has no vessels", "at least one vessel");
  tier.target_stated = fields.has("target");
  tier.target_l = fields.quantity("target");
  read_evaporation(fields, tier);
  tier.vapour_pct = fields.quantity("vapour");
  tier.vapour_stated = fields.has("vapour");
  tier.wood = fields.choice("wood", "yes") == "yes";
  tier.so2_loss = read_sulfur_loss(fields);
  draft.scenario.tiers.push_back(tier);
  if (!tier.target_stated) draft.scenario.tiers.back().target_l = draft.scenario.capacity_of(draft.scenario.tier_count() - 1);
}

void read_tank(Draft& draft, const Node& node) {
  Fields fields(node, keys::tank(), draft.problems);
  if (fields.is_map()) draft.scenario.tanks.push_back({fields.at(), fields.text("name"), fields.quantity("capacity")});
}

std::optional<SpiritUsed> read_spirit(Draft& draft, Fields& lot) {
  const Node* node = lot.find("spirit");
  if (node == nullptr) return std::nullopt;
  Fields fields(*node, keys::spirit(), draft.problems);
  return SpiritUsed{fields.quantity("volume"), fields.quantity("strength"), fields.quantity("into"), fields.whole("made", 0)};
}

void read_lot(Draft& draft, const Node& node) {
  Fields fields(node, keys::lot(), draft.problems);
  if (!fields.is_map()) return;
  Lot lot;
  lot.at = fields.at();
  lot.name = fields.text("name");
  lot.vintage = fields.whole("vintage", 0);
  const auto harvested = fields.date("harvested");
  lot.harvested_stated = harvested.has_value();
  if (!fields.has("vintage") && !fields.has("harvested")) fields.report(lot.at, "lot '" + lot.name + "' has neither 'vintage' nor 'harvested'", "one of them: its age counts from there");
  if (lot.vintage == 0 && harvested) lot.vintage = harvested->year;
  lot.harvested = Date{std::max(lot.vintage, 1), draft.scenario.cellar.southern ? 4 : 10, 1};
  if (fields.has("harvested")) lot.harvested = harvested.value_or(Date{1, 1, 1});
  read_shares(fields, "grapes", lot.grapes);
  read_shares(fields, "grown", lot.grown);
  lot.wine = read_wine(draft, fields);
  if (fields.has("density") && fields.has("sugar")) fields.report(fields.at("density"), "both 'sugar' and 'density' are given", "one of them");
  else if (fields.has("density")) lot.wine.sugar_g_l = sugar_from_density(fields, lot.wine.alcohol_pct);
  lot.spirit = read_spirit(draft, fields);
  lot.cost = read_cost(fields);
  draft.scenario.lots.push_back(lot);
}

std::vector<Opening::Part> opening_parts(Draft& draft, Fields& fields) {
  std::vector<Opening::Part> parts;
  double sum = 0.0;
  for (const auto& [name, share] : fields.quantities("lots", Measure::share, {0.0, 1.0, true})) {
    parts.push_back({name->text, lot_index(draft.scenario, name->text), share, kUnknown});
    sum += share;
  }
  if (!parts.empty() && std::abs(sum - 1.0) > 1e-9) fields.report(fields.at("lots"), "'lots': the shares do not add up to 100 %", "shares that add up to 100 %", "wine that nobody knows can stand as 'unknown'");
  if (!fields.has("lots")) parts.push_back({"unknown", -1, 1.0, kUnknown});
  for (const auto& [name, age] : fields.quantities("ages", Measure::years, {0.0, 1000.0, false})) {
    const auto part = std::find_if(parts.begin(), parts.end(), [&](const Opening::Part& p) { return p.name == name->text; });
    if (part == parts.end()) fields.report(name->at, "'ages': '" + name->text + "' is not among the lots of this opening stock", "a name under its 'lots'");
    else if (part->lot >= 0 && draft.scenario.clock == Clock::harvest) fields.report(name->at, "'ages': lot '" + name->text + "' has a harvest, from which its age follows", "ages of parts that are not under 'lots' of the file");
    else part->age_years = age;
  }
  return parts;
}

void read_opening(Draft& draft, const Node& node) {
  Fields fields(node, keys::opening(), draft.problems);
  if (!fields.is_map()) return;
  Opening opening;
  opening.at = fields.at();
  opening.date = fields.date("date").value_or(Date{9999, 12, 31});
  if (const auto place = read_place(draft, fields, "tier")) {
    opening.row = place->row;
    if (place->vessel >= 0) fields.report(fields.at("tier"), "an opening stock lies in a tier or a tank, not in one vessel", listed(row_names(draft.scenario)));
  }
  opening.volume_l = fields.quantity("volume");
  opening.wine = read_wine(draft, fields);
  opening.parts = opening_parts(draft, fields);
  draft.scenario.opening.push_back(opening);
}

void read_cellar(Draft& draft, Fields& top) {
  const Node* node = top.find("cellar");
  if (node == nullptr) return;
  Fields fields(*node, keys::cellar(), draft.problems);
  draft.scenario.cellar.temperature_c = fields.quantity("temperature");
  draft.scenario.cellar.humidity_fraction = fields.quantity("humidity");
  draft.scenario.cellar.southern = fields.choice("hemisphere", "north") == "south";
}

void read_chemistry(Draft& draft, Fields& top) {
  Scenario& scenario = draft.scenario;
  scenario.so2_loss = read_sulfur_loss(top);
  scenario.so2_steps = top.whole("so2_steps", 1);
  scenario.so2_binding_stated = top.has("so2_binding");
  scenario.so2_binding_fraction = top.quantity("so2_binding", scenario.so2_binding_fraction);
  const std::string pk = top.text("so2_pk", "oiv");
  if (pk == "1.81") scenario.so2_pk = PkChoice::classic;
  else if (pk != "oiv") top.report(top.at("so2_pk"), "'so2_pk' cannot be '" + pk + "'", "oiv, 1.81");
  scenario.metabisulfite_yield = top.quantity("metabisulfite_yield", scenario.metabisulfite_yield);
  scenario.acetaldehyde_gain_mg_l_year = top.quantity("acetaldehyde_gain", 0.0);
  scenario.va_gain_g_l_year = top.quantity("va_gain", 0.0);
}

void read_claims(Draft& draft, Fields& top) {
  for (const Node* node : top.list("claims")) {
    Claim claim;
    claim.at = node->at;
    if (node->kind != Node::Kind::map) {
      top.report(node->at, "a claim is a map of keys and values", "as in {say: mean age, at least: 5 years}");
      continue;
    }
    for (const auto& [key, value] : node->entries) {
      const auto text = scalar_text(value, "'" + key.text + "' of a claim", draft.problems);
      if (text && !claim.stated.emplace(key.text, *text).second) top.report(key.at, "key '" + key.text + "' is given twice in a claim", "each key once");
    }
    if (!claim.stated.contains("say")) top.report(node->at, "a claim has no 'say'", "say: what is to be printed, as in {say: mean age, at least: 5 years}");
    draft.scenario.claims.push_back(claim);
  }
  for (const Node* node : top.list("rules"))
    if (const auto text = scalar_text(*node, "a rule set", draft.problems)) draft.scenario.rules.push_back(*text);
}

void read_top(Draft& draft, Fields& top) {
  Scenario& scenario = draft.scenario;
  scenario.reserve = top.text("reserve");
  scenario.units = top.choice("units", "metric") == "us" ? Units::us : Units::metric;
  const std::string clock = top.choice("clock", "harvest");
  scenario.clock = clock == "entry" ? Clock::entry : clock == "wood" ? Clock::wood : Clock::harvest;
  if (const int until = top.whole("until", 0); until > 0) scenario.until = until;
  scenario.until_at = top.at("until");
  read_cellar(draft, top);
  read_chemistry(draft, top);
  for (const char* key : {"tiers", "lots"})
    if (const Node* node = top.find(key); node != nullptr && node->kind == Node::Kind::list && node->items.empty())
      top.report(node->at, "'" + std::string(key) + "' is empty", "at least one");
  for (const Node* node : top.list("tiers")) read_tier(draft, *node);
  for (const Node* node : top.list("tanks")) read_tank(draft, *node);
  for (const Node* node : top.list("lots")) read_lot(draft, *node);
  for (const Node* node : top.list("opening")) read_opening(draft, *node);
  read_log(draft, top);
  read_habit(draft, top);
  read_claims(draft, top);
}

}  // namespace

Cost read_cost(Fields& fields) {
  const std::string written = fields.text("cost");
  if (written.empty()) return {};
  const auto [number, unit] = split_number(written);
  const bool currency = unit.size() == 5 && unit.ends_with("/L") && std::all_of(unit.begin(), unit.begin() + 3, [](char c) { return c >= 'A' && c <= 'Z'; });
  const auto value = read_number(number);
  if (!currency || std::holds_alternative<Misread>(value) || std::get<double>(value) < 0.0) {
    fields.report(fields.at("cost"), "'cost': '" + written + "' is no cost", "an amount, a currency of three capitals, a litre: 7.10 EUR/L");
    return {};
  }
  return {std::get<double>(value), unit.substr(0, 3)};
}

std::optional<SulfurLoss> read_sulfur_loss(Fields& fields) {
  const std::string written = fields.text("so2_loss");
  if (written.empty()) return std::nullopt;
  const std::string allowed = "as in 40 %/yr of total, 36 mg/L/yr, or 90 %/yr of free";
  const auto [number, unit] = split_number(written);
  SulfurLoss loss{SulfurLoss::Law::of_total, 0.0};
  Measure measure = Measure::share_per_year;
  if (unit == "%/yr of total") loss.law = SulfurLoss::Law::of_total;
  else if (unit == "%/yr of free") loss.law = SulfurLoss::Law::of_free;
  else {
    loss.law = SulfurLoss::Law::fixed;
    measure = Measure::milligrams_per_litre_year;
  }
  const auto read = read_quantity(measure == Measure::share_per_year ? number + " %/yr" : written, measure);
  if (const auto* misread = std::get_if<Misread>(&read)) {
    fields.report(fields.at("so2_loss"), Misread{misread->what, allowed, misread->hint}, "so2_loss");
    return std::nullopt;
  }
  loss.rate = std::get<Quantity>(read).value;
  if (loss.rate < 0.0 || (measure == Measure::share_per_year && loss.rate > 1.0)) fields.report(fields.at("so2_loss"), "'so2_loss': " + written + " is out of range", "0 and up; a share up to 100 %/yr");
  return loss;
}

ReadScenario read_scenario(const Source& source) {
  ReadScenario result;
  Draft draft;
  const Node root = parse_yaml(source, draft.problems);
  result.parsed = root.kind == Node::Kind::map;
  if (draft.problems.empty() || result.parsed) {
    Fields top(root, keys::scenario(), draft.problems);
    if (top.is_map()) read_top(draft, top);
  }
  std::stable_sort(draft.problems.begin(), draft.problems.end(), [](const Problem& a, const Problem& b) {
    return std::pair(a.at.line, a.at.column) < std::pair(b.at.line, b.at.column);
  });
  result.whole = std::all_of(draft.problems.begin(), draft.problems.end(), [](const Problem& problem) { return problem.rest_is_sound; });
  result.scenario = std::move(draft.scenario);
  result.problems = std::move(draft.problems);
  return result;
}

}  // namespace tierce
