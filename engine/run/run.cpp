#include "engine/run/run.h"

#include <charconv>
#include <cmath>

#include "engine/run/ageing.h"
#include "engine/run/fast/rows.h"

namespace tierce {

std::string litres_text(double litres) {
  const int decimals = std::abs(litres) < 1.0 ? 3 : std::abs(litres) < 100.0 ? 2 : 1;
  char digits[64];
  const auto end = std::to_chars(digits, digits + sizeof digits, litres, std::chars_format::fixed, decimals);
  std::string text(digits, end.ptr);
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return (text == "-0" ? "0" : text) + " L";
}

void book(Run& run, Flow flow, int row, double share) {
  Flows& flows = run.out.flows;
  const Stock& now = run.now;
  run.year().litres[flow] += add_part(now.litres.row(row).data(), flows.litres.row(flow).data(), now.used, share);
  run.year().alcohol[flow] += add_part(now.alcohol.row(row).data(), flows.alcohol.row(flow).data(), now.used, share);
  flows.solutes.row(flow) += share * now.solutes.row(row);
}

std::string named(const Run& run, const Place& place) {
  const Scenario& scenario = run.scenario;
  if (scenario.is_tank(place.row)) return "tank '" + scenario.name_of(place.row) + "'";
  if (place.vessel < 0) return "tier '" + scenario.name_of(place.row) + "'";
  const auto& vessels = scenario.tiers[static_cast<std::size_t>(place.row)].vessels;
  return "vessel '" + vessels[static_cast<std::size_t>(place.vessel)].name + "'";
}

void note_loss(Run& run, const Place& from, const std::string& cause, double litres, double share_of_row) {
  if (run.keep != Keep::flows)
    run.out.losses.push_back(
        {run.now.date, from.row, from.vessel, cause, litres, share_of_row * run.now.alcohol_l(from.row)});
}

Fault no_vapour_known(const Run& run, int row) {
  const Tier& tier = run.tier(row);
  return {{tier.at, "the strength of what evaporates from tier '" + tier.name + "' cannot be derived from the cellar",
           "wine up to 40 %vol, in air dry enough for water to leave it; or vapour: a strength, as in 10 %vol"},
          row,
          0.0};
}

}  // namespace tierce
