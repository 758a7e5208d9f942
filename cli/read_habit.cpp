// The habit of the scenario file: one routine or several, with the years that differ.
#include "cli/reading.h"
#include "cli/suggest.h"

namespace tierce {
namespace {

bool says_none(const Node& node) { return node.kind == Node::Kind::scalar && node.text == "none"; }

void read_habit_draw(Fields& fields, HabitDay& day) {
  const Node* node = fields.find("draw");
  if (node == nullptr) return;
  day.draw.reset();
  if (says_none(*node)) return;
  const std::string written = fields.text("draw");
  if (written.empty()) return;
  const auto read = read_amount(written, true, true);
  if (const auto* misread = std::get_if<Misread>(&read)) return fields.report(node->at, *misread, "draw");
  Amount amount = std::get<Amount>(read);
  amount.at = node->at;
  const bool too_much = amount.kind == Amount::Kind::share && amount.value > 1.0;
  if (!(amount.value > 0.0) || too_much) fields.report(node->at, "'draw': " + written + " is out of range", "above 0, a share up to 100 %, or none");
  else day.draw = amount;
}

void read_habit_refill(Draft& draft, Fields& fields, HabitDay& day) {
  const Node* node = fields.find("refill");
  if (node == nullptr) return;
  day.refill = {};
  day.refill.at = node->at;
  if (says_none(*node)) return;
  Fields refill(*node, keys::habit_refill(), draft.problems);
  if (!refill.is_map()) return;
  if (refill.has("like") == refill.has("lot")) {
    refill.report(refill.at(), refill.has("like") ? "the refill names a lot in two ways" : "the refill does not say with what", "one of like (a new lot each harvest) and lot");
    return;
  }
  const bool like = refill.has("like");
  const auto lot = read_lot_name(draft, refill, like ? "like" : "lot");
  if (refill.has("volume")) day.refill.volume_l = refill.quantity("volume");
  if (refill.has("order")) day.refill.order = refill.choice("order", "oldest first") == "oldest first" ? RefillOrder::oldest_first : RefillOrder::youngest_first;
  day.refill.changed = read_wine(draft, refill);
  day.refill.cost = read_cost(refill);
  if (!like)
    for (const char* key : {"alcohol", "sugar", "acidity", "va", "pH", "so2", "acetaldehyde", "sulfate", "cost"})
      if (refill.has(key)) refill.report(refill.at(key), "'" + std::string(key) + "' cannot change a lot that is named", "these keys with 'like' only");
  if (!lot) return;
  day.refill.lot = *lot;
  day.refill.kind = like ? HabitRefill::Kind::like : HabitRefill::Kind::lot;
}

void read_habit_doses(Draft& draft, Fields& fields, HabitDay& day) {
  const Node* node = fields.find("dose");
  if (node == nullptr) return;
  day.doses.clear();
  if (says_none(*node)) return;
  std::vector<const Node*> nodes = {node};
  if (node->kind == Node::Kind::list) {
    nodes.clear();
    for (const Node& item : node->items) nodes.push_back(&item);
  }
  for (const Node* item : nodes) {
    Fields dose(*item, keys::dose(), draft.problems);
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

void read_exceptions(Draft& draft, Fields& fields, Routine& routine) {
  const Node* node = fields.find("except");
  if (node == nullptr) return;
  if (node->kind != Node::Kind::map) return fields.report(node->at, "'except' is a map of calendar years", "as in {2031: {refill: none}}");
  for (const auto& [key, value] : node->entries) {
    const auto year = read_whole(key.text, 1, 9999);
    if (const auto* misread = std::get_if<Misread>(&year)) {
      fields.report(key.at, Misread{misread->what, "calendar years", ""}, "except");
      continue;
    }
    HabitDay day = routine.usual;
    Fields differs(value, keys::except(), draft.problems);
    if (!differs.is_map()) continue;
    read_habit_day(draft, differs, day);
    if (!routine.except.emplace(std::get<int>(year), day).second) fields.report(key.at, "year " + key.text + " is given twice in 'except'", "each year once");
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
    routine.every_months = is_known(months) ? static_cast<int>(months) : 0;
    if (is_known(months) && months != routine.every_months) fields.report(fields.at("every"), "'every' is not a whole number of months", "whole months, 1 or more");
    if (!fields.has("from")) fields.report(fields.at("every"), "'every' has no day to count from", "from: a date", "");
  }
  if (fields.has("day") == fields.has("every")) fields.report(fields.at(), "the habit does not say when", "one of day, as in 10 Feb, and every, as in 6 months");
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
