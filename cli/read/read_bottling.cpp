// Draws and bottlings in the log of the scenario file.
#include "cli/read/reading.h"
#include "cli/read/suggest.h"

namespace tierce {
namespace {

std::vector<std::string> tank_names(const Draft& draft) {
  std::vector<std::string> names;
  for (const Tank& tank : draft.scenario.tanks) names.push_back(tank.name);
  return names;
}

Use use_of(const std::string& written) {
  if (written == "bulk") return Use::bulk;
  if (written == "distil") return Use::distil;
  if (written == "vinegar") return Use::vinegar;
  if (written == "own use") return Use::own_use;
  return written == "destroyed" ? Use::destroyed : Use::bottling;
}

}  // namespace

std::optional<Place> read_tank(Draft& draft, Fields& fields, const std::string& key, const std::string& why) {
  const auto place = read_place(draft, fields, key);
  if (!place || draft.scenario.is_tank(place->row)) return place;
  const auto names = tank_names(draft);
  fields.report(fields.at(key), "'" + key + "': '" + fields.text(key) + "' is no tank",
                names.empty() ? "a tank stated under 'tanks'" : "tanks: " + listed_briefly(names), why);
  return std::nullopt;
}

std::optional<Action> read_draw(Draft& draft, Fields& fields) {
  const auto from = read_place(draft, fields, "from");
  const auto amount = read_one_of(fields, {"volume", "share", "bottles"});
  std::optional<Place> to;
  if (fields.has("to")) {
    to = read_tank(draft, fields, "to", "wine passes from tier to tier by 'do: move'");
    if (to && from && draft.scenario.is_tank(from->row))
      fields.report(fields.at("to"), "the draw comes from a tank and goes to a tank", "a draw from a tier",
                    "wine passes from tank to tank by 'do: move'");
  }
  const Harmless harmless(draft.problems);
  const std::string name = fields.text("for");
  const Use use = use_of(fields.choice("use", "bottling"));
  if (!from || !amount || (fields.has("to") && !to)) return std::nullopt;
  return Draw{*from, *amount, name, use, to};
}

std::optional<Action> read_bottle(Draft& draft, Fields& fields) {
  const auto from = read_tank(draft, fields, "from", "wine of a tier is bottled on the day by 'do: draw'");
  const auto bottles = read_one_of(fields, {"bottles"});
  const double loss_l = fields.quantity("loss", 0.0);
  const Harmless harmless(draft.problems);
  const std::string name = fields.text("for");
  if (!from || !bottles || !is_known(loss_l)) return std::nullopt;
  return Bottle{*from, *bottles, loss_l, name};
}

}  // namespace tierce
