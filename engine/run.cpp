#include "engine/run.h"

#include <charconv>
#include <cmath>

#include "engine/ageing.h"

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

void book(Run& run, Flow flow, const Parcelled& part) {
  Flows& flows = run.out.flows;
  flows.litres.row(flow) += part.litres;
  flows.alcohol.row(flow) += part.alcohol;
  flows.solutes.row(flow) += part.solutes;
  run.year().litres[flow] += part.litres.sum();
  run.year().alcohol[flow] += part.alcohol.sum();
}

std::string named(const Run& run, const Place& place) {
  const Scenario& scenario = run.scenario;
  if (scenario.is_tank(place.row)) return "tank '" + scenario.name_of(place.row) + "'";
  if (place.vessel < 0) return "tier '" + scenario.name_of(place.row) + "'";
  const auto& vessels = scenario.tiers[static_cast<std::size_t>(place.row)].vessels;
  return "vessel '" + vessels[static_cast<std::size_t>(place.vessel)].name + "'";
}

/// After wine, sulfur or a reading came in: free SO2 at equilibrium, a new sulfur step.
void settle(Run& run, int row) {
  settle_sulfur(run.now, row);
  restart_sulfur_step(run.now, row);
}

}  // namespace tierce
