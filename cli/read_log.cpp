// The log of the scenario file: one function for each verb.
#include "cli/reading.h"
#include "cli/suggest.h"

namespace tierce {

namespace {

std::optional<Amount> one_amount(Draft& draft, Fields& fields, const std::vector<std::string>& given) {
  Amount amount;
  amount.at = fields.at(given.front());
  if (given.front() == "bottles") {
    const auto read = read_amount(fields.text("bottles"), false, true);
    const auto* misread = std::get_if<Misread>(&read);
    const bool bottles = misread == nullptr && std::get<Amount>(read).kind == Amount::Kind::bottles;
    if (!bottles) {
      fields.report(amount.at, misread != nullptr ? *misread : Misread{"'" + fields.text("bottles") + "' is no number of bottles", "", ""}, "bottles");
      draft.problems.back().allowed = "a number and a size, as in 500 x 375 mL";
      return std::nullopt;
    }
    Amount result = std::get<Amount>(read);
    result.at = amount.at;
    return result;
  }
  amount.kind = given.front() == "share" ? Amount::Kind::share : Amount::Kind::litres;
  amount.value = fields.quantity(given.front());
  return is_known(amount.value) ? std::optional(amount) : std::nullopt;
}

std::optional<Amount> read_one_of(Draft& draft, Fields& fields, const std::vector<std::string>& keys) {
  std::vector<std::string> given;
  for (const std::string& key : keys)
    if (fields.has(key)) given.push_back(key);
  if (given.size() == 1) return one_amount(draft, fields, given);
  if (given.empty()) fields.report(fields.at(), "how much is not said", "one of " + listed(keys));
  else fields.report(fields.at(given[1]), "'" + given[0] + "' and '" + given[1] + "' are both given", "one of " + listed(keys));
  return std::nullopt;
}

std::optional<Action> read_add(Draft& draft, Fields& fields) {
  const auto lot = read_lot_name(draft, fields, "lot");
  const auto to = read_place(draft, fields, "to");
  const double litres = fields.quantity("volume");
  if (!lot || !to || !is_known(litres)) return std::nullopt;
  return Add{*lot, fields.at("lot"), *to, Amount{fields.at("volume"), Amount::Kind::litres, litres, 0.0}};
}

std::optional<Action> read_draw(Draft& draft, Fields& fields) {
  const auto from = read_place(draft, fields, "from");
  const auto amount = read_one_of(draft, fields, {"volume", "share", "bottles"});
  const std::string name = fields.text("for");
  if (!from || !amount) return std::nullopt;
  return Draw{*from, *amount, name};
}

std::optional<Action> read_move(Draft& draft, Fields& fields) {
  const auto from = read_place(draft, fields, "from");
  const auto to = read_place(draft, fields, "to");
  const auto amount = read_one_of(draft, fields, {"volume", "share"});
  if (!from || !to || !amount) return std::nullopt;
  return Move{*from, *to, *amount};
}

std::optional<Action> read_refill(Draft& draft, Fields& fields) {
  Refill refill;
  const auto lot = read_lot_name(draft, fields, "lot");
  refill.order = fields.choice("order", "oldest first") == "oldest first" ? RefillOrder::oldest_first : RefillOrder::youngest_first;
  if (fields.has("volume")) refill.volume_l = fields.quantity("volume");
  if (!lot) return std::nullopt;
  refill.lot = *lot;
  refill.lot_at = fields.at("lot");
  return refill;
}

std::optional<Action> read_dose_entry(Draft& draft, Fields& fields) {
  const auto dose = read_dose(draft, fields);
  if (!dose) return std::nullopt;
  return *dose;
}

std::optional<Action> read_gauge(Draft& draft, Fields& fields) {
  Gauge gauge;
  gauge.temperature_c = fields.quantity("at");
  if (fields.has("gauge")) {
    if (fields.has("tier") || fields.has("volume")) fields.report(fields.at("gauge"), "'gauge' stands beside 'tier' or 'volume'", "either tier and volume, or gauge: {vessel: volume, ...}");
    for (const auto& [name, litres] : fields.quantities("gauge", Measure::volume, {0.0, 1e12, false}))
      if (const auto place = find_place(draft, name->text, name->at, "gauge")) gauge.read_l.emplace_back(*place, litres);
    return gauge;
  }
  if (!fields.has("tier") || !fields.has("volume")) {
    fields.report(fields.at(), "the gauge does not say what was measured", "tier and volume, or gauge: {vessel: volume, ...}");
    return std::nullopt;
  }
  const auto place = read_place(draft, fields, "tier");
  const double litres = fields.quantity("volume");
  if (!place || !is_known(litres)) return std::nullopt;
  gauge.read_l.emplace_back(*place, litres);
  return gauge;
}

std::optional<Action> read_analyse(Draft& draft, Fields& fields) {
  const auto place = read_place(draft, fields, "tier");
  Analyse analyse;
  analyse.found = read_wine(draft, fields);
  analyse.method = fields.text("method");
  analyse.laboratory = fields.text("laboratory");
  analyse.error = fields.text("error");
  if (!place) return std::nullopt;
  const bool one_of_several = place->vessel >= 0 && draft.scenario.tiers[static_cast<std::size_t>(place->row)].vessels.size() > 1;
  analyse.place = *place;
  analyse.keep_only = fields.choice("use", one_of_several ? "keep" : "set") == "keep";
  return analyse;
}

std::optional<Action> read_lose(Draft& draft, Fields& fields) {
  const auto from = read_place(draft, fields, "from");
  const auto amount = read_one_of(draft, fields, {"volume", "share"});
  const std::string cause = fields.choice("cause", "other");
  if (!from || !amount) return std::nullopt;
  return Lose{*from, *amount, cause};
}

struct Verb {
  const char* name;
  std::optional<Action> (*read)(Draft&, Fields&);
};
constexpr Verb kVerbs[] = {{"add", read_add}, {"draw", read_draw}, {"move", read_move}, {"refill", read_refill},
                           {"dose", read_dose_entry}, {"gauge", read_gauge}, {"analyse", read_analyse}, {"lose", read_lose}};

/// The verb of an entry, looked up before its keys can be checked.
const Node* verb_of(const Node& node) {
  for (const auto& [key, value] : node.entries)
    if (key.text == "do" && value.kind == Node::Kind::scalar) return &value;
  return nullptr;
}

void read_entry(Draft& draft, const Node& node) {
  const auto report = [&](At at, std::string what, std::string hint) {
    draft.problems.push_back({at, std::move(what), "do: " + listed(keys::verbs()), std::move(hint)});
  };
  if (node.kind != Node::Kind::map) return report(node.at, "an entry of the log is a map of keys and values", "");
  const Node* verb = verb_of(node);
  if (verb == nullptr) return report(node.at, "this entry of the log has no verb", "");
  const Section* section = keys::entry(verb->text);
  if (section == nullptr) {
    const std::string near = nearest(verb->text, keys::verbs());
    return report(verb->at, "unknown verb '" + verb->text + "'", near.empty() ? "" : "did you mean '" + near + "'?");
  }
  Fields fields(node, *section, draft.problems);
  const auto date = fields.date("date");
  Entry entry;
  entry.at = node.at;
  entry.note = fields.text("note");
  entry.ref = fields.text("ref");
  for (const Verb& known : kVerbs)
    if (verb->text == known.name)
      if (auto action = known.read(draft, fields); action && date) {
        entry.date = *date;
        entry.action = std::move(*action);
        draft.scenario.log.push_back(std::move(entry));
      }
}

}  // namespace

std::optional<Dose> read_dose(Draft& draft, Fields& fields) {
  Dose dose;
  dose.at = fields.at();
  if (const std::string tier = fields.text("tier", "all"); tier != "all") {
    dose.place = read_place(draft, fields, "tier");
    if (!dose.place) return std::nullopt;
    if (dose.place->vessel >= 0) fields.report(fields.at("tier"), "a dose goes into a tier or a tank, since the vessels of a tier hold the same wine", "a tier, a tank, or all");
  }
  std::vector<std::string> given;
  for (const char* key : {"so2", "metabisulfite", "to"})
    if (fields.has(key)) given.emplace_back(key);
  if (given.size() != 1) {
    fields.report(fields.at(), given.empty() ? "the dose does not say how much" : "the dose says how much in two ways", "one of so2, metabisulfite, to");
    return std::nullopt;
  }
  if (given[0] == "to") {
    Fields to(*fields.find("to"), keys::dose_to(), draft.problems);
    if (to.is_map() && to.has("free") == to.has("molecular")) to.report(to.at(), "the level wanted is not clear", "one of free, molecular");
    dose.kind = to.has("free") ? Dose::Kind::to_free : Dose::Kind::to_molecular;
    dose.value = to.quantity(to.has("free") ? "free" : "molecular");
  } else {
    dose.kind = given[0] == "so2" ? Dose::Kind::plain : Dose::Kind::metabisulfite;
    dose.value = fields.quantity(given[0]);
  }
  return is_known(dose.value) ? std::optional(dose) : std::nullopt;
}

void read_log(Draft& draft, Fields& top) {
  for (const Node* node : top.list("log")) read_entry(draft, *node);
}

}  // namespace tierce
