// Lots of new wine, and the stock that was there when the book began.
#include <algorithm>
#include <cmath>

#include "cli/read/reading.h"
#include "cli/read/suggest.h"
#include "engine/wine/must.h"

namespace tierce {
namespace {

/// The sugar of a wine from its density as read, corrected for its alcohol (Tabarié): all that is dissolved
/// is counted as sugar.
double sugar_from_density(Fields& fields, double alcohol_pct) {
  const double read = fields.quantity("density");
  if (!is_known(read) || !is_known(alcohol_pct)) return kUnknown;
  const std::string unit = split_number(fields.text("density")).second;
  std::optional<double> sg = read;
  if (unit == "Bx") sg = sg_from_hydrometer_brix(read);
  else if (unit == "Be") sg = sg_from_baume(read);
  else if (unit == "°Oe") sg = sg_from_oechsle(read);
  const auto sugar_g_l = sg ? wine_extract_g_l(*sg, alcohol_pct) : std::nullopt;
  if (!sugar_g_l)
    fields.report(fields.at("density"), "'density': no wine of this strength reads " + fields.text("density"),
                  "a density within the tables");
  return sugar_g_l.value_or(kUnknown);
}

void read_shares(Fields& fields, const std::string& key, std::map<std::string, double>& shares) {
  double sum = 0.0;
  for (const auto& [name, share] : fields.quantities(key, Measure::share, {0.0, 1.0, true})) {
    shares[name->text] = share;
    sum += share;
  }
  if (sum > 1.0 + 1e-9)
    fields.report(fields.at(key), "'" + key + "': the shares add up to more than 100 %",
                  "shares that add up to 100 % at most");
}

std::optional<SpiritUsed> read_spirit(Draft& draft, Fields& lot) {
  const Node* node = lot.find("spirit");
  if (node == nullptr) return std::nullopt;
  Fields fields(*node, keys::spirit(), draft.problems);
  return SpiritUsed{fields.quantity("volume"), fields.quantity("strength"), fields.quantity("into"),
                    fields.whole("made", 0)};
}

Came read_came(Fields& fields) {
  const std::string came = fields.has("came") ? fields.choice("came", "") : "";
  return came == "made here"  ? Came::made_here
         : came == "in bond"  ? Came::in_bond
         : came == "tax paid" ? Came::tax_paid
                              : Came::not_stated;
}

void read_harvest(const Draft& draft, Fields& fields, Lot& lot) {
  lot.vintage = fields.whole("vintage", 0);
  const auto harvested = fields.date("harvested");
  lot.harvested_stated = harvested.has_value();
  if (!fields.has("vintage") && !fields.has("harvested"))
    fields.report(fields.at(),
                  (lot.name.empty() ? "a lot" : "lot '" + lot.name + "'") + " has neither 'vintage' nor 'harvested'",
                  "one of them: its age counts from there");
  if (!fields.has("vintage") && harvested) lot.vintage = harvested->year;
  lot.harvested = Date{std::max(lot.vintage, 1), draft.scenario.cellar.southern ? 4 : 10, 1};
  if (fields.has("harvested"))
    lot.harvested = harvested.value_or(Date{1, 1, 1});  // in doubt early: no fault follows from it
}

void read_contents(Draft& draft, Fields& fields, Lot& lot) {
  const int before = draft.problems.unread;
  lot.wine = read_wine(draft, fields);
  if (fields.has("density") && fields.has("sugar"))
    fields.report(fields.at("density"), "both 'sugar' and 'density' are given", "one of them");
  lot.sugar_is_extract = fields.has("density");
  if (lot.sugar_is_extract) lot.wine.sugar_g_l = sugar_from_density(fields, lot.wine.alcohol_pct);
  if (draft.problems.unread > before || !fields.has("alcohol")) draft.trust.wines = false;
}

/// How much there was, and the tank that received it.
void read_made(Draft& draft, Fields& fields, Lot& lot) {
  const double lees = fields.quantity("lees", 0.0);
  lot.analysed = fields.date("analysed");
  const Node* node = fields.find("made");
  if (node == nullptr) {
    for (const char* key : {"lees", "in"})
      if (fields.has(key))
        fields.report(fields.at(key), "'" + std::string(key) + "' stands without 'made'", "made: {volume, date}");
    return;
  }
  Fields made(*node, keys::lot_made(), draft.problems);
  LotMade known{node->at, made.quantity("volume"), made.date("date"), lees, {}};
  if (!made.has("date") && lot.harvested_stated) known.date = lot.harvested;
  if (fields.has("in")) {
    known.in = read_tank(draft, fields, "in", "new wine is received in a tank, and goes into wood by 'do: move'");
    if (!known.date && !made.has("date"))
      fields.report(node->at, "lot '" + lot.name + "' stands in a tank from no day on", "made: {volume, date}");
  }
  const bool date_unread = (made.has("date") || fields.has("in")) && !known.date;
  if (!is_known(known.volume_l) || !is_known(lees) || date_unread || (fields.has("in") && !known.in)) {
    draft.trust.reserve = false;  // litres depend on it
    return;
  }
  lot.made = known;
}

/// Wine of another reserve: what it is stands in that file, and is brought in once both are read.
Lot read_brought(Draft& draft, Fields& fields) {
  Lot lot;
  lot.at = fields.at("name");
  lot.name = fields.text("name");
  lot.origin = Origin{fields.at("from"), fields.text("from"), fields.text("draw")};
  lot.harvested = Date{1, 1, 1};
  lot.came = read_came(fields);
  lot.cost = read_cost(fields);
  if (lot.origin->file.empty() || lot.origin->draw.empty()) draft.trust.wines = draft.trust.reserve = false;
  return lot;
}

bool is_of_another_reserve(const Node& node) {
  return node.kind == Node::Kind::map && std::any_of(node.entries.begin(), node.entries.end(),
                                                     [](const auto& entry) { return entry.first.text == "from"; });
}

void read_lot(Draft& draft, const Node& node) {
  const Harmless harmless(
      draft.problems);  // what is unknown of a wine is no unknown litre; its name and contents are looked after here
  const bool brought = is_of_another_reserve(node);
  Fields fields(node, brought ? keys::lot_brought() : keys::lot(), draft.problems);
  if (!fields.is_map()) {
    draft.lots.complete = false;
    return;
  }
  Lot lot;
  if (brought) lot = read_brought(draft, fields);
  else {
    lot.at = fields.at("name");
    lot.name = fields.text("name");
    read_harvest(draft, fields, lot);
    read_shares(fields, "grapes", lot.grapes);
    read_shares(fields, "grown", lot.grown);
    read_contents(draft, fields, lot);
    lot.spirit = read_spirit(draft, fields);
    lot.came = read_came(fields);
    lot.cost = read_cost(fields);
    read_made(draft, fields, lot);
  }
  draft.lots.learn(lot.name, static_cast<int>(draft.scenario.lots.size()));
  draft.scenario.lots.push_back(std::move(lot));
}

void read_ages(Draft& draft, Fields& fields, bool parts_read, std::vector<Opening::Part>& parts) {
  for (const auto& [name, age] : fields.quantities("ages", Measure::years, {0.0, 1000.0, false})) {
    const auto part = std::find_if(parts.begin(), parts.end(),
                                   [&text = name->text](const Opening::Part& one) { return one.name == text; });
    if (part == parts.end()) {
      if (parts_read)
        fields.report(name->at, "'ages': '" + name->text + "' is not among the lots of this opening stock",
                      "a name under its 'lots'");
    } else if (part->lot >= 0 && draft.scenario.clock == Clock::harvest)
      fields.report(name->at, "'ages': lot '" + name->text + "' has a harvest, from which its age follows",
                    "ages of parts that are not under 'lots' of the file");
    else part->age_years = age;
  }
}

std::vector<Opening::Part> opening_parts(Draft& draft, Fields& fields) {
  std::vector<Opening::Part> parts;
  const int before = draft.problems.unread;
  double sum = 0.0;
  std::map<std::string, At> places;
  for (const auto& [name, share] : fields.quantities("lots", Measure::share, {0.0, 1.0, true})) {
    const auto lot = draft.lots.known.find(name->text);
    parts.push_back({name->text, lot == draft.lots.known.end() ? -1 : lot->second, share, kUnknown});
    places[name->text] = name->at;
    sum += share;
  }
  const bool parts_read = draft.problems.unread == before;
  if (parts_read && fields.has("lots") && std::abs(sum - 1.0) > 1e-9)
    fields.report(fields.at("lots"), "'lots': the shares do not add up to 100 %", "shares that add up to 100 %",
                  "wine that nobody knows can stand as 'unknown'");
  if (!fields.has("lots")) parts.push_back({"unknown", -1, 1.0, kUnknown});
  read_ages(draft, fields, parts_read, parts);
  for (const Opening::Part& part : parts) {
    const bool own_name = part.lot < 0 && part.name != "unknown" && !is_known(part.age_years) && draft.lots.complete;
    const std::string near = own_name ? nearest(part.name, draft.lots.in_order) : "";
    if (!near.empty())
      fields.report(places[part.name], "'lots': there is no lot '" + part.name + "'",
                    "a lot of the file, unknown, or a name with its age under 'ages'", did_you_mean(near));
  }
  return parts;
}

void read_one_opening(Draft& draft, const Node& node) {
  Fields fields(node, keys::opening(), draft.problems);
  if (!fields.is_map()) return;
  Opening opening;
  opening.at = fields.at();
  opening.date = fields.date("date").value_or(Date{9999, 12, 31});  // in doubt late: no fault follows from it
  if (const auto place =
          read_row(draft, fields, "tier", "an opening stock lies in a tier or a tank, not in one vessel"))
    opening.row = place->row;
  opening.volume_l = fields.quantity("volume");
  opening.wine = read_wine(draft, fields);
  {
    const Harmless harmless(draft.problems);
    opening.cost = read_cost(fields);
  }
  opening.parts = opening_parts(draft, fields);
  draft.scenario.opening.push_back(std::move(opening));
}

}  // namespace

void read_lots(Draft& draft, Fields& top) {
  const Node* lots = top.find("lots");
  if (lots == nullptr || lots->kind != Node::Kind::list) draft.lots.complete = false;
  else if (lots->items.empty()) top.report(lots->at, "'lots' is an empty list", "at least one lot");
  for (const Node* node : top.list("lots")) read_lot(draft, *node);
}

void read_opening(Draft& draft, Fields& top) {
  for (const Node* node : top.list("opening")) read_one_opening(draft, *node);
}

void read_spirits(Draft& draft, Fields& top) {
  if (const Node* spirits = top.find("spirits"); spirits != nullptr && spirits->kind != Node::Kind::list)
    draft.spirits.complete = false;
  const int before = draft.problems.unread;
  for (const Node* node : top.list("spirits")) {
    Fields fields(*node, keys::spirit_account(), draft.problems);
    if (!fields.is_map()) {
      draft.spirits.complete = false;
      continue;
    }
    Spirit spirit;
    spirit.at = fields.at("name");
    spirit.name = fields.text("name");
    spirit.strength_pct = fields.quantity("strength");
    spirit.stock_l = fields.quantity("stock");
    {
      const Harmless harmless(draft.problems);
      spirit.made = fields.date("made");
      spirit.origin = fields.text("origin");
      spirit.cost = read_cost(fields);
    }
    draft.spirits.learn(spirit.name, static_cast<int>(draft.scenario.spirits.size()));
    draft.scenario.spirits.push_back(spirit);
  }
  if (draft.problems.unread > before) draft.trust.wines = false;  // no strength of fortified wine can be trusted
}

}  // namespace tierce
