// Vessels in the log: those that come and go, how a tier is worked from a day on, and gauges by dip.
#include <algorithm>
#include <cmath>

#include "cli/read/reading.h"
#include "cli/read/suggest.h"

namespace tierce {
namespace {

constexpr double kCubicCentimetresPerLitre = 1000.0;
// A capacity further than this from the measures of its cask is a slip in one of them.
constexpr double kMeasuresAgree = 0.1;

Vessel* vessel_at(Draft& draft, const Place& place) {
  if (draft.scenario.is_tank(place.row)) return nullptr;
  auto& vessels = draft.scenario.tiers[static_cast<std::size_t>(place.row)].vessels;
  if (place.vessel >= 0) return &vessels[static_cast<std::size_t>(place.vessel)];
  return vessels.size() == 1 ? &vessels[0] : nullptr;
}

void read_table(Fields& fields, DipTable& table) {
  for (const auto& [depth, litres] : fields.quantities("table", Measure::volume, {0.0, kLargestAmount, false})) {
    const auto read = read_quantity(depth->text, Measure::length);
    if (const auto* misread = std::get_if<Misread>(&read)) fields.report(depth->at, *misread, "table");
    else table.emplace_back(std::get<Quantity>(read).value, litres);
  }
  const auto rises = [](const auto& a, const auto& b) { return a.first < b.first && a.second < b.second; };
  for (std::size_t i = 1; i < table.size(); ++i)
    if (!rises(table[i - 1], table[i])) {
      fields.report(fields.at("table"), "'table': depths and litres do not rise from line to line",
                    "as in {10 cm: 31 L, 20 cm: 84 L}");
      return;
    }
}

/// Litres of a reading by dip, in the vessel that it names.
std::optional<double> litres_of_dip(Draft& draft, Fields& fields, const Place& place, double wet_cm, At at) {
  const Vessel* vessel = vessel_at(draft, place);
  const bool tank = draft.scenario.is_tank(place.row);
  if (vessel == nullptr && !tank) {
    fields.report(at, "a dip is of one vessel, and tier '" + draft.scenario.name_of(place.row) + "' has several",
                  "as in wet: {F1: 41 cm, F2: 39.5 cm}");
    return std::nullopt;
  }
  const std::string name = tank ? "tank '" + draft.scenario.name_of(place.row) + "'" : "vessel '" + vessel->name + "'";
  const DipTable& table =
      tank ? draft.scenario.tanks[static_cast<std::size_t>(place.row - draft.scenario.tier_count())].table
           : vessel->table;
  if (table.empty() && (tank || !vessel->shape)) {
    fields.report(at, name + " states nothing from which a dip gives litres",
                  tank ? "its 'table'" : "its 'bung' and 'head' diameters, or its 'table'");
    return std::nullopt;
  }
  const auto share = table.empty() ? wet_share(*vessel->shape, wet_cm) : std::nullopt;
  const auto litres = !table.empty() ? litres_at(table, wet_cm)
                      : share        ? std::optional(*share * vessel->capacity_l)
                                     : std::nullopt;
  if (!litres)
    fields.report(at, "the dip is deeper than " + name,
                  "up to " + plain_number(table.empty() ? vessel->shape->bung : table.back().first) + " cm");
  return litres;
}

}  // namespace

void read_dip_measures(Fields& fields, double capacity_l, std::optional<CaskShape>& shape, DipTable& table) {
  if (fields.has("table")) read_table(fields, table);
  const double bung_cm = fields.quantity("bung"), head_cm = fields.quantity("head", bung_cm);
  const double length_cm = fields.quantity("length");
  const auto sizes = fields.given({"head", "length"});
  if (!fields.has("bung") && !sizes.empty())
    fields.report(fields.at(sizes[0]), "'" + sizes[0] + "' stands without 'bung'", "bung: the diameter at the bung");
  if (!is_known(bung_cm) || !is_known(head_cm)) return;
  if (head_cm > bung_cm) {
    fields.report(fields.at("head"), "'head' is more than 'bung'", "a head up to the diameter at the bung");
    return;
  }
  shape = CaskShape{bung_cm, head_cm};
  if (!is_known(length_cm) || !is_known(capacity_l)) return;
  const double measured_l = cask_volume(*shape, length_cm) / kCubicCentimetresPerLitre;
  if (std::abs(measured_l / capacity_l - 1.0) > kMeasuresAgree)
    fields.report(fields.at("length"),
                  "a cask of these measures holds " + plain_number(std::round(measured_l)) +
                      " L, not its capacity of " + plain_number(capacity_l) + " L",
                  "measures inside the staves, within a tenth of the capacity");
}

std::optional<Action> read_bring_in(Draft& draft, Fields& fields) {
  const auto tier = read_row(draft, fields, "tier", "a vessel comes into a tier");
  const bool tank = tier && draft.scenario.is_tank(tier->row);
  if (tank) fields.report(fields.at("tier"), "a vessel comes into a tier, not into a tank", "a tier");
  const std::string name = fields.text("vessel");
  const double capacity_l = fields.quantity("capacity"), soakage_l = fields.quantity("soakage", 0.0);
  Vessel vessel{fields.at("vessel"), name, capacity_l, true, {}, {}, {}};
  read_dip_measures(fields, capacity_l, vessel.shape, vessel.table);
  if (!tier || tank || name.empty()) {
    draft.places.complete = false;  // later entries may name it
    return std::nullopt;
  }
  auto& vessels = draft.scenario.tiers[static_cast<std::size_t>(tier->row)].vessels;
  Place place{fields.at("vessel"), tier->row, static_cast<int>(vessels.size())};
  if (const auto known = draft.places.known.find(name); known != draft.places.known.end()) {
    if (known->second.row != tier->row || known->second.vessel < 0) {
      fields.report(fields.at("vessel"), "'vessel': the name '" + name + "' is taken",
                    "a name of its own, or a vessel of this tier that was taken out");
      return std::nullopt;
    }
    place.vessel = known->second.vessel;  // back again, perhaps with another capacity
  } else if (const Tier& own = draft.scenario.tiers[static_cast<std::size_t>(tier->row)];
             vessels.size() == 1 && vessels[0].name == own.name) {
    const std::string line = std::to_string(vessels[0].at.line);
    fields.report(fields.at("vessel"),
                  "'vessel': tier '" + own.name + "' cannot get a second vessel, since the one in line " + line +
                      " has the tier's name, which would then mean both",
                  "another name for the vessel in line " + line + ", as in '" + own.name + " 1'");
    return std::nullopt;
  } else {
    draft.places.learn(name, place);
    vessels.push_back(vessel);
  }
  if (!is_known(capacity_l) || !is_known(soakage_l)) return std::nullopt;
  return BringIn{place, capacity_l, soakage_l};
}

std::optional<Action> read_take_out(Draft& draft, Fields& fields) {
  const auto place = read_place(draft, fields, "vessel");
  const std::string because = fields.text("because");
  if (!place) return std::nullopt;
  if (place->vessel < 0) {
    const bool tank = draft.scenario.is_tank(place->row);
    fields.report(fields.at("vessel"),
                  std::string("'vessel': ") + (tank ? "a tank" : "a tier") + " is not taken out, a vessel of a tier is",
                  "a vessel of a tier");
    return std::nullopt;
  }
  return TakeOut{*place, because};
}

std::optional<Action> read_set(Draft& draft, Fields& fields) {
  const auto tier = read_row(draft, fields, "tier", "a tier is set as a whole");
  if (tier && draft.scenario.is_tank(tier->row)) {
    fields.report(fields.at("tier"), "a tank has neither target nor evaporation", "a tier");
    return std::nullopt;
  }
  Set set;
  if (fields.given({"target", "evaporation", "vapour"}).empty())
    fields.report(fields.at(), "this entry sets nothing", "at least one of target, evaporation, vapour");
  if (fields.has("target")) set.target_l = fields.quantity("target");
  if (fields.has("vapour")) set.vapour_pct = fields.quantity("vapour");
  if (fields.has("evaporation")) {
    set.evaporation.emplace();
    read_evaporation(fields, *set.evaporation);
  }
  if (!tier) return std::nullopt;
  set.tier = *tier;
  return set;
}

void read_dips(Draft& draft, Fields& fields, Gauge& gauge) {
  const Node& wet = *fields.find("wet");
  const auto add = [&](const std::optional<Place>& place, double wet_cm, At at) {
    if (!place || !is_known(wet_cm)) return;
    if (const auto litres = litres_of_dip(draft, fields, *place, wet_cm, at))
      gauge.read_l.emplace_back(*place, *litres);
  };
  if (wet.kind != Node::Kind::map) {
    if (!fields.has("tier")) fields.report(wet.at, "the dip does not say of which vessel", "tier: the vessel");
    const auto place = read_place(draft, fields, "tier");
    return add(place, fields.quantity("wet"), wet.at);
  }
  if (fields.has("tier")) fields.report(fields.at("tier"), "'tier' and a map of vessels are both given", "one of them");
  for (const auto& [name, wet_cm] : fields.quantities("wet", Measure::length, {0.0, 1000.0, false}))
    add(find_place(draft, name->text, name->at, "wet"), wet_cm, name->at);
}

void read_gauge_error(Fields& fields, Gauge& gauge) {
  const std::string written = fields.text("error");
  if (written.empty()) return;
  const bool share = split_number(written).second == "%";
  const auto read = read_quantity(written, share ? Measure::share : Measure::volume);
  if (const auto* misread = std::get_if<Misread>(&read)) {
    fields.report(fields.at("error"), Misread{misread->what, "as in 1 % or 2 L", misread->hint}, "error");
    return;
  }
  const double value = std::get<Quantity>(read).value;
  if (!(value > 0.0) || (share && value > 1.0))
    fields.report(fields.at("error"), "'error': " + written + " is out of range", "above zero; a share up to 100 %");
  else (share ? gauge.error_fraction : gauge.error_l) = value;
}

}  // namespace tierce
