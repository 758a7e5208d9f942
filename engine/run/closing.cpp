#include "engine/run/closing.h"

#include "engine/run/fast/lots.h"

namespace tierce {

void close_year(Run& run, const Date& date) {
  auto& years = run.out.flows.years;
  const int next_year = years[run.year_index].year + 1;
  years.emplace_back().year = next_year;
  YearFlows& year = years[run.year_index++];
  YearFlows& next = run.year();
  year.closed = date;
  LotSums held;
  double sugar_g = 0.0, acid_g = 0.0, volatile_acid_g = 0.0;
  const int rows = run.rows();
  for (int row = 0; row < rows; ++row) {
    const Unwritten& lots = counted(run.now, row);
    const double* const dissolved = run.now.solutes.row(row).data();
    held.litres += lots.litres(row);
    held.alcohol += lots.alcohol(row);
    sugar_g += dissolved[kSugar];
    acid_g += dissolved[kAcid];
    volatile_acid_g += dissolved[kVolatileAcid];
  }
  year.closing_l = held.litres;
  year.closing_alcohol_l = held.alcohol;
  year.sugar_g = sugar_g;
  year.acid_g = acid_g;
  year.volatile_acid_g = volatile_acid_g;
  next.litres[kOpening] = year.closing_l;
  next.alcohol[kOpening] = year.closing_alcohol_l;
}

}  // namespace tierce
