#include "engine/wine/sulfur.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "engine/wine/units.h"

namespace tierce {

namespace {

// OIV-MA-AS323-04C annex A 3.2.3, Table II: pKM at ionic strength 0.038. The table's existence and its ionic strength
// were read, its values are quoted from memory; Table I less an extended Debye-Hückel term gives them to 0.001.
constexpr std::array<std::array<double, 5>, 5> kOivMixedPk{{
    {1.723, 1.925, 2.143, 2.257, 2.416},  //  0 %vol at 20, 25, 30, 35, 40 °C
    {1.819, 2.020, 2.220, 2.317, 2.446},  //  5 %vol
    {1.916, 2.116, 2.311, 2.405, 2.522},  // 10 %vol
    {2.014, 2.216, 2.417, 2.520, 2.640},  // 15 %vol
    {2.114, 2.317, 2.538, 2.663, 2.803},  // 20 %vol
}};
constexpr double kTableStep = 5.0;         // %vol and °C
constexpr double kColdestTabled = 20.0;    // °C
constexpr double kWarmestTabled = 40.0;    // °C
constexpr double kStrongestTabled = 20.0;  // %vol
// Heat of the ionisation SO2 + H2O = H+ + HSO3-, J/mol: 3.668 - 21.453 kJ/mol. Goldberg and Parker 1985, J. Res. Natl.
// Bur. Stand. 90:341-358, as the database sit.dat of PHREEQC has it. docs/sources.md [so2-pk-heat].
constexpr double kIonisationJPerMol = -17785.0;
constexpr double kGasConstant = 8.314462618;  // J/(mol K), SI

struct Interval {
  std::size_t index;
  double fraction;  // above 1 beyond the last interval
};

Interval interval_at(double steps) {
  std::size_t index = 0;
  while (index < 3 && steps >= static_cast<double>(index + 1)) ++index;
  return {index, steps - static_cast<double>(index)};
}

// The table at this strength and a temperature of its own range or above.
double tabled_pk(double alcohol_pct, double temperature_c) {
  const auto [row, up] = interval_at(alcohol_pct / kTableStep);
  const Interval across = interval_at((temperature_c - kColdestTabled) / kTableStep);
  const auto along = [&](std::size_t r) {
    return (1.0 - across.fraction) * kOivMixedPk[r][across.index] + across.fraction * kOivMixedPk[r][across.index + 1];
  };
  return (1.0 - up) * along(row) + up * along(row + 1);
}

// van 't Hoff's law with a constant heat: how far a pK lies from its value at 20 °C.
double pk_moved_from_20_c(double temperature_c) {
  return kIonisationJPerMol / (std::log(10.0) * kGasConstant) *
         (1.0 / (temperature_c + kZeroC) - 1.0 / (kColdestTabled + kZeroC));
}

// One entry per binder, in mg of SO2 per litre: what it holds when full, and the free SO2 at which it is half full.
using PerBinder = std::array<double, 5>;
constexpr double half_full_mg_l(BinderConstant binder) { return binder.kd_mmol_l * kSo2GramsPerMole; }
constexpr PerBinder kHalfFull{half_full_mg_l(kAcetaldehyde), half_full_mg_l(kPyruvicAcid),
                              half_full_mg_l(kOxoglutaricAcid), half_full_mg_l(kGalacturonicAcid),
                              half_full_mg_l(kGlucose)};

double capacity_mg_l(double binder_mg_l, BinderConstant binder) {
  return binder_mg_l * (kSo2GramsPerMole / binder.grams_per_mole);
}

PerBinder capacities_mg_l(const Binders& binders) {
  return {capacity_mg_l(binders.acetaldehyde_mg_l, kAcetaldehyde), capacity_mg_l(binders.pyruvic_mg_l, kPyruvicAcid),
          capacity_mg_l(binders.oxoglutaric_mg_l, kOxoglutaricAcid),
          capacity_mg_l(binders.galacturonic_mg_l, kGalacturonicAcid), capacity_mg_l(binders.glucose_mg_l, kGlucose)};
}

double held_by(const PerBinder& capacity_mg_l, double free_mg_l) {
  double bound_mg_l = 0.0;
  for (std::size_t i = 0; i < capacity_mg_l.size(); ++i) {
    bound_mg_l += capacity_mg_l[i] * free_mg_l / (kHalfFull[i] + free_mg_l);
  }
  return bound_mg_l;
}

// slope × free + what the binders hold = supply, to be solved for free. The left side rises from 0 and bends down, so
// there is at most one root, and Newton's steps that start below it never pass it. Equilibrium has slope 1; the steady
// states of a free loss have others.
struct FreeBalance {
  double slope;
  PerBinder capacity_mg_l;
  double supply_mg_l;
};

// At or below the root: every binder but acetaldehyde taken as holding in proportion, as if it never filled.
double start_below_root(const FreeBalance& balance) {
  double slope = balance.slope;
  for (std::size_t i = 1; i < kHalfFull.size(); ++i) slope += balance.capacity_mg_l[i] / kHalfFull[i];
  return free_with_one_binder_mg_l(slope, kHalfFull[0], balance.capacity_mg_l[0], balance.supply_mg_l);
}

// At or above the root: no binder at all; or, with no slope, every binder as loose as the loosest. Infinite: no root.
double start_above_root(const FreeBalance& balance) {
  if (balance.slope > 0.0) return balance.supply_mg_l / balance.slope;
  double all_mg_l = 0.0;
  for (const double capacity_mg_l : balance.capacity_mg_l) all_mg_l += capacity_mg_l;
  if (balance.supply_mg_l >= all_mg_l) return std::numeric_limits<double>::infinity();
  return kHalfFull.back() * balance.supply_mg_l / (all_mg_l - balance.supply_mg_l);
}

// Left side less supply, over its slope.
double newton_step(const FreeBalance& balance, double free_mg_l) {
  double excess = balance.slope * free_mg_l - balance.supply_mg_l;
  double rise = balance.slope;
  for (std::size_t i = 0; i < kHalfFull.size(); ++i) {
    const double filled = 1.0 / (kHalfFull[i] + free_mg_l);
    excess += balance.capacity_mg_l[i] * free_mg_l * filled;
    rise += balance.capacity_mg_l[i] * kHalfFull[i] * filled * filled;
  }
  return excess / rise;
}

// Newton's steps inside a bracket that only shrinks; a step that leaves it is replaced by halving. The relative error
// after a step is at most the square of the one before, so a step below 1e-9 of free is the last that matters.
double bracketed_root(const FreeBalance& balance) {
  double low = 0.0;
  double high = start_above_root(balance);
  if (std::isinf(high)) return high;
  double free_mg_l = std::min(start_below_root(balance), high);
  for (int i = 0; i < 200; ++i) {
    const double step = newton_step(balance, free_mg_l);
    if (std::isnan(step)) return step;  // unknown stays unknown
    (step > 0.0 ? high : low) = free_mg_l;
    const double next = free_mg_l - step;
    if (std::abs(step) <= 1e-9 * free_mg_l) return next;
    free_mg_l = next >= low && next <= high ? next : 0.5 * (low + high);
  }
  return free_mg_l;
}

double root_of(const FreeBalance& balance) {
  const PerBinder& c = balance.capacity_mg_l;
  if (balance.supply_mg_l <= 0.0) return 0.0;
  if (c[1] != 0.0 || c[2] != 0.0 || c[3] != 0.0 || c[4] != 0.0) return bracketed_root(balance);
  if (c[0] == 0.0) return balance.supply_mg_l / balance.slope;
  return free_with_one_binder_mg_l(balance.slope, kHalfFull[0], c[0], balance.supply_mg_l);
}

// 1 - (1-rate)^years, exact for small rates too.
double fraction_lost(double rate, double years) {
  if (years == 0.0) return 0.0;
  return -std::expm1(years * std::log1p(-rate));
}

// Free SO2 is what oxygen meets, so the loss comes from it as far as it goes; bound SO2 then gives way. In this order
// std::max keeps an unknown part unknown.
SulfurState without(SulfurState begin, double lost_mg) {
  if (lost_mg >= total_mg(begin)) return {0.0, 0.0};
  const double from_bound_mg = std::max(lost_mg - begin.free_mg, 0.0);
  return {std::max(begin.free_mg - lost_mg, 0.0), std::max(begin.bound_mg - from_bound_mg, 0.0)};
}

// Total SO2 left of `total_mg_l` after the year's loss, per litre of the volume before evaporation.
double surviving_mg_l(double total_mg_l, SulfurLoss loss, const Binders& binders) {
  return total_mg(after_loss(equilibrate(total_mg_l, 1.0, binders), 1.0, loss, 1.0));
}

// What new wine and dose bring in a year, per litre of the full reserve.
double supply_mg_l(const YearlyCycle& cycle) {
  const double new_wine_fraction = 1.0 - (1.0 - cycle.evaporation_fraction) * (1.0 - cycle.draw_fraction);
  return new_wine_fraction * cycle.new_wine_total_mg_l + cycle.dose_mg_l;
}

// draw × (free + bound) + (1 - draw) × loss × free = supply: what leaves equals what comes.
double steady_free_under_free_loss(const YearlyCycle& cycle, double rate, const Binders& binders) {
  const double draw = cycle.draw_fraction;
  PerBinder capacity_mg_l = capacities_mg_l(binders);
  for (double& c : capacity_mg_l) c *= draw;
  return root_of({draw + (1.0 - draw) * rate, capacity_mg_l, supply_mg_l(cycle)});
}

// Total just after the dose that leaves `drawn_mg_l` in the wine drawn a year later; infinite if none does.
double total_for_draw_mg_l(double drawn_mg_l, const YearlyCycle& cycle, SulfurLoss loss, const Binders& binders) {
  const double kept_mg_l = drawn_mg_l * (1.0 - cycle.evaporation_fraction);
  if (loss.law == SulfurLoss::Law::of_total) return kept_mg_l / (1.0 - loss.rate);
  if (loss.law == SulfurLoss::Law::fixed) return kept_mg_l + loss.rate;
  const double free_mg_l = root_of({1.0 - loss.rate, capacities_mg_l(binders), kept_mg_l});
  return std::isinf(free_mg_l) ? free_mg_l : total_for_free_mg_l(free_mg_l, binders);
}

}  // namespace

Pk so2_pk(PkChoice choice, double alcohol_pct, double temperature_c) {
  if (choice == PkChoice::classic) return {kClassicPk, false};
  const bool beyond = alcohol_pct > kStrongestTabled;
  if (choice == PkChoice::oiv_table && temperature_c >= kColdestTabled)
    return {tabled_pk(alcohol_pct, temperature_c), beyond || temperature_c > kWarmestTabled};
  return {tabled_pk(alcohol_pct, kColdestTabled) + pk_moved_from_20_c(temperature_c), beyond};
}

double molecular_so2_mg_l(double free_mg_l, double ph, double pk) {
  return free_mg_l / (1.0 + std::pow(10.0, ph - pk));
}

double free_for_molecular_mg_l(double molecular_mg_l, double ph, double pk) {
  return molecular_mg_l * (1.0 + std::pow(10.0, ph - pk));
}

double bound_so2_mg_l(double free_mg_l, const Binders& binders) { return held_by(capacities_mg_l(binders), free_mg_l); }

Binders binders_that_meet(double free_mg_l, double total_mg_l, Binders others) {
  others.acetaldehyde_mg_l = 0.0;
  const double bound_mg_l = total_mg_l - free_mg_l, by_others_mg_l = bound_so2_mg_l(free_mg_l, others);
  if (by_others_mg_l > bound_mg_l) {
    for (double* binder :
         {&others.pyruvic_mg_l, &others.oxoglutaric_mg_l, &others.galacturonic_mg_l, &others.glucose_mg_l})
      *binder *= bound_mg_l / by_others_mg_l;
    return others;
  }
  const double full_mg_l = (bound_mg_l - by_others_mg_l) * (kAcetaldehydeHalfFull + free_mg_l) / free_mg_l;
  others.acetaldehyde_mg_l = full_mg_l * (kAcetaldehyde.grams_per_mole / kSo2GramsPerMole);
  return others;
}

double total_for_free_mg_l(double free_mg_l, const Binders& binders) {
  return free_mg_l + bound_so2_mg_l(free_mg_l, binders);
}

double free_for_total_mg_l(double total_mg_l, const Binders& binders) {
  // Rounding may lift the root above the total by its last digit. In this order std::min keeps an unknown root unknown.
  return std::min(root_of({1.0, capacities_mg_l(binders), total_mg_l}), total_mg_l);
}

SulfurState after_loss(SulfurState begin, double litres_at_step_begin, SulfurLoss loss, double years) {
  switch (loss.law) {
    case SulfurLoss::Law::of_total: return without(begin, fraction_lost(loss.rate, years) * total_mg(begin));
    case SulfurLoss::Law::fixed: return without(begin, loss.rate * years * litres_at_step_begin);
    case SulfurLoss::Law::of_free: break;
  }
  return {begin.free_mg - fraction_lost(loss.rate, years) * begin.free_mg, begin.bound_mg};
}

SulfurState equilibrate(double total_mg, double litres, const Binders& binders) {
  if (litres <= 0.0) return {total_mg, 0.0};
  const double free_mg = std::min(litres * free_for_total_mg_l(total_mg / litres, binders), total_mg);
  return {free_mg, total_mg - free_mg};
}

SulfurState after_addition(SulfurState before, double so2_mg, double bound_fraction) {
  return {before.free_mg + (1.0 - bound_fraction) * so2_mg, before.bound_mg + bound_fraction * so2_mg};
}

Tablets whole_tablets(double so2_g, double tablet_so2_g) {
  const double count = std::max(0.0, std::ceil(so2_g / tablet_so2_g * (1.0 - 1e-9)));
  return {static_cast<int>(count), std::max(count * tablet_so2_g - so2_g, 0.0)};
}

double addition_without_binders_mg_l(double wanted_free_mg_l, double free_mg_l, double bound_fraction) {
  return std::max((wanted_free_mg_l - free_mg_l) / (1.0 - bound_fraction), 0.0);
}

double addition_with_binders_mg_l(double wanted_free_mg_l, double total_mg_l, const Binders& binders) {
  return std::max(total_for_free_mg_l(wanted_free_mg_l, binders) - total_mg_l, 0.0);
}

double total_next_year_mg_l(double total_mg_l, const YearlyCycle& cycle, SulfurLoss loss, const Binders& binders) {
  return (1.0 - cycle.draw_fraction) * surviving_mg_l(total_mg_l, loss, binders) + supply_mg_l(cycle);
}

double total_in_year_mg_l(double start_mg_l, int years, const YearlyCycle& cycle, SulfurLoss loss,
                          const Binders& binders) {
  double total_mg_l = start_mg_l;
  for (int year = 0; year < years; ++year) total_mg_l = total_next_year_mg_l(total_mg_l, cycle, loss, binders);
  return total_mg_l;
}

double total_at_draw_mg_l(double total_mg_l, const YearlyCycle& cycle, SulfurLoss loss, const Binders& binders) {
  return surviving_mg_l(total_mg_l, loss, binders) / (1.0 - cycle.evaporation_fraction);
}

double steady_total_mg_l(const YearlyCycle& cycle, SulfurLoss loss, const Binders& binders) {
  const double supply = supply_mg_l(cycle);
  const double stays = 1.0 - cycle.draw_fraction;
  if (loss.law == SulfurLoss::Law::of_total) return supply / (1.0 - stays * (1.0 - loss.rate));
  if (loss.law == SulfurLoss::Law::fixed) {  // a supply within the loss is gone within the year
    return supply > loss.rate ? (supply - stays * loss.rate) / cycle.draw_fraction : supply;
  }
  const double free_mg_l = steady_free_under_free_loss(cycle, loss.rate, binders);
  return std::isinf(free_mg_l) ? free_mg_l : total_for_free_mg_l(free_mg_l, binders);
}

double steady_free_mg_l(const YearlyCycle& cycle, SulfurLoss loss, const Binders& binders) {
  if (loss.law == SulfurLoss::Law::of_free) return steady_free_under_free_loss(cycle, loss.rate, binders);
  return free_for_total_mg_l(steady_total_mg_l(cycle, loss, binders), binders);
}

double dose_for_steady_total_mg_l(double total_mg_l, const YearlyCycle& cycle, SulfurLoss loss,
                                  const Binders& binders) {
  YearlyCycle undosed = cycle;
  undosed.dose_mg_l = 0.0;
  return total_mg_l - total_next_year_mg_l(total_mg_l, undosed, loss, binders);
}

double dose_for_steady_molecular_mg_l(double molecular_mg_l, double ph, double pk, const YearlyCycle& cycle,
                                      SulfurLoss loss, const Binders& binders) {
  const double free_mg_l = free_for_molecular_mg_l(molecular_mg_l, ph, pk);
  return dose_for_steady_total_mg_l(total_for_free_mg_l(free_mg_l, binders), cycle, loss, binders);
}

CapDoses largest_doses_for_cap(double cap_mg_l, const YearlyCycle& cycle, SulfurLoss loss, const Binders& binders) {
  const double for_draw_mg_l = total_for_draw_mg_l(cap_mg_l, cycle, loss, binders);
  return {dose_for_steady_total_mg_l(cap_mg_l, cycle, loss, binders),
          std::isinf(for_draw_mg_l) ? for_draw_mg_l : dose_for_steady_total_mg_l(for_draw_mg_l, cycle, loss, binders)};
}

}  // namespace tierce
