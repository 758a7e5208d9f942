#include "cli/read/read_scenario.h"

#include <algorithm>

#include "cli/read/read_claims.h"
#include "cli/read/reading.h"
#include "cli/read/slips.h"
#include "cli/read/suggest.h"

namespace tierce {
namespace {

void read_cellar(Draft& draft, Fields& top) {
  const Node* node = top.find("cellar");
  if (node == nullptr) return;
  Fields fields(*node, keys::cellar(), draft.problems);
  draft.scenario.cellar.temperature_c = fields.quantity("temperature");
  draft.scenario.cellar.humidity_fraction = fields.quantity("humidity");
  draft.scenario.cellar.neutral_humidity_fraction = fields.quantity("neutral_humidity");
  draft.scenario.cellar.southern = fields.choice("hemisphere", "north") == "south";
}

/// `38 %`, `38 ± 5 %`, `38 +- 5 %`: the share of an addition that binds.
void read_binding(Scenario& scenario, Fields& top) {
  std::string written = top.text("so2_binding");
  if (written.empty()) return;
  scenario.so2_binding_stated = true;
  std::string error = "0 %";
  for (const std::string sign : {"±", "+-", "+/-"})
    if (const auto at = written.find(sign); at != std::string::npos) {
      error = trimmed(written.substr(at + sign.size()));
      written = trimmed(written.substr(0, at));
      if (!written.ends_with('%')) written += " %";
      break;
    }
  const auto read = read_quantity(written, Measure::share), read_error = read_quantity(error, Measure::share);
  for (const auto* one : {&read, &read_error})
    if (const auto* misread = std::get_if<Misread>(one))
      return top.report(top.at("so2_binding"), *misread, "so2_binding");
  const double share = std::get<Quantity>(read).value, more_or_less = std::get<Quantity>(read_error).value;
  if (share - more_or_less < 0.0 || share + more_or_less > 0.99 || more_or_less < 0.0)
    return top.report(top.at("so2_binding"), "'so2_binding' is out of range", "0 % to 99 %, its error within that");
  scenario.so2_binding_fraction = share;
  scenario.so2_binding_error = more_or_less;
}

void read_chemistry(Draft& draft, Fields& top) {
  Scenario& scenario = draft.scenario;
  scenario.so2_loss = read_sulfur_loss(top);
  scenario.so2_steps = top.whole("so2_steps", 1);
  read_binding(scenario, top);
  const std::string pk = top.text("so2_pk", "oiv");
  if (pk == "1.81") scenario.so2_pk = PkChoice::classic;
  else if (pk == "oiv table") scenario.so2_pk = PkChoice::oiv_table;
  else if (!pk.empty() && pk != "oiv")
    top.report(top.at("so2_pk"), "'so2_pk' cannot be '" + pk + "'", "oiv, oiv table, 1.81");
  scenario.metabisulfite_yield = top.quantity("metabisulfite_yield", scenario.metabisulfite_yield);
  scenario.acetaldehyde_gain_mg_l_year = top.quantity("acetaldehyde_gain", 0.0);
  {
    const Harmless harmless(draft.problems);
    scenario.allowance_per_year = top.quantity("allowance");
    scenario.interest_per_year = top.quantity("interest", 0.0);
  }
  scenario.va_gain_g_l_year = top.quantity("va_gain", 0.0);
}

void read_filing(Draft& draft, Fields& top) {
  const Harmless harmless(draft.problems);
  const Node* node = top.find("filing");
  if (node == nullptr) return;
  Fields fields(*node, keys::filing(), draft.problems);
  draft.scenario.filing = {node->at, fields.day_of_year("inventory")};
}

void read_label(Draft& draft, Fields& top) {
  const Harmless harmless(draft.problems);
  for (const Node* node : top.list("claims"))
    if (auto claim = read_claim(*node, draft.problems)) draft.scenario.claims.push_back(std::move(*claim));
  for (const Node* node : top.list("rules"))
    if (const auto text = scalar_text(*node, "a rule set", draft.problems))
      draft.scenario.rules.emplace_back(*text, node->at);
  const Node* node = top.find("label");
  if (node == nullptr) return;
  Fields fields(*node, keys::label(), draft.problems);
  for (const Key& key : keys::label().keys)
    if (fields.has(key.name)) {
      const std::string value = key.form == Form::choice ? fields.choice(key.name, "") : fields.text(key.name);
      if (!value.empty()) draft.scenario.label[key.name] = value;
    }
  if (fields.has("designation")) draft.scenario.designation_at = fields.at("designation");
}

void read_general(Draft& draft, Fields& top) {
  Scenario& scenario = draft.scenario;
  {
    const Harmless harmless(draft.problems);
    scenario.reserve = top.text("reserve");
    scenario.units = top.choice("units", "metric") == "us" ? Units::us : Units::metric;
  }
  const std::string clock = top.choice("clock", "harvest");
  scenario.clock = clock == "entry" ? Clock::entry : clock == "wood" ? Clock::wood : Clock::harvest;
  read_cellar(draft, top);
  read_chemistry(draft, top);
}

void read_until(Draft& draft, Fields& top) {
  const int before = draft.problems.unread;
  if (const int until = top.whole("until", 0); until > 0) draft.scenario.until = until;
  draft.scenario.until_at = top.at("until");
  draft.trust.habit = draft.trust.habit && draft.problems.unread == before;
}

void read_top(Draft& draft, Fields& top) {
  const int before = draft.problems.unread;
  read_general(draft, top);
  read_tiers_and_tanks(draft, top);
  draft.trust.reserve = draft.problems.unread == before && !draft.scenario.tiers.empty();
  read_lots(draft, top);
  read_spirits(draft, top);
  const int before_opening = draft.problems.unread;
  read_opening(draft, top);
  draft.trust.reserve = draft.trust.reserve && draft.problems.unread == before_opening;
  read_log(draft, top);
  const int before_habit = draft.problems.unread;
  read_habit(draft, top);
  draft.trust.habit = draft.problems.unread == before_habit;
  read_until(draft, top);
  read_filing(draft, top);
  read_label(draft, top);
  remark_on_slips(draft.scenario);
}

}  // namespace

bool says_none(const Node& node) { return node.kind == Node::Kind::scalar && node.text == "none"; }

Composition read_wine(Draft& draft, Fields& fields) {
  Composition wine;
  for (const Content& content : kContents)
    if (const std::string key = content.key; key != "pH" && !key.starts_with("so2 "))
      wine.*content.value = fields.quantity(key);
  remark_if_sugar_in_mg(draft, fields);
  wine.ph = fields.number("pH");
  if (const Node* node = fields.find("so2")) {
    Fields so2(*node, keys::so2(), draft.problems);
    wine.so2_free_mg_l = so2.quantity("free");
    wine.so2_total_mg_l = so2.quantity("total");
    if (wine.so2_free_mg_l > wine.so2_total_mg_l)
      so2.report(so2.at("free"), "'free' is more than 'total'", "free SO2 up to the total");
  }
  return wine;
}

Cost read_cost(Fields& fields) {
  const std::string written = fields.text("cost");
  if (written.empty()) return {};
  const auto [number, unit] = split_number(written);
  if (const auto broken = number.empty() ? std::nullopt : broken_number(number, unit)) {
    fields.report(fields.at("cost"), *broken, "cost");
    return {};
  }
  const bool currency = unit.size() == 5 && unit.ends_with("/L") &&
                        std::all_of(unit.begin(), unit.begin() + 3, [](char c) { return c >= 'A' && c <= 'Z'; });
  const auto value = read_number(number);
  const double* amount = std::get_if<double>(&value);
  if (currency && amount != nullptr && *amount >= 0.0) return {*amount, unit.substr(0, 3), fields.at("cost")};
  fields.report(fields.at("cost"), "'cost': '" + written + "' is no cost",
                "an amount, a currency of three capitals, a litre: 7.10 EUR/L");
  return {};
}

std::optional<SulfurLoss> read_sulfur_loss(Fields& fields) {
  const std::string written = fields.text("so2_loss");
  if (written.empty()) return std::nullopt;
  const std::string allowed = "as in 40 %/yr of total, 36 mg/L/yr, or 90 %/yr of free";
  const auto [number, unit] = split_number(written);
  const bool of_total = unit == "%/yr of total", of_free = unit == "%/yr of free";
  const Measure measure = of_total || of_free ? Measure::share_per_year : Measure::milligrams_per_litre_year;
  const auto read = read_quantity(of_total || of_free ? number + " %/yr" : written, measure);
  if (const auto* misread = std::get_if<Misread>(&read)) {
    const std::string hint =
        unit.starts_with('%') ? did_you_mean(nearest(unit, {"%/yr of total", "%/yr of free"})) : misread->hint;
    const bool which = unit == "%/yr" || unit == "%";
    fields.report(fields.at("so2_loss"),
                  Misread{which ? "'" + written + "' does not say of what" : misread->what, allowed, which ? "" : hint},
                  "so2_loss");
    return std::nullopt;
  }
  const SulfurLoss loss{of_total  ? SulfurLoss::Law::of_total
                        : of_free ? SulfurLoss::Law::of_free
                                  : SulfurLoss::Law::fixed,
                        std::get<Quantity>(read).value};
  const double most = measure == Measure::share_per_year ? 1.0 : 1e6;
  if (loss.rate >= 0.0 && loss.rate <= most) return loss;
  fields.report(fields.at("so2_loss"),
                "'so2_loss': " + written + (loss.rate < 0.0 ? " is negative" : " is out of range"),
                "0 and up; a share up to 100 %/yr");
  return std::nullopt;
}

ReadScenario read_scenario(const Source& source, const Limits& limits, const std::optional<Date>& known_on,
                           const TreeChange& change) {
  ReadScenario result;
  Draft draft;
  draft.known_on = known_on;
  if (known_on) draft.scenario.as_known = Knowledge{*known_on};
  Node root = parse_yaml(source, draft.problems.found, limits);
  if (change && draft.problems.found.empty()) change(root, draft.problems.found);
  result.parsed = root.kind == Node::Kind::map;
  if (root.kind == Node::Kind::nothing && draft.problems.found.empty()) {
    draft.problems.add({{1, 1}, "the file holds no keys", "a scenario: reserve, tiers, lots", ""});
  } else if (root.kind != Node::Kind::nothing) {
    Fields top(root, keys::scenario(), draft.problems);
    if (top.is_map()) read_top(draft, top);
  }
  result.scenario = std::move(draft.scenario);
  result.problems = std::move(draft.problems.found);
  result.more_problems = draft.problems.dropped;
  result.trust = draft.trust;
  return result;
}

}  // namespace tierce
