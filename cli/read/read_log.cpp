// The log of the scenario file: one function for each verb.
#include <algorithm>

#include "cli/read/corrections.h"
#include "cli/read/reading.h"
#include "cli/read/slips.h"
#include "cli/read/suggest.h"

namespace tierce {
namespace {

std::optional<Action> read_add(Draft& draft, Fields& fields) {
  const auto lot = read_lot_name(draft, fields, "lot");
  const auto to = read_place(draft, fields, "to");
  const double litres = fields.quantity("volume");
  if (!lot || !to || !is_known(litres)) return std::nullopt;
  return Add{*lot, fields.at("lot"), *to, Amount{fields.at("volume"), Amount::Kind::litres, litres, 0.0}};
}

std::optional<Action> read_move(Draft& draft, Fields& fields) {
  const auto from = read_place(draft, fields, "from");
  const auto to = read_place(draft, fields, "to");
  const auto amount = read_one_of(fields, {"volume", "share"});
  if (!from || !to || !amount) return std::nullopt;
  return Move{*from, *to, *amount};
}

std::optional<Action> read_refill(Draft& draft, Fields& fields) {
  Refill refill;
  const auto sources = fields.given({"lot", "from"});
  if (sources.size() != 1)
    fields.report(sources.empty() ? fields.at() : fields.at("from"),
                  sources.empty() ? "the refill does not say with what" : "'lot' and 'from' are both given",
                  "one of lot, from");
  const auto lot = read_lot_name(draft, fields, "lot");
  if (fields.has("from")) refill.from = read_tank(draft, fields, "from", "wine passes from tier to tier by itself");
  refill.order = fields.choice("order", "oldest first") == "oldest first" ? RefillOrder::oldest_first
                                                                          : RefillOrder::youngest_first;
  if (fields.has("volume")) refill.volume_l = fields.quantity("volume");
  if (sources.size() != 1 || (!lot && !refill.from)) return std::nullopt;
  refill.lot = lot.value_or(-1);
  refill.lot_at = fields.at("lot");
  return refill;
}

std::optional<Action> read_dose_entry(Draft& draft, Fields& fields) {
  const Harmless harmless(draft.problems);
  if (auto dose = read_dose(draft, fields)) return *dose;
  draft.trust.wines = false;
  return std::nullopt;
}

/// Vessel by vessel: {F1: 221 L, F2: 219 L}.
void read_gauge_map(Draft& draft, Fields& fields, Gauge& gauge) {
  const Node& read = *fields.find("gauge");
  if (read.kind == Node::Kind::map && read.entries.empty())
    fields.report(read.at, "'gauge' names no vessel", "as in {F1: 221 L, F2: 219 L}");
  for (const auto& [name, litres] : fields.quantities("gauge", Measure::volume, {0.0, kLargestAmount, false}))
    if (const auto place = find_place(draft, name->text, name->at, "gauge")) gauge.read_l.emplace_back(*place, litres);
}

std::optional<Action> read_gauge(Draft& draft, Fields& fields) {
  const char* const kWays = "tier and volume; gauge: {F1: 221 L, F2: 219 L}; or wet, by dip";
  Gauge gauge;
  gauge.temperature_c = fields.quantity("at");
  {
    const Harmless harmless(draft.problems);
    read_gauge_error(fields, gauge);
  }
  const auto ways = fields.given({"volume", "gauge", "wet"});
  if (ways.size() > 1 || (fields.has("gauge") && fields.has("tier")))
    fields.report(fields.at(ways.size() > 1 ? ways[1] : "tier"),
                  "'" + (ways.size() > 1 ? ways[0] : "tier") + "' and '" + ways.back() + "' are both given", kWays);
  if (fields.has("gauge")) {
    read_gauge_map(draft, fields, gauge);
    return gauge;
  }
  if (fields.has("wet")) {
    read_dips(draft, fields, gauge);
    return gauge.read_l.empty() ? std::nullopt : std::optional<Action>(gauge);
  }
  const auto place = read_place(draft, fields, "tier");
  const double litres = fields.quantity("volume");
  if (!fields.has("tier") || !fields.has("volume")) {
    fields.report(fields.at(), "the gauge does not say what was measured", kWays);
    return std::nullopt;
  }
  if (!place || !is_known(litres)) return std::nullopt;
  gauge.read_l.emplace_back(*place, litres);
  return gauge;
}

std::optional<Action> read_analyse(Draft& draft, Fields& fields) {
  const Harmless harmless(draft.problems);  // of litres; what it found is looked after here
  const auto place = read_place(draft, fields, "tier");
  Analyse analyse;
  const int before = draft.problems.unread;
  analyse.found = read_wine(draft, fields);
  if (draft.problems.unread > before || !place) draft.trust.wines = false;
  else if (says_nothing(analyse.found))
    fields.report(fields.at(), "the analysis reports nothing",
                  "at least one of alcohol, sugar, acidity, va, pH, so2, acetaldehyde, pyruvic, oxoglutaric, "
                  "galacturonic, sulfate");
  analyse.method = fields.text("method");
  analyse.laboratory = fields.text("laboratory");
  analyse.error = fields.text("error");
  if (!place) return std::nullopt;
  const bool one_of_several =
      place->vessel >= 0 && draft.scenario.tiers[static_cast<std::size_t>(place->row)].vessels.size() > 1;
  analyse.place = *place;
  analyse.keep_only = fields.choice("use", one_of_several ? "keep" : "set") == "keep";
  if (fields.has("leave out")) {
    analyse.leave_out = fields.choice("leave out", "no") == "yes";
    if (place->vessel < 0 || !analyse.keep_only)
      fields.report(fields.at("leave out"), "'leave out' marks one vessel, whose own analysis is kept",
                    "tier: the vessel, with use: keep");
  }
  return analyse;
}

std::optional<Action> read_lose(Draft& draft, Fields& fields) {
  const auto from = read_place(draft, fields, "from");
  const auto amount = read_one_of(fields, {"volume", "share"});
  const Harmless harmless(draft.problems);
  const std::string cause = fields.choice("cause", "other");
  if (!from || !amount) return std::nullopt;
  return Lose{*from, *amount, cause};
}

/// Where spirit or water goes, how much of it or to which strength.
struct Strengthening {
  std::optional<Place> place;
  std::optional<double> volume_l;
  double to_pct = kUnknown;
  bool whole = false;
};

Strengthening read_strengthening(Draft& draft, Fields& fields) {
  Strengthening read;
  const auto places = fields.given({"tier", "tank"});
  const auto amounts = fields.given({"volume", "to"});
  if (places.size() != 1)
    fields.report(places.empty() ? fields.at() : fields.at("tank"),
                  places.empty() ? "this entry does not say where" : "'tier' and 'tank' are both given",
                  "one of tier, tank");
  else
    read.place = read_row(draft, fields, places[0],
                          "spirit or water goes into a tier or a tank: the vessels of a tier hold the same wine");
  if (amounts.size() != 1) {
    fields.report(amounts.empty() ? fields.at() : fields.at("to"),
                  amounts.empty() ? "this entry does not say how much" : "'volume' and 'to' are both given",
                  "one of volume, to");
    return read;
  }
  const double value = fields.quantity(amounts[0]);
  if (amounts[0] == "volume") read.volume_l = value;
  else read.to_pct = value;
  read.whole = read.place && is_known(value);
  return read;
}

std::optional<int> read_spirit_name(Draft& draft, Fields& fields) {
  const std::string name = fields.text("spirit");
  if (name.empty()) return std::nullopt;
  const auto found = draft.spirits.known.find(name);
  if (found != draft.spirits.known.end()) return found->second;
  if (!draft.spirits.complete) ++draft.problems.unread;
  else
    fields.report(fields.at("spirit"), "'spirit': there is no spirit '" + name + "'",
                  draft.spirits.in_order.empty() ? "a spirit stated under 'spirits'"
                                                 : "spirits: " + listed_briefly(draft.spirits.in_order),
                  did_you_mean(nearest(name, draft.spirits.in_order)));
  return std::nullopt;
}

std::optional<Action> read_fortify(Draft& draft, Fields& fields) {
  const auto spirit = read_spirit_name(draft, fields);
  const Strengthening read = read_strengthening(draft, fields);
  if (!spirit || !read.whole) return std::nullopt;
  Fortify fortify;
  fortify.place = *read.place;
  fortify.spirit = *spirit;
  fortify.volume_l = read.volume_l;
  fortify.to_pct = read.to_pct;
  fortify.at = fields.at();
  return fortify;
}

std::optional<Action> read_reduce(Draft& draft, Fields& fields) {
  const Strengthening read = read_strengthening(draft, fields);
  if (!read.whole) return std::nullopt;
  Reduce reduce;
  reduce.place = *read.place;
  reduce.volume_l = read.volume_l;
  reduce.to_pct = read.to_pct;
  reduce.at = fields.at();
  return reduce;
}

struct Verb {
  const char* name;
  std::optional<Action> (*read)(Draft&, Fields&);
};
constexpr Verb kVerbs[] = {{"add", read_add},           {"draw", read_draw},       {"move", read_move},
                           {"refill", read_refill},     {"dose", read_dose_entry}, {"gauge", read_gauge},
                           {"analyse", read_analyse},   {"lose", read_lose},       {"fortify", read_fortify},
                           {"reduce", read_reduce},     {"bottle", read_bottle},   {"bring in", read_bring_in},
                           {"take out", read_take_out}, {"set", read_set}};

/// The verb of an entry, which must be known before its keys can be checked; a misspelt one is reported and read as
/// the one that was meant. Empty if there is none, or none that anybody can guess.
std::string verb_of(Draft& draft, const Node& node) {
  Problems reported_later;
  const Fields fields(node, keys::any_entry(), reported_later);
  const Node* verb = fields.find("do");
  if (verb == nullptr || verb->kind != Node::Kind::scalar || verb->reported) return "";
  if (keys::entry(verb->text) != nullptr) return verb->text;
  const std::string near = nearest(verb->text, keys::verbs());
  draft.problems.add({verb->at, "unknown verb '" + verb->text + "'", "do: " + listed(keys::verbs()), did_you_mean(near),
                      !near.empty()});
  return near;
}

std::optional<Entry> read_entry(Draft& draft, const Node& node) {
  Entry entry;
  entry.at = node.at;
  const bool map = node.kind == Node::Kind::map && !node.reported;
  if (!map && !node.reported) {
    const bool empty = node.kind == Node::Kind::nothing;
    draft.problems.add(
        {node.at,
         "an entry of the log is " + (empty ? "empty" : "written as keys with values, not as " + kind_text(node)),
         "as in {date: 2027-02-10, do: draw, from: floor, volume: 220 L}"});
    return std::nullopt;
  }
  const std::string verb = map ? verb_of(draft, node) : "";
  const Section* section = keys::entry(verb);
  Fields fields(node, section != nullptr ? *section : keys::any_entry(), draft.problems);
  if (!fields.is_map()) return std::nullopt;
  const auto date = fields.date("date");
  if (section == nullptr) fields.text("do");
  entry.entered = read_entered(fields, date);
  {
    const Harmless harmless(draft.problems);
    entry.note = fields.text("note");
    entry.ref = fields.text("ref");
  }
  for (const Verb& known : kVerbs)
    if (verb == known.name)
      if (auto action = known.read(draft, fields); action && date) {
        entry.date = *date;
        entry.action = std::move(*action);
        return entry;
      }
  return std::nullopt;
}

/// Adds an entry to the log as it is known: what came later, and what was taken back, is left out.
void take_entry(Draft& draft, const Corrections& corrections, const Node& node) {
  if (!corrections.knows(node)) {
    ++draft.scenario.as_known->entries_left_out;
    return;
  }
  const auto word = corrections.last_word(node);
  if (word && word->not_done) return;
  auto entry = read_entry(draft, word ? *word->node : node);
  if (!entry) return;
  remark_if_double(draft, word ? *word->node : node);
  if (word) {
    Problems reported_already;
    Fields as_written(node, keys::any_entry(), reported_already);
    entry->at = node.at;
    entry->corrected = true;
    entry->first_date = as_written.date("date");
  }
  draft.scenario.log.push_back(std::move(*entry));
}

/// Entries that a correction moved to another day come behind those of that day.
void move_corrected(std::vector<Entry>& log) {
  const auto stays = [](const Entry& entry) { return !entry.first_date || *entry.first_date == entry.date; };
  const auto earlier = [](const Entry& a, const Entry& b) { return a.date < b.date; };
  const auto first_moved = std::stable_partition(log.begin(), log.end(), stays);
  std::stable_sort(first_moved, log.end(), earlier);
  std::inplace_merge(log.begin(), first_moved, log.end(), earlier);
}

}  // namespace

std::optional<Amount> read_one_of(Fields& fields, const std::vector<std::string>& keys) {
  const auto given = fields.given(keys);
  if (given.empty()) fields.report(fields.at(), "this entry does not say how much", "one of " + listed(keys));
  else if (given.size() > 1)
    fields.report(fields.at(given[1]), "'" + given[0] + "' and '" + given[1] + "' are both given",
                  "one of " + listed(keys));
  if (given.size() != 1) return std::nullopt;
  Amount amount;
  if (given[0] == "bottles") {
    const std::string written = fields.text("bottles");
    if (written.empty()) return std::nullopt;
    const auto read = read_bottles(written);
    if (const auto* misread = std::get_if<Misread>(&read)) {
      fields.report(fields.at("bottles"), *misread, "bottles");
      return std::nullopt;
    }
    amount = std::get<Amount>(read);
  } else {
    amount.kind = given[0] == "share" ? Amount::Kind::share : Amount::Kind::litres;
    amount.value = fields.quantity(given[0]);
  }
  amount.at = fields.at(given[0]);
  return is_known(amount.value) ? std::optional(amount) : std::nullopt;
}

std::optional<Dose> read_dose(Draft& draft, Fields& fields) {
  Dose dose;
  dose.at = fields.at();
  const bool all =
      !fields.has("tier") || (fields.find("tier")->kind == Node::Kind::scalar && fields.find("tier")->text == "all");
  if (!all)
    dose.place =
        read_row(draft, fields, "tier", "a dose goes into a tier or a tank: the vessels of a tier hold the same wine");
  const std::vector<std::string> ways = {"so2", "metabisulfite", "to"};
  const auto given = fields.given(ways);
  if (given.size() != 1) {
    const std::string what =
        given.empty() ? "the dose does not say how much" : "'" + given[0] + "' and '" + given[1] + "' are both given";
    fields.report(given.empty() ? fields.at() : fields.at(given[1]), what, "one of " + listed(ways));
    return std::nullopt;
  }
  if (given[0] == "to") {
    Fields to(*fields.find("to"), keys::dose_to(), draft.problems);
    const bool both = to.has("free") && to.has("molecular");
    if (both) to.report(to.at("molecular"), "'free' and 'molecular' are both given", "one of free, molecular");
    else if (to.is_map() && to.given({"free", "molecular"}).empty())
      to.report(to.at(), "the level wanted is not stated", "one of free, molecular");
    dose.kind = to.has("free") ? Dose::Kind::to_free : Dose::Kind::to_molecular;
    dose.value = to.quantity(to.has("free") ? "free" : "molecular");
  } else {
    dose.kind = given[0] == "so2" ? Dose::Kind::plain : Dose::Kind::metabisulfite;
    dose.value = fields.quantity(given[0]);
  }
  if (const Node* most = fields.find("at most")) {
    Fields limit(*most, keys::dose_limit(), draft.problems);
    const double total = limit.quantity("total");
    if (!is_known(total)) return std::nullopt;
    dose.at_most_total_mg_l = total;
  }
  return is_known(dose.value) && (all || dose.place) ? std::optional(dose) : std::nullopt;
}

std::optional<Date> read_entered(Fields& fields, const std::optional<Date>& date) {
  auto entered = fields.date("entered");
  if (entered && date && *entered < *date) {
    fields.report(fields.at("entered"), "'entered' is before the day of the entry", "a day from " + iso_text(*date));
    entered.reset();
  }
  return entered;
}

void read_log(Draft& draft, Fields& top) {
  const auto nodes = top.list("log");
  const int before_all = draft.problems.unread;
  const Corrections corrections(draft, nodes);
  bool whole = draft.problems.unread == before_all;
  for (const Node* node : nodes) {
    if (Corrections::is_one(*node)) continue;
    const int before = draft.problems.unread;
    take_entry(draft, corrections, *node);
    whole = whole && draft.problems.unread == before;
    if (whole) draft.trust.log_entries = draft.scenario.log.size();
  }
  if (whole) move_corrected(draft.scenario.log);
}

}  // namespace tierce
