// What rules on wood and on days ask, whatever clock the scenario has.
#include <algorithm>
#include <cmath>

#include "engine/rules/label_facts.h"

namespace tierce {
namespace {

/// Day of the last spirit poured into the reserve up to the wine's day; nothing if there was none.
std::optional<int> last_spirit_day(const Timeline& line, const DrawRecord& wine) {
  std::optional<int> day;
  for (const Event& event : line.events)
    if (std::holds_alternative<Fortify>(event.act) && event.day <= wine.day) day = event.day;
  return day;
}

/// The day from which a part has certainly been in the tiers; none where it is still in a tank.
std::optional<double> in_since_day(const Parcel& parcel) {
  if (parcel.outside) return std::nullopt;
  if (parcel.entered_known) return day_number(parcel.entered);
  return is_known(parcel.older_than_day) ? parcel.older_than_day : parcel.zero_day;
}

}  // namespace

Scenario by_the_wood(const Scenario& scenario) {
  Scenario changed = scenario;
  if (scenario.clock == Clock::wood) return changed;
  changed.clock = Clock::wood;
  for (Opening& opening : changed.opening)
    for (Opening::Part& part : opening.parts) part.age_years = kUnknown;
  for (Lot& lot : changed.lots)
    for (BroughtPart& part : lot.brought) {
      part.age_when_drawn_y = kUnknown;
      part.at_least_y = 0.0;
      if (!is_known(part.older_than_day)) part.older_than_day = is_known(part.zero_day) ? part.zero_day : 0.0;
    }
  return changed;
}

InWood time_in_wood(const Timeline& line, const DrawRecord& wine) {
  const AgeSummary age = age_of(line, Clock::wood, wine.wine, wine.day);
  InWood wood{age.youngest_y, age.youngest_at_least_y, kUnknown};
  double latest_day = last_spirit_day(line, wine).value_or(-1);
  for (const Share& share : shares_of(line, Clock::wood, wine.wine, wine.day)) {
    const auto since = in_since_day(line.parcels[static_cast<std::size_t>(share.parcel)]);
    if (!since) return wood;
    latest_day = std::max(latest_day, *since);
  }
  wood.least_since_spirit_y = (wine.day - latest_day) / 365.0;
  return wood;
}

bool asks_for_wood(const std::string& quantity) { return quantity == "time in wood" || quantity == "since the spirit"; }

double days_from_year(int year, const Date& day) { return day_number(day) - day_number_of_new_year(year); }

}  // namespace tierce
