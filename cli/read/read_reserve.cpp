// The reserve itself: tiers with their vessels, tanks, and the names of all places.
#include <algorithm>

#include "cli/io/number_text.h"
#include "cli/read/reading.h"
#include "cli/read/suggest.h"

namespace tierce {
namespace {

constexpr std::size_t kMostVessels = 100000;  // of one reserve; more is a slip, and would only fill the memory

template <class T>
std::string hint_for(Names<T>& names, const std::string& word) {
  const auto [hint, added] = names.hints.try_emplace(word);
  if (added) hint->second = did_you_mean(nearest(word, names.in_order));
  return hint->second;
}

std::size_t vessels_so_far(const Draft& draft, const std::vector<Vessel>& of_this_tier) {
  std::size_t sum = of_this_tier.size();
  for (const Tier& tier : draft.scenario.tiers) sum += tier.vessels.size();
  return sum;
}

void read_marks(Draft& draft, Fields& fields, const std::string& name, double capacity_l,
                std::vector<Vessel>& vessels) {
  const Node& marks = *fields.find("count");
  if (marks.items.empty()) fields.report(marks.at, "'count' is an empty list", "a number, or the vessels' marks");
  for (const Node& mark : marks.items)
    if (const auto text = scalar_text(mark, "a mark", draft.problems))
      vessels.push_back({mark.at, name + *text, capacity_l, false, {}, {}, {}});
}

/// `count: 4`, or one vessel where no count stands.
void read_count(Draft& draft, Fields& fields, const std::string& name, double capacity_l,
                std::vector<Vessel>& vessels) {
  const Node* count = fields.find("count");
  const auto read =
      count == nullptr ? Read<int>(1) : read_whole(count->kind == Node::Kind::scalar ? count->text : "", 1, 10000);
  const auto* misread = std::get_if<Misread>(&read);
  if (misread != nullptr && !count->reported)
    fields.report(count->at,
                  Misread{misread->what, "a whole number from 1 to 10000, or a list of marks", misread->hint}, "count");
  const int number = misread != nullptr ? 0 : std::get<int>(read);
  if (vessels_so_far(draft, vessels) + static_cast<std::size_t>(number) > kMostVessels)
    fields.report(fields.at("count"), "the reserve has more than 100000 vessels", "100000 vessels at most");
  else
    for (int i = 1; i <= number; ++i)
      vessels.push_back(
          {fields.at("name"), number == 1 ? name : name + std::to_string(i), capacity_l, false, {}, {}, {}});
}

void read_vessels(Draft& draft, const Node& node, std::vector<Vessel>& vessels) {
  Fields fields(node, keys::vessel(), draft.problems);
  if (!fields.is_map()) {
    draft.places.complete = false;
    return;
  }
  const int before = draft.problems.unread;
  const std::string name = fields.text("name");
  const double capacity_l = fields.quantity("capacity");
  const std::size_t first = vessels.size();
  const Node* count = fields.find("count");
  if (count != nullptr && count->kind == Node::Kind::list) read_marks(draft, fields, name, capacity_l, vessels);
  else read_count(draft, fields, name, capacity_l, vessels);
  if (draft.problems.unread > before) draft.places.complete = false;
  Vessel like{};
  read_dip_measures(fields, capacity_l, like.shape, like.table);
  {
    const Harmless harmless(draft.problems);
    like.note = fields.text("note");
  }
  for (std::size_t i = first; i < vessels.size(); ++i) {
    vessels[i].note = like.note;
    vessels[i].shape = like.shape;
    vessels[i].table = like.table;
  }
}

void read_target(Fields& fields, bool vessels_read, Tier& tier) {
  double capacity_l = 0.0;
  for (const Vessel& vessel : tier.vessels) capacity_l += vessel.capacity_l;
  tier.ullage_part = fields.quantity("ullage", 0.0);
  const double room_l = capacity_l * (1.0 - tier.ullage_part);
  tier.target_stated = fields.has("target");
  tier.target_l = fields.quantity("target", room_l);
  if (vessels_read && tier.target_l > capacity_l * (1.0 + 1e-9))
    fields.report(fields.at("target"), "the target of tier '" + tier.name + "' is more than its vessels hold",
                  "up to " + plain_number(capacity_l) + " L, the sum of their capacities");
  else if (vessels_read && tier.target_l > room_l * (1.0 + 1e-9))
    fields.report(fields.at("ullage"),
                  "tier '" + tier.name + "' cannot keep that ullage when it is refilled to its target",
                  "up to " + at_most_text(100.0 * (1.0 - tier.target_l / capacity_l), 2) + " %; or a target of up to " +
                      at_most_text(room_l, 1) + " L");
}

void read_tier(Draft& draft, const Node& node) {
  Fields fields(node, keys::tier(), draft.problems);
  if (!fields.is_map()) {
    draft.places.complete = false;
    return;
  }
  Tier tier;
  tier.at = fields.at("name");
  tier.name = fields.text("name");
  const int before = draft.problems.unread;
  const Node* vessels = fields.find("vessels");
  if (vessels == nullptr || vessels->kind != Node::Kind::list) draft.places.complete = false;
  else if (vessels->items.empty())
    fields.report(vessels->at, "tier '" + tier.name + "' has no vessels", "at least one vessel");
  for (const Node* vessel : fields.list("vessels")) read_vessels(draft, *vessel, tier.vessels);
  read_target(fields, vessels != nullptr && draft.problems.unread == before, tier);
  read_evaporation(fields, tier.evaporation);
  tier.vapour_pct = fields.quantity("vapour");
  tier.vapour_stated = fields.has("vapour");
  if (!tier.vapour_stated && !tier.evaporation.stated) tier.evaporation.kind = Evaporation::Kind::air;
  tier.wood = fields.choice("wood", "yes") == "yes";
  tier.so2_loss = read_sulfur_loss(fields);
  if (fields.choice("level", "even") == "full first") tier.level = Level::full_first;
  draft.scenario.tiers.push_back(std::move(tier));
}

void read_tank(Draft& draft, const Node& node) {
  Fields fields(node, keys::tank(), draft.problems);
  if (!fields.is_map()) {
    draft.places.complete = false;
    return;
  }
  Tank tank{fields.at("name"), fields.text("name"), fields.quantity("capacity"), {}, {}};
  std::optional<CaskShape> none;
  read_dip_measures(fields, tank.capacity_l, none, tank.table);
  const Harmless harmless(draft.problems);
  tank.note = fields.text("note");
  draft.scenario.tanks.push_back(std::move(tank));
}

void learn_places(Draft& draft) {
  const Scenario& scenario = draft.scenario;
  for (int row = 0; row < scenario.rows(); ++row) draft.places.learn(scenario.name_of(row), Place{{}, row, -1});
  for (std::size_t row = 0; row < scenario.tiers.size(); ++row) {
    const auto& vessels = scenario.tiers[row].vessels;
    for (std::size_t i = 0; i < vessels.size(); ++i)
      draft.places.learn(vessels[i].name, Place{{}, static_cast<int>(row), static_cast<int>(i)});
  }
}

}  // namespace

void read_evaporation(Fields& fields, Evaporation& evaporation) {
  if (!fields.has("evaporation")) return;
  evaporation.stated = true;
  evaporation.per_year = kUnknown;
  const std::string written = fields.text("evaporation");
  if (written.empty()) return;
  const std::string unit = split_number(written).second;
  const bool by_vessel = unit.find('%') == std::string::npos && !unit.empty();
  const auto read = read_quantity(written, by_vessel ? Measure::volume_per_vessel_year : Measure::share_per_year);
  if (const auto* misread = std::get_if<Misread>(&read)) {
    const bool of_unit = misread->allowed.starts_with("a number with a unit");
    return fields.report(
        fields.at("evaporation"),
        Misread{misread->what, of_unit ? "%/yr, L/yr per vessel, gal/yr per vessel" : misread->allowed, misread->hint},
        "evaporation");
  }
  const double per_year = std::get<Quantity>(read).value;
  evaporation.kind = by_vessel ? Evaporation::Kind::litres_per_vessel : Evaporation::Kind::share;
  if (per_year >= 0.0 && (by_vessel ? per_year <= kLargestAmount : per_year < 1.0)) evaporation.per_year = per_year;
  else
    fields.report(fields.at("evaporation"),
                  "'evaporation': " + written + (per_year < 0.0 ? " is negative" : " is out of range"),
                  by_vessel ? "0 L/yr per vessel or more" : "0 %/yr and up, below 100 %/yr");
}

void read_tiers_and_tanks(Draft& draft, Fields& top) {
  const Node* tiers = top.find("tiers");
  if (tiers == nullptr || tiers->kind != Node::Kind::list) draft.places.complete = false;
  else if (tiers->items.empty()) top.report(tiers->at, "'tiers' is an empty list", "at least one tier");
  for (const Node* node : top.list("tiers")) read_tier(draft, *node);
  if (const Node* tanks = top.find("tanks"); tanks != nullptr && tanks->kind != Node::Kind::list)
    draft.places.complete = false;
  for (const Node* node : top.list("tanks")) read_tank(draft, *node);
  learn_places(draft);
}

std::optional<Place> find_place(Draft& draft, const std::string& name, At at, const std::string& key) {
  const auto found = draft.places.known.find(name);
  if (found != draft.places.known.end()) return Place{at, found->second.row, found->second.vessel};
  if (!draft.places.complete) {
    ++draft.problems.unread;  // it may be one of those that could not be read
    return std::nullopt;
  }
  std::vector<std::string> rows;
  for (int row = 0; row < draft.scenario.rows(); ++row) rows.push_back(draft.scenario.name_of(row));
  const std::string allowed = listed_briefly(rows) + ", or a vessel of them";
  if (name == "all") draft.problems.add({at, "'" + key + "' cannot be 'all'", "one of " + allowed, ""});
  else
    draft.problems.add(
        {at, "'" + key + "': there is no tier, vessel or tank '" + name + "'", allowed, hint_for(draft.places, name)});
  return std::nullopt;
}

std::optional<Place> read_place(Draft& draft, Fields& fields, const std::string& key) {
  const std::string name = fields.text(key);
  return name.empty() ? std::nullopt : find_place(draft, name, fields.at(key), key);
}

std::optional<Place> read_row(Draft& draft, Fields& fields, const std::string& key, const std::string& why) {
  const auto place = read_place(draft, fields, key);
  if (!place || place->vessel < 0) return place;
  fields.report(fields.at(key), why, "tier '" + draft.scenario.name_of(place->row) + "', which holds it");
  return std::nullopt;
}

std::optional<int> read_lot_name(Draft& draft, Fields& fields, const std::string& key) {
  const std::string name = fields.text(key);
  if (name.empty()) return std::nullopt;
  const auto found = draft.lots.known.find(name);
  if (found != draft.lots.known.end()) return found->second;
  if (!draft.lots.complete) ++draft.problems.unread;
  else
    fields.report(fields.at(key), "'" + key + "': there is no lot '" + name + "'",
                  "lots: " + listed_briefly(draft.lots.in_order), hint_for(draft.lots, name));
  return std::nullopt;
}

}  // namespace tierce
