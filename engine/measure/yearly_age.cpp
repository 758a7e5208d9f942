#include "engine/measure/yearly_age.h"

#include <algorithm>
#include <cmath>

#include "engine/measure/age.h"

namespace tierce {

AgesOfYear ages_of_year(const Outlook& outlook, int year) {
  double litres = 0.0;
  AgesOfYear ages{0.0, INFINITY, 0.0, INFINITY};
  for (const DrawRecord& draw : outlook.run.draws) {
    if (draw.date.year != year || draw.again) continue;
    const AgeSummary age = age_of(outlook.line, outlook.scenario.clock, draw.wine, draw.day);
    litres += draw.volume_l;
    ages.mean_y += draw.volume_l * age.mean_y;
    ages.mean_at_least_y += draw.volume_l * age.mean_at_least_y;
    ages.youngest_y = is_known(age.youngest_y) ? std::min(ages.youngest_y, age.youngest_y) : kUnknown;
    ages.youngest_at_least_y = std::min(ages.youngest_at_least_y, age.youngest_at_least_y);
  }
  if (litres == 0.0) return {};
  ages.mean_y /= litres;
  ages.mean_at_least_y /= litres;
  return ages;
}

}  // namespace tierce
