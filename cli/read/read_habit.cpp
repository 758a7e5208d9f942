// The habit of the scenario file: one routine or several, with the years that differ.
#include <algorithm>
#include <cmath>

#include "cli/read/reading.h"
#include "cli/read/suggest.h"

namespace tierce {
namespace {

void read_habit_draw(Fields& fields, HabitDay& day) {
  const Node* node = fields.find("draw");
  if (node == nullptr) return;
  day.draw.reset();
  if (says_none(*node)) return;
  const std::string written = fields.text("draw");
  if (written.empty()) return;
  const auto read = read_amount(written);
  if (const auto* misread = std::get_if<Misread>(&read)) {
    const bool no = written == "no" || written == "nothing" || written == "nil";
    return fields.report(node->at,
                         Misread{misread->what, misread->allowed, no ? "did you mean 'none'?" : misread->hint}, "draw");
  }
  day.draw = std::get<Amount>(read);
  day.draw->at = node->at;
}

void no_changes_of_a_named_lot(Fields& refill) {
  for (const std::string& key : refill.given({"alcohol", "sugar", "acidity", "va", "pH", "so2", "acetaldehyde",
                                              "pyruvic", "oxoglutaric", "galacturonic", "sulfate", "cost"}))
    refill.report(refill.at(key), "'" + key + "' cannot change a lot that is named", "these keys with 'like' only");
}

void read_habit_refill(Draft& draft, Fields& fields, HabitDay& day) {
  const Node* node = fields.find("refill");
  if (node == nullptr) return;
  day.refill = {};
  day.refill.at = node->at;
  if (says_none(*node)) return;
  if (node->kind == Node::Kind::scalar)
    return fields.report(node->at, "'refill' cannot be " + kind_text(*node), "{like: LOT}, {lot: LOT} or none");
  Fields refill(*node, keys::habit_refill(), draft.problems);
  if (!refill.is_map()) return;
  const bool like = refill.has("like");
  if (like == refill.has("lot"))
    refill.report(refill.at(), like ? "'like' and 'lot' are both given" : "the refill does not say with what",
                  "one of like (a new lot each harvest) and lot (always this lot)");
  const auto lot = like == refill.has("lot") ? std::nullopt : read_lot_name(draft, refill, like ? "like" : "lot");
  if (refill.has("volume")) day.refill.volume_l = refill.quantity("volume");
  if (refill.has("order"))
    day.refill.order = refill.choice("order", "oldest first") == "oldest first" ? RefillOrder::oldest_first
                                                                                : RefillOrder::youngest_first;
  day.refill.changed = read_wine(draft, refill);
  day.refill.cost = read_cost(refill);
  if (refill.has("lot") && !like) no_changes_of_a_named_lot(refill);
  if (!lot) return;
  day.refill.lot = *lot;
  day.refill.kind = like ? HabitRefill::Kind::like : HabitRefill::Kind::lot;
}

void read_habit_doses(Draft& draft, Fields& fields, HabitDay& day) {
  const Node* node = fields.find("dose");
  if (node == nullptr) return;
  day.doses.clear();
  if (says_none(*node)) return;
  if (node->kind == Node::Kind::scalar)
    return fields.report(node->at, "'dose' cannot be " + kind_text(*node),
                         "{so2: 25 mg/L}, {to: {free: 15 mg/L}} or none");
  const bool several = node->kind == Node::Kind::list;
  for (std::size_t i = 0; i < (several ? node->items.size() : 1); ++i) {
    Fields dose(several ? node->items[i] : *node, keys::dose(), draft.problems);
    if (!dose.is_map()) continue;
    if (const auto read = read_dose(draft, dose)) day.doses.push_back(*read);
  }
}

/// Reads the keys given over what stands already: an exception replaces only what it names.
void read_habit_day(Draft& draft, Fields& fields, HabitDay& day) {
  day.at = fields.at();
  if (fields.has("order")) day.draw_first = fields.choice("order", "draw first") == "draw first";
  read_habit_draw(fields, day);
  if (fields.has("for")) day.name = fields.text("for");
  read_habit_refill(draft, fields, day);
  read_habit_doses(draft, fields, day);
}

/// The first year in which there can be wine; 0 if nothing tells.
int first_year(const Scenario& scenario) {
  int first = 0;
  const auto earlier = [&](int year) { first = year > 0 && (first == 0 || year < first) ? year : first; };
  for (const Lot& lot : scenario.lots) earlier(lot.vintage);
  for (const Opening& opening : scenario.opening) earlier(opening.date.year);
  for (const Entry& entry : scenario.log) earlier(entry.date.year);
  return first;
}

void read_exceptions(Draft& draft, Fields& fields, Routine& routine) {
  const Node* node = fields.find("except");
  if (node == nullptr) return;
  if (node->kind != Node::Kind::map) {
    if (node->reported) ++draft.problems.unread;
    else
      fields.report(node->at, "'except' is written as years with what differs, not as " + kind_text(*node),
                    "as in {2031: {refill: none}}");
    return;
  }
  const int begins = first_year(draft.scenario);
  for (const auto& [key, value] : node->entries) {
    const auto year = read_whole(key.kind == Node::Kind::scalar ? key.text : "", 1, 9999);
    const auto* misread = std::get_if<Misread>(&year);
    HabitDay day = routine.usual;
    Fields differs(value, keys::except(), draft.problems);
    if (misread != nullptr)
      fields.report(key.at, Misread{misread->what, "calendar years, as in 2031", misread->hint}, "except");
    else if (std::get<int>(year) < begins)
      fields.report(key.at, "'except': in the year " + key.text + " there is no wine yet",
                    "calendar years from " + std::to_string(begins),
                    key.text.size() == 2 ? "did you mean '20" + key.text + "'?" : "");
    if (!differs.is_map()) continue;
    read_habit_day(draft, differs, day);
    if (misread == nullptr && !routine.except.emplace(std::get<int>(year), day).second)
      fields.report(key.at, "year " + key.text + " is given twice in 'except'", "each year once");
  }
}

void read_routine(Draft& draft, const Node& node) {
  Fields fields(node, keys::habit(), draft.problems);
  if (!fields.is_map()) return;
  Routine routine;
  routine.at = fields.at();
  routine.day = fields.day_of_year("day");
  routine.from = fields.date("from");
  if (fields.has("every")) {
    const double months = fields.quantity("every");
    routine.every_months = is_known(months) ? static_cast<int>(std::lround(months)) : 0;
    if (std::abs(months - routine.every_months) > 1e-6)
      fields.report(fields.at("every"), "'every' is not a whole number of months", "whole months, 1 or more");
    if (!fields.has("from"))
      fields.report(fields.at("every"), "'every' has no day to count from", "from: a date, as in 2027-02-10");
  }
  if (fields.has("day") && fields.has("every"))
    fields.report(fields.at("every"), "'day' and 'every' are both given",
                  "one of day, as in 10 Feb, and every, as in 6 months");
  if (!fields.has("day") && !fields.has("every"))
    fields.report(fields.at(), "the habit does not say when", "one of day, as in 10 Feb, and every, as in 6 months");
  read_habit_day(draft, fields, routine.usual);
  read_exceptions(draft, fields, routine);
  if (routine.day || (routine.every_months > 0 && routine.from)) draft.scenario.habit.push_back(std::move(routine));
}

}  // namespace

void read_habit(Draft& draft, Fields& top) {
  const Node* node = top.find("habit");
  if (node == nullptr || says_none(*node)) return;
  if (node->kind != Node::Kind::list) return read_routine(draft, *node);
  for (const Node& item : node->items) read_routine(draft, item);
}

}  // namespace tierce
