#include "cli/read/slips.h"

#include <algorithm>
#include <map>
#include <tuple>

#include "cli/io/number_text.h"

namespace tierce {
namespace {

// Common practice, no source: the highest loss in print is 9 %/yr (docs/sources.md), small casks under a roof lose
// more; the weakest wine that the EU knows has 8.5 %vol, sour beer some 3.
constexpr double kHighLossPerYear = 0.15;
constexpr double kWeakestWinePct = 3.0;

std::string line_text(const At& at) { return "line " + std::to_string(at.line); }

void remark(Scenario& scenario, const At& at, const std::string& what) { scenario.remarks.push_back({at, what}); }

/// An entry as one text: its keys in the order of the alphabet, without what does not change the book.
std::string as_one_text(const Node& node) {
  if (node.kind == Node::Kind::scalar || node.kind == Node::Kind::nothing) return '"' + node.text + '"';
  std::string text;
  for (const Node& item : node.items) text += as_one_text(item) + ',';
  std::map<std::string, std::string> keys;
  for (const auto& [key, value] : node.entries)
    if (key.text != "note" && key.text != "entered") keys[key.text] = as_one_text(value);
  for (const auto& [key, value] : keys) text += key + ':' + value + ',';
  return '{' + text + '}';
}

/// A ref that two days share: the entries of one evening may all carry the number of its sheet.
void refs_used_again(Scenario& scenario) {
  std::map<std::string, const Entry*> seen;
  for (const Entry& entry : scenario.log) {
    if (entry.ref.empty()) continue;
    const auto [first, added] = seen.emplace(entry.ref, &entry);
    if (!added && first->second->date != entry.date)
      remark(scenario, entry.at,
             "ref '" + entry.ref + "' stands in " + line_text(first->second->at) + " and in " + line_text(entry.at) +
                 ", on different days: is it the same paper?");
  }
}

/// A name tells a bottling, so two days under one name can no longer be told apart.
void names_used_again(Scenario& scenario) {
  std::map<std::string, const Entry*> seen;
  for (const Entry& entry : scenario.log) {
    const auto* draw = std::get_if<Draw>(&entry.action);
    if (draw == nullptr || draw->name.empty() || draw->use != Use::bottling || scenario.is_tank(draw->from.row))
      continue;
    const auto [first, added] = seen.emplace(draw->name, &entry);
    if (!added && first->second->date != entry.date)
      remark(scenario, entry.at,
             "'" + draw->name + "' is the name of the draws in " + line_text(first->second->at) + " and in " +
                 line_text(entry.at) + ", on different days: one name for each bottling keeps them apart");
  }
}

void names_of_habit(Scenario& scenario) {
  std::map<std::string, At> seen;
  for (const Routine& routine : scenario.habit) {
    const std::string& name = routine.usual.name;
    if (name.empty() || !routine.usual.draw) continue;
    if (name.find("{year}") == std::string::npos)
      remark(scenario, routine.at,
             "every draw of the habit in " + line_text(routine.at) + " is called '" + name +
                 "': did you mean one with {year}?");
    else if (routine.every_months > 0 && routine.every_months < 12)
      remark(scenario, routine.at,
             "the habit in " + line_text(routine.at) + " draws more than once a year under one name, '" + name + "'");
    const auto [first, added] = seen.emplace(name, routine.at);
    if (!added)
      remark(scenario, routine.at,
             "'" + name + "' is the name of the habits in " + line_text(first->second) + " and in " +
                 line_text(routine.at) + ": one name for each bottling keeps them apart");
  }
}

/// Two gauges of one place with no work between them: the second sets the book, the first is forgotten.
void gauges_used_twice(Scenario& scenario) {
  std::map<std::tuple<Date, int, int>, At> seen;
  for (const Entry& entry : scenario.log) {
    const auto* gauge = std::get_if<Gauge>(&entry.action);
    const bool reads = gauge != nullptr || std::holds_alternative<Analyse>(entry.action);
    if (!reads) seen.clear();
    if (gauge == nullptr) continue;
    for (const auto& [place, litres] : gauge->read_l) {
      const auto [first, added] = seen.emplace(std::tuple(entry.date, place.row, place.vessel), place.at);
      if (!added)
        remark(scenario, place.at,
               "the gauges in " + line_text(first->second) + " and in " + line_text(place.at) +
                   " are of one place and one day, with no work between them: the second counts");
      first->second = place.at;
    }
  }
}

/// The part of its wine that a tier loses in a year: of the smallest vessel, where each loses litres.
double loss_per_year(const Tier& tier) {
  if (tier.evaporation.kind == Evaporation::Kind::share) return tier.evaporation.per_year;
  double least_l = tier.vessels.empty() ? kUnknown : tier.vessels.front().capacity_l;
  for (const Vessel& vessel : tier.vessels) least_l = std::min(least_l, vessel.capacity_l);
  return tier.evaporation.per_year / least_l;
}

void high_losses(Scenario& scenario) {
  for (const Tier& tier : scenario.tiers)
    if (const double loss = loss_per_year(tier); loss > kHighLossPerYear)
      remark(scenario, tier.at,
             "tier '" + tier.name + "' (" + line_text(tier.at) + ") loses " + trimmed_text(100.0 * loss, 1) +
                 " % a year, where print has 1 to 9: is this meant?");
}

void weak(Scenario& scenario, const std::string& what, const Composition& wine, const At& at) {
  if (wine.alcohol_pct > 0.0 && wine.alcohol_pct < kWeakestWinePct)
    remark(scenario, at,
           what + " (" + line_text(at) + ") has " + trimmed_text(wine.alcohol_pct, 2) + " %vol: is this meant?");
}

void weak_wines(Scenario& scenario) {
  const auto product = scenario.label.find("product");
  if (product != scenario.label.end() && product->second == "vinegar") return;
  for (const Lot& lot : scenario.lots) weak(scenario, "lot '" + lot.name + "'", lot.wine, lot.at);
  for (const Opening& opening : scenario.opening) weak(scenario, "the opening stock", opening.wine, opening.at);
  for (const Entry& entry : scenario.log)
    if (const auto* analyse = std::get_if<Analyse>(&entry.action))
      weak(scenario, "the wine of the analysis", analyse->found, entry.at);
}

}  // namespace

void remark_if_double(Draft& draft, const Node& entry) {
  const auto [first, added] = draft.entries_seen.emplace(as_one_text(entry), entry.at);
  if (!added)
    remark(draft.scenario, entry.at,
           line_text(first->second) + " and " + line_text(entry.at) + " are the same entry: was it done twice?");
}

void remark_if_sugar_in_mg(Draft& draft, Fields& wine) {
  const Node* node = wine.find("sugar");
  if (node == nullptr || node->kind != Node::Kind::scalar || !node->text.ends_with("mg/L")) return;
  remark(draft.scenario, node->at,
         "'sugar: " + node->text + "' (" + line_text(node->at) + ") is in mg/L, a thousandth of g/L: is this meant?");
}

void remark_on_slips(Scenario& scenario) {
  refs_used_again(scenario);
  names_used_again(scenario);
  names_of_habit(scenario);
  gauges_used_twice(scenario);
  high_losses(scenario);
  weak_wines(scenario);
}

}  // namespace tierce
