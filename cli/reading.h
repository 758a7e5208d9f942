// What the parts of the scenario reader share: the scenario so far and the names it knows.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/fields.h"

namespace tierce {

struct Draft {
  Scenario scenario;
  Problems problems;
};

/// The place that a key names; unknown names are reported with the nearest known one.
std::optional<Place> read_place(Draft& reading, Fields& fields, const std::string& key);
/// The place that a text names.
std::optional<Place> find_place(Draft& reading, const std::string& name, At at, const std::string& key);
/// The index of the lot that a key names.
std::optional<int> read_lot_name(Draft& reading, Fields& fields, const std::string& key);
Composition read_wine(Draft& reading, Fields& fields);
Cost read_cost(Fields& fields);
std::optional<SulfurLoss> read_sulfur_loss(Fields& fields);
/// Exactly one of volume, share and bottles.
std::optional<Amount> read_entry_amount(Fields& fields);
std::optional<Dose> read_dose(Draft& reading, Fields& fields);

void read_log(Draft& reading, Fields& top);
void read_habit(Draft& reading, Fields& top);

}  // namespace tierce
