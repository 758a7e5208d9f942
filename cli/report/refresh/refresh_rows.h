// What a refresh comes to, row by row, as text, JSON and CSV describe it.
#pragma once

#include <string>
#include <vector>

#include "cli/report/refresh/refresh_work.h"
#include "cli/report/wine_rows.h"
#include "cli/write/field.h"

namespace tierce {

/// A part of a refresh, with the whole of it.
template <class Part>
struct InRefresh {
  const Refresh* refresh;
  const Part* part;

  const std::string& tier() const { return refresh->plan.base.name_of(part->row); }
};
template <class Part>
std::vector<InRefresh<Part>> parts_in(const Refresh& refresh, const std::vector<Part>& parts) {
  std::vector<InRefresh<Part>> rows;
  for (const Part& part : parts) rows.push_back({&refresh, &part});
  return rows;
}
extern const Shape<InRefresh<TierDay>> kPlannedTier;

/// A vessel of a tier that takes part; the tier's name stands beside the first one.
struct PlannedVessel : InRefresh<TierVessels> {
  const VesselDay* vessel;
};
std::vector<PlannedVessel> planned_vessels(const Refresh& refresh);
extern const Shape<PlannedVessel> kPlannedVessel;

/// A wine before or after the day, or drawn that day.
struct WineThen {
  std::string what;
  const Outlook* outlook;
  Parcelled wine;
  double volume_l, ph;
  int day;

  WineNow now() const { return {outlook, &wine, volume_l, ph, day}; }
};
std::vector<WineThen> wines_of_day(const Refresh& refresh);
extern const Shape<WineThen> kWineThen;

extern const Shape<WineOrder> kWineOrder;
extern const Shape<SpiritSum> kSpiritSum;
extern const Shape<OrderSum> kOrderSum;
extern const Shape<Refresh> kRefreshOutput;

}  // namespace tierce
