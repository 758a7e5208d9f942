// Free SO2 reckoned three times side by side (design decision 13): low, planned, high. Where acetaldehyde is known, the
// planned and the high one take it as the only binder, and the low one adds keto acids, galacturonic acid and glucose;
// where it is not, they differ by the share of an addition that binds. Only the planned one decides what is weighed.
#pragma once

#include "engine/run/stock.h"

namespace tierce {

/// The share of an addition that binds where no binder is known. `low` is that of the low reckoning, the largest. Wine
/// of unknown sugar is taken as sweet.
SulfurRange binding_shares(const Scenario& scenario, double sugar_g_l);

/// Free SO2 and what binds it in a wine as it is stated, mg/L. A measured free SO2 is believed: where free, total and
/// acetaldehyde are all stated, it tells how much of the acetaldehyde binds.
struct StatedBinding {
  double acetaldehyde_mg_l = kUnknown;
  double free_low_mg_l = kUnknown, free_high_mg_l = kUnknown;
  Binders low;
};
StatedBinding stated_binding(const Composition& wine);

/// True if free, total and acetaldehyde cannot all be right: what binds, by the free, is more than a fifth away from
/// what is stated. A fifth is our choice, after what titrations of either differ by.
bool contradicts_itself(const Composition& wine);

/// Binders of the low reckoning in so many litres, mg/L. `held`: the amounts of a row.
Binders low_binders(const double* held, double litres);

/// Free SO2 of the low reckoning at equilibrium, mg.
double low_free_mg(const double* held, double litres);

/// Three reckonings in order: after a reading the low and the planned one may change places, since more binders also
/// give more back. Unknown ends where any of them is.
SulfurRange in_order(double low, double planned, double high);
/// Free SO2 of an amount of wine, mg/L.
SulfurRange free_so2_mg_l(const double* held, double litres);
inline SulfurRange free_so2_mg_l(const Stock& stock, int row) {
  return free_so2_mg_l(stock.solutes.row(row).data(), stock.volume[row]);
}

/// SO2 of a row at one moment, mg/L, with what tells how much of it protects.
struct SulfurNow {
  SulfurRange free_mg_l{};
  double total_mg_l = kUnknown;
  double acetaldehyde_mg_l = kUnknown;
  double ph = kUnknown;
  double alcohol_pct = kUnknown;
  double sugar_g_l = kUnknown;
  double sulfate_g_l = kUnknown;  // as potassium sulfate
  Binders low{};                  // of the low reckoning
};
SulfurNow sulfur_of(const double* held, double litres, double ph, double alcohol_pct);
inline SulfurNow sulfur_of(const Stock& stock, int row) {
  return sulfur_of(stock.solutes.row(row).data(), stock.volume[row], stock.ph(row), stock.alcohol_pct(row));
}

/// Molecular SO2 of a wine, mg/L, on the scale of a pK; unknown where free SO2, pH or strength is.
SulfurRange molecular_so2_mg_l(const Scenario& scenario, const SulfurNow& now, PkChoice scale);
inline SulfurRange molecular_so2_mg_l(const Scenario& scenario, const SulfurNow& now) {
  return molecular_so2_mg_l(scenario, now, scenario.so2_pk);
}

}  // namespace tierce
