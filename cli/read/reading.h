// What the parts of the scenario reader share: the scenario so far and the names it knows.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "cli/read/fields.h"
#include "cli/read/read_scenario.h"

namespace tierce {

/// Names of one kind, each with what it stands for, and the hint for those that are not known.
template <class T>
struct Names {
  std::map<std::string, T> known;
  std::vector<std::string> in_order;
  std::map<std::string, std::string> hints;  // of unknown names, so that each is looked for once
  bool complete = true;                      // false: one could not be read, so that an unknown name proves nothing

  void learn(const std::string& name, const T& what) {
    if (name.empty()) complete = false;
    else if (known.emplace(name, what).second) in_order.push_back(name);
  }
};

struct Draft {
  Scenario scenario;
  Problems problems;
  Names<Place> places;  // tiers, tanks and vessels
  Names<int> lots;      // index into Scenario::lots
  Names<int> spirits;   // index into Scenario::spirits
  Trust trust;
  std::optional<Date> known_on;              // the log is read as it stood on this day
  std::map<std::string, At> entries_seen{};  // each as one text, and where it stands first (slips.h)
};

/// The place that a key names; unknown names are reported with the nearest known one.
std::optional<Place> read_place(Draft& draft, Fields& fields, const std::string& key);
/// The same for a tier or a tank as a whole; `why` says what is wrong with a vessel of a tier.
std::optional<Place> read_row(Draft& draft, Fields& fields, const std::string& key, const std::string& why);
/// The place that a text names.
std::optional<Place> find_place(Draft& draft, const std::string& name, At at, const std::string& key);
/// The index of the lot that a key names.
std::optional<int> read_lot_name(Draft& draft, Fields& fields, const std::string& key);
Composition read_wine(Draft& draft, Fields& fields);
Cost read_cost(Fields& fields);
std::optional<SulfurLoss> read_sulfur_loss(Fields& fields);
std::optional<Dose> read_dose(Draft& draft, Fields& fields);
/// The tank that a key names; `why`: what to do with a tier instead.
std::optional<Place> read_tank(Draft& draft, Fields& fields, const std::string& key, const std::string& why);
/// Exactly one of these keys (volume, share, bottles).
std::optional<Amount> read_one_of(Fields& fields, const std::vector<std::string>& keys);
std::optional<Action> read_draw(Draft& draft, Fields& fields);
std::optional<Action> read_bottle(Draft& draft, Fields& fields);
std::optional<Action> read_bring_in(Draft& draft, Fields& fields);
std::optional<Action> read_take_out(Draft& draft, Fields& fields);
std::optional<Action> read_set(Draft& draft, Fields& fields);
void read_evaporation(Fields& fields, Evaporation& evaporation);
/// The measures of a cask, or the table of a vessel, from which a dip gives litres.
void read_dip_measures(Fields& fields, double capacity_l, std::optional<CaskShape>& shape, DipTable& table);
/// A gauge by dip: `wet`.
void read_dips(Draft& draft, Fields& fields, Gauge& gauge);
void read_gauge_error(Fields& fields, Gauge& gauge);
/// The day on which an entry came into the book, if it says so: not before `date`, the day of the entry.
std::optional<Date> read_entered(Fields& fields, const std::optional<Date>& date);
/// `none`, where a key allows it.
bool says_none(const Node& node);

void read_tiers_and_tanks(Draft& draft, Fields& top);
void read_lots(Draft& draft, Fields& top);
void read_spirits(Draft& draft, Fields& top);
void read_opening(Draft& draft, Fields& top);
void read_log(Draft& draft, Fields& top);
void read_habit(Draft& draft, Fields& top);

}  // namespace tierce
