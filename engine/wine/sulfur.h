// Sulfur dioxide: what of it protects the wine, what binds it, what a year takes, what a dose needs, where doses lead.
// Pure functions. Amounts are mg of SO2, levels mg of SO2 per litre of wine. An unknown value is NaN and makes the
// result NaN.
#pragma once

#include <cmath>

namespace tierce {

/// Molar mass of SO2: S 32.06 + 2 O 15.999, standard atomic weights, rounded.
constexpr double kSo2GramsPerMole = 64.06;
/// Grams of SO2 from one gram of potassium metabisulfite, K2S2O5, 222.32 g/mol: 0.576286, the theory. Winemakers
/// commonly count on 0.50, because the salt loses strength as it ages.
constexpr double kMetabisulfiteYield = 2.0 * kSo2GramsPerMole / 222.32;
/// A dose in any form; more in a litre is a slip of the pen. `so2:` and `at most` are bounded alike
/// (cli/read/book_keys.cpp).
constexpr double kLargestDoseMgL = 2000.0;
/// Milligrams of potassium sulfate made from one milligram of SO2 lost by oxidation: K2SO4 174.26 g/mol, mole for mole.
constexpr double kPotassiumSulfatePerSo2 = 174.26 / kSo2GramsPerMole;
/// Density of liquid SO2 at 20 °C. Source: International Oenological Codex, sulfur dioxide (OENO 46/2000).
constexpr double kLiquidSo2GramsPerMl = 1.383;
/// The pK of older dosing tables, near that of water. Source: reckoned back from the free SO2 for 0.8 mg/L molecular at
/// pH 3.5 in University of California Cooperative Extension, Enology Briefs I no. 1 (1982), which prints no pK.
constexpr double kClassicPk = 1.81;

/// What binds SO2, one molecule to one. `kd_mmol_l` is the free SO2 (mmol/L) at which half of it is bound.
/// The constants were measured at pH 3 to 4; binding is taken as the same over that range. All are quoted from memory.
struct BinderConstant {
  double grams_per_mole;
  double kd_mmol_l;
};
// Handbook of Enology vol. 1 (2nd ed.) section 8.4. Well known: other tables say 0.0014 to 0.0015 (Burroughs and Sparks
// 1973, J. Sci. Food Agric. 24:187-217), and at either value it is full once some 10 mg/L are free.
constexpr BinderConstant kAcetaldehyde{44.05, 0.0024};
// The same section. Fairly known: pyruvic 0.14 (at pH 3) to 0.3, 2-oxoglutaric 0.49 to 0.7.
constexpr BinderConstant kPyruvicAcid{88.06, 0.3};
constexpr BinderConstant kOxoglutaricAcid{146.10, 0.5};
// Burroughs and Sparks 1973. Fairly known: galacturonic 16 to 20, glucose 600 to 900. Fructose binds none.
constexpr BinderConstant kGalacturonicAcid{194.14, 17.0};
constexpr BinderConstant kGlucose{180.16, 640.0};

// Molecular SO2.

enum class PkChoice { oiv, oiv_table, classic };

struct Pk {
  double value;
  bool extrapolated;  // beyond the published table
};

/// pK that splits free SO2 into molecular SO2 and bisulfite.
/// `oiv`: mixed constant at ionic strength 0.038, OIV-MA-AS323-04C annex A 3.2.3 Table II, at 20 °C, linear in strength
/// from 0 to 20 %vol; beyond, the last interval goes on and the result is marked. From 20 °C it moves both ways with
/// the heat of ionisation, -17.785 kJ/mol (Goldberg and Parker 1985, read; two other databases agree to 0.03).
/// `oiv_table`: the table's own columns from 20 to 40 °C, literally, and as above below 20; they rise by 0.2 for 5 °C,
/// four times what that heat gives, and no source explains it. `classic`: 1.81 whatever the wine.
Pk so2_pk(PkChoice choice, double alcohol_pct, double temperature_c);

/// Molecular SO2, mg/L, of `free_mg_l` at this pH. OIV-MA-AS323-04C: free / (1 + 10^(pH - pK)). Sulfite ion, under
/// 0.1 % of the free at wine pH, is left out.
double molecular_so2_mg_l(double free_mg_l, double ph, double pk);

/// Free SO2, mg/L, that holds `molecular_mg_l` at this pH; the inverse of the above.
double free_for_molecular_mg_l(double molecular_mg_l, double ph, double pk);

// Binding.

/// What the wine holds of each binder, free and bound together, mg/L. Acetaldehyde is the bindable part.
struct Binders {
  double acetaldehyde_mg_l = 0.0;
  double pyruvic_mg_l = 0.0;
  double oxoglutaric_mg_l = 0.0;
  double galacturonic_mg_l = 0.0;
  double glucose_mg_l = 0.0;
};

/// A figure that is not sure: what is planned with, and the ends it lies between.
struct SulfurRange {
  double low = NAN;
  double planned = NAN;
  double high = NAN;
};

/// Binders beside acetaldehyde that the low reckoning takes a wine to hold where it states none, mg/L: the middle of
/// what is tabled for table wine, our choice (docs/sources.md). Glucose is half of the sugar.
constexpr Binders kUsualBinders{.pyruvic_mg_l = 25.0, .oxoglutaric_mg_l = 50.0, .galacturonic_mg_l = 400.0};
constexpr double kGlucoseOfSugar = 0.5;

/// The share of an addition that binds where no binder is known: a fifth at the least, one third by the usual rule of
/// thumb (cellar suppliers' sheets), a half at the most (vinetur.com 2010), and two thirds in sweet wine (AWRI: 35 to
/// 40 % of an addition is found free).
constexpr double kBindsLeast = 0.2;
constexpr double kBindsAsPlanned = 1.0 / 3.0;
constexpr double kBindsMost = 0.5;
constexpr double kBindsMostInSweetWine = 2.0 / 3.0;
constexpr double kSweetFromGramsPerLitre = 12.0;  // sugar
/// As SO2 oxidises the free goes first, but not below this part of what stands if it keeps its share of the total: some
/// always comes back from what is bound. Our choice: a reserve read a year after its dose had a third to a half of it.
constexpr double kComesBack = 0.1;

/// Bound SO2, mg/L, that stands beside `free_mg_l` (0 or more): the sum over the binders of c f / (Kd + f) in mol.
/// Source: the law of mass action for one-to-one adducts; Blouin, Pratique raisonnée du SO2 en œnologie, 4.4.3.
double bound_so2_mg_l(double free_mg_l, const Binders& binders);

/// What binds if `free_mg_l` (above 0) of `total_mg_l` were found beside the other binders: as much acetaldehyde as
/// meets the reading; if the others alone would bind more than is bound, none of it and less of them.
Binders binders_that_meet(double free_mg_l, double total_mg_l, Binders others);

/// Total SO2, mg/L, that leaves `free_mg_l` free: free + bound.
double total_for_free_mg_l(double free_mg_l, const Binders& binders);

/// One binder alone, which holds `capacity_mg_l` of SO2 when full and half of it at `half_full_mg_l` free: the free SO2
/// f with slope f + capacity f / (half_full + f) = supply, by the closed form, without cancellation. Slope 1:
/// equilibrium.
inline double free_with_one_binder_mg_l(double slope, double half_full_mg_l, double capacity_mg_l, double supply_mg_l) {
  const double surplus = supply_mg_l - capacity_mg_l - slope * half_full_mg_l;
  const double root = std::sqrt(surplus * surplus + 4.0 * slope * half_full_mg_l * supply_mg_l);
  return surplus > 0.0 ? (surplus + root) / (2.0 * slope) : 2.0 * half_full_mg_l * supply_mg_l / (root - surplus);
}

/// Where acetaldehyde is the only binder known: the SO2 that `mg_l` (0 or more) of it holds when full, and the free SO2
/// at which it is half full.
constexpr double acetaldehyde_capacity_mg_l(double mg_l) {
  return mg_l * (kSo2GramsPerMole / kAcetaldehyde.grams_per_mole);
}
constexpr double kAcetaldehydeHalfFull = kAcetaldehyde.kd_mmol_l * kSo2GramsPerMole;

/// Total SO2, mg/L, that leaves `free_mg_l` free beside so much acetaldehyde.
inline double total_beside_acetaldehyde_mg_l(double free_mg_l, double acetaldehyde_mg_l) {
  const double capacity_mg_l = acetaldehyde_capacity_mg_l(acetaldehyde_mg_l);
  return free_mg_l + capacity_mg_l * free_mg_l / (kAcetaldehydeHalfFull + free_mg_l);
}

/// Its inverse. From 0 to the total.
inline double free_beside_acetaldehyde_mg_l(double total_mg_l, double acetaldehyde_mg_l) {
  if (total_mg_l <= 0.0) return 0.0;
  const double free_mg_l =
      free_with_one_binder_mg_l(1.0, kAcetaldehydeHalfFull, acetaldehyde_capacity_mg_l(acetaldehyde_mg_l), total_mg_l);
  return free_mg_l > total_mg_l ? total_mg_l : free_mg_l;  // rounding may lift it by its last digit
}

/// Free SO2, mg/L, when the wine holds `total_mg_l`: the one root of total_for_free(free) = total. From 0 to the total.
double free_for_total_mg_l(double total_mg_l, const Binders& binders);

// The tier's SO2.

/// SO2 held in a tier, mg.
struct SulfurState {
  double free_mg;
  double bound_mg;
};
constexpr double total_mg(SulfurState state) { return state.free_mg + state.bound_mg; }

/// How a tier loses SO2 by oxidation.
struct SulfurLoss {
  enum class Law { of_total, fixed, of_free };
  Law law;
  double rate;  // fraction of the total a year; mg a year per litre; fraction of the free a year. Fractions: 0 to 1
};

/// The state after `years` (0 or more) without a dose, nothing re-equilibrated. `of_total` leaves (1-x)^t of the total,
/// `fixed` removes x t mg per litre held when the step began, at most all; free falls first, then bound. `of_free`
/// leaves (1-x)^t of the free. Any split of a step gives the same state, given the same litres.
SulfurState after_loss(SulfurState begin, double litres_at_step_begin, SulfurLoss loss, double years);

/// `total_mg` of SO2 in `litres` (above 0) of wine with known binders, shared between free and bound at equilibrium.
/// Without litres there is nothing to bind it: all free.
SulfurState equilibrate(double total_mg, double litres, const Binders& binders);

/// The state after `so2_mg` is stirred in where no binder is known: the share `bound_fraction` (0 to 1) of it binds.
SulfurState after_addition(SulfurState before, double so2_mg, double bound_fraction);

// Doses.

/// Grams of SO2 that raise `litres` of wine by `dose_mg_l`.
constexpr double so2_grams(double dose_mg_l, double litres) { return dose_mg_l * litres / 1000.0; }

/// Grams of potassium metabisulfite for `so2_g`; `yield` (above 0) in grams of SO2 per gram of salt.
constexpr double metabisulfite_grams(double so2_g, double yield = kMetabisulfiteYield) { return so2_g / yield; }

/// Grams of SO2 that `salt_g` of potassium metabisulfite brings.
constexpr double so2_grams_of_metabisulfite(double salt_g, double yield = kMetabisulfiteYield) {
  return salt_g * yield;
}

/// Millilitres of a solution that bring `solute_g` of what is dissolved. Strength (above 0) in % weight per volume:
/// 5 % is 50 g/L.
constexpr double solution_ml(double solute_g, double strength_pct) { return 100.0 * solute_g / strength_pct; }

/// Millilitres of liquid SO2 at 20 °C that weigh `so2_g`.
constexpr double liquid_so2_ml(double so2_g) { return so2_g / kLiquidSo2GramsPerMl; }

struct Tablets {
  int count;
  double overshoot_g;  // SO2 beyond what was wanted
};

/// Fewest whole tablets, of `tablet_so2_g` (above 0) SO2 each, that bring `so2_g` into one vessel. A dose that is a
/// whole number of tablets to one part in 10^9 takes that number.
Tablets whole_tablets(double so2_g, double tablet_so2_g);

/// SO2 to add, mg/L, for `wanted_free_mg_l` where no binder is known and the share `bound_fraction` (0 up to, not
/// including, 1) of an addition binds; 0 if there is enough.
double addition_without_binders_mg_l(double wanted_free_mg_l, double free_mg_l, double bound_fraction);

/// SO2 to add, mg/L, for `wanted_free_mg_l` in wine that holds `total_mg_l` beside known binders; 0 if there is enough.
double addition_with_binders_mg_l(double wanted_free_mg_l, double total_mg_l, const Binders& binders);

// Many years alike.
// A model of our own, for a reserve of constant volume and one cycle a year: the loss, taken in one step from the
// equilibrium just after the dose; evaporation, which takes no SO2; draw; refill; dose. Binders stay as they are; only
// `of_free` needs them for the totals.

struct YearlyCycle {
  double draw_fraction = 0.0;         // of what evaporation left; above 0 for a steady state under a fixed loss
  double evaporation_fraction = 0.0;  // of the full volume; below 1
  double new_wine_total_mg_l = 0.0;
  double dose_mg_l = 0.0;  // per litre of the full reserve
};

/// Total SO2 just after the dose, a year after it was `total_mg_l`.
double total_next_year_mg_l(double total_mg_l, const YearlyCycle& cycle, SulfurLoss loss, const Binders& binders = {});

/// Total SO2 just after the dose of year `years` (0 or more), from `start_mg_l` just after the dose of year 0.
double total_in_year_mg_l(double start_mg_l, int years, const YearlyCycle& cycle, SulfurLoss loss,
                          const Binders& binders = {});

/// Total SO2 of the wine drawn, a year after it was `total_mg_l` just after the dose.
double total_at_draw_mg_l(double total_mg_l, const YearlyCycle& cycle, SulfurLoss loss, const Binders& binders = {});

/// Total SO2 just after the dose that reproduces itself year after year. Infinite if nothing carries SO2 off.
double steady_total_mg_l(const YearlyCycle& cycle, SulfurLoss loss, const Binders& binders = {});

/// Free SO2 just after the dose in that steady state.
double steady_free_mg_l(const YearlyCycle& cycle, SulfurLoss loss, const Binders& binders);

/// Yearly dose, mg per litre of the full reserve, that holds `total_mg_l` just after the dose; the dose in `cycle` is
/// not used. Negative: the reserve holds more than that without any dose.
double dose_for_steady_total_mg_l(double total_mg_l, const YearlyCycle& cycle, SulfurLoss loss,
                                  const Binders& binders = {});

/// Yearly dose that holds `molecular_mg_l` just after the dose; negative: more than that stands without any dose.
double dose_for_steady_molecular_mg_l(double molecular_mg_l, double ph, double pk, const YearlyCycle& cycle,
                                      SulfurLoss loss, const Binders& binders);

/// Largest yearly doses that keep the steady total within a cap, mg/L, tested at two moments; the smaller one keeps
/// both. Negative: the cap does not hold even without a dose. Infinite: no dose reaches it.
struct CapDoses {
  double after_dosing_mg_l;
  double at_draw_mg_l;
};
CapDoses largest_doses_for_cap(double cap_mg_l, const YearlyCycle& cycle, SulfurLoss loss, const Binders& binders = {});

}  // namespace tierce
