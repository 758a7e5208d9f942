// Words and sums that the report of a refresh and the sheet share.
#pragma once

#include <string>

#include "cli/report/refresh/refresh_work.h"
#include "cli/write/write.h"

namespace tierce {

/// An empty tank into which wine can be pulled to be gauged: one tier at a time, since tiers hold different wine, and
/// only a tier that goes in whole even if it holds more than expected.
struct PullTo {
  std::string name;   // of the tank
  std::string which;  // "all", "one tier at a time", "nursery"
  double capacity_l = 0.0;
};
std::vector<PullTo> tanks_to_pull_to(const Refresh& refresh);

std::string litres_of(double volume_l, Units units);  // to 0.1 L or 0.1 gal
std::string grams_of(double grams);                   // "57.7 g"
double salt_of(const Refresh& refresh, double so2_g);
/// Sums of a run's doses by row, grams of SO2.
double so2_into(const std::vector<DoseRecord>& doses, int row);
std::vector<DoseRecord> doses_of(const Refresh& refresh);

/// "20 % of floor = 254.7 L for Bottling 2027"
std::string draw_text(const Refresh& refresh, const DrawRecord& draw, Units units);
/// "339 x 750 mL and 0.45 L left"
std::string bottles_text(const BottleCount& count, Units units);

}  // namespace tierce
