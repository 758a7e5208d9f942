#include "engine/plan/fortification.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "engine/wine/alcoholometry.h"

namespace tierce {
namespace {

constexpr int kMostRows = 12;      // from the must to the arrest
constexpr int kRowsPast = 3;       // beyond the arrest
constexpr double kNearPct = 0.05;  // %vol to each side, for a slope
constexpr double kRounding = 1e-9;

template <class T>
const FortifyRefusal* refused(const OrRefusal<T>& result) {
  return std::get_if<FortifyRefusal>(&result);
}

/// What the yeast makes after the spirit, %vol.
double run_on_pct(const FortifyWish& wish) { return potential_alcohol_pct(wish.run_on_g_l); }

/// The spirit is sized so that the wine has its strength at last; a refusal speaks of that strength and of that sugar.
FortifyRefusal in_terms_of_the_wish(FortifyRefusal refusal, const FortifyWish& wish) {
  double shift = 0.0;
  if (refusal.fault == FortifyFault::strength_below_the_arrest ||
      refusal.fault == FortifyFault::strength_not_below_the_spirit)
    shift = run_on_pct(wish);
  if (refusal.fault == FortifyFault::final_sugar_out_of_reach) shift = -wish.run_on_g_l;
  for (double* figure : {&refusal.asked, &refusal.lowest, &refusal.highest}) *figure += shift;
  if (refusal.fault == FortifyFault::final_sugar_out_of_reach) refusal.lowest = std::max(0.0, refusal.lowest);
  return refusal;
}

OrRefusal<Fortified> mixed_with_spirit(const MustAtArrest& base, const FortifyWish& wish) {
  if (is_known(wish.add_l)) return fortify_with_volume(base, wish.spirit_pct, wish.add_l);
  return fortify_to_strength(base, wish.spirit_pct, wish.to_pct - run_on_pct(wish));
}

OrRefusal<Fortified> wine_from(const MustAtArrest& base, const FortifyWish& wish) {
  const auto mixed = mixed_with_spirit(base, wish);
  if (refused(mixed)) return mixed;
  return run_on(std::get<Fortified>(mixed), wish.run_on_g_l);
}

/// As stated, as read, or inferred from the arrest.
Must must_of(const FortifyWish& wish) {
  Must must{wish.must_l(), 0.0};
  if (const auto* reading = std::get_if<HydrometerReading>(&wish.sugar))
    must.sugar_g_l = must_sugar_from(*reading, wish.refractometer);
  else if (const auto* grams = std::get_if<double>(&wish.sugar)) must.sugar_g_l = *grams;
  else must.sugar_g_l = wish.residual_g_l + must.sugar_g_l_per_pct * std::get<double>(wish.arrest);
  return must;
}

OrRefusal<MustAtArrest> arrest_of(const FortifyPlan& plan, const FortifyWish& wish) {
  if (plan.sugar_inferred) return MustAtArrest{plan.must.volume_l, std::get<double>(wish.arrest), wish.residual_g_l};
  if (is_known(wish.residual_g_l)) return arrest_at_sugar(plan.must, wish.residual_g_l);
  if (const auto* alcohol_pct = std::get_if<double>(&wish.arrest)) return arrest_at_alcohol(plan.must, *alcohol_pct);
  if (const auto* reading = std::get_if<HydrometerReading>(&wish.arrest))
    return arrest_at_density(plan.must, sg_of_mark(reading->value, reading->scale), plan.other_extract_g_l,
                             reading->temperature_c);
  const auto found =
      plan_arrest(plan.must, wish.spirit_pct, wish.to_pct - run_on_pct(wish), wish.sweet_g_l + wish.run_on_g_l);
  if (const auto* refusal = refused(found)) return *refusal;
  return std::get<ArrestPlan>(found).arrest;
}

// The table for the night.

double sg_of(const MustAtArrest& must, double other_extract_g_l) {
  return wine_sg(must.sugar_g_l, must.alcohol_pct, other_extract_g_l).value_or(kUnknown);
}

double mark_of(const MustAtArrest& must, const FortifyPlan& plan, const FortifyWish& wish) {
  const auto shown = sg_shown(sg_of(must, plan.other_extract_g_l), must.alcohol_pct, wish.temperature_c);
  return mark_of_sg(shown.value_or(kUnknown), plan.scale);
}

Scale scale_for(const FortifyWish& wish) {
  if (const auto* reading = std::get_if<HydrometerReading>(&wish.sugar)) return reading->scale;
  if (const auto* reading = std::get_if<HydrometerReading>(&wish.arrest)) return reading->scale;
  return Scale::sg;
}

/// Marks to a unit of the scale: as many as give no more than kMostRows between the must and the arrest.
double marks_to_a_unit(Scale scale, double span) {
  static constexpr std::array<std::array<double, 5>, 4> kSteps = {
      {{1000, 500, 200, 100, 50}, {5, 2, 1, 0.5, 0.25}, {10, 5, 2, 1, 0.5}, {1, 0.5, 0.2, 0.1, 0.05}}};
  for (const double marks : kSteps[static_cast<std::size_t>(scale)])
    if (span * marks <= kMostRows) return marks;
  return kSteps[static_cast<std::size_t>(scale)].back();
}

/// Adds the row of a must, unless no spirit can give the wish from there.
bool add_row(FortifyPlan& plan, const FortifyWish& wish, const MustAtArrest& must, double mark, bool planned) {
  const auto wine = wine_from(must, wish);
  if (refused(wine)) return false;
  plan.night.push_back({mark, sg_of(must, plan.other_extract_g_l), must, std::get<Fortified>(wine), planned});
  return true;
}

/// By the marks of the hydrometer, round ones between the must's own and a few beyond the arrest.
void add_rows_by_mark(FortifyPlan& plan, const FortifyWish& wish) {
  const MustAtArrest fresh{plan.must.volume_l, 0.0, plan.must.sugar_g_l};
  const double first = mark_of(fresh, plan, wish), arrest = plan.arrest_mark;
  const double marks = marks_to_a_unit(plan.scale, first - arrest);
  const double tie = 0.5 * std::pow(10.0, -decimals_read(plan.scale));  // two rows that would print the same mark
  bool arrested = first - arrest < tie;
  if (!arrested) add_row(plan, wish, fresh, first, false);
  else add_row(plan, wish, plan.arrest, arrest, true);
  int past = 0;
  for (double k = std::floor(first * marks - kRounding); past < kRowsPast; --k) {
    const double mark = k / marks;
    if (!arrested && mark < arrest + tie) arrested = add_row(plan, wish, plan.arrest, arrest, true);
    if (std::abs(mark - arrest) < tie || first - mark < tie) continue;
    const double sg = sg_of_mark(mark, plan.scale);
    const auto must = arrest_at_density(plan.must, sg, plan.other_extract_g_l, wish.temperature_c);
    if (refused(must) || !add_row(plan, wish, std::get<MustAtArrest>(must), mark, false)) break;
    past += arrested ? 1 : 0;
  }
  if (!arrested) add_row(plan, wish, plan.arrest, arrest, true);
}

/// Where no density is known: by the alcohol made, in whole %vol.
void add_rows_by_alcohol(FortifyPlan& plan, const FortifyWish& wish) {
  const double arrest_pct = plan.arrest.alcohol_pct;
  const double step_pct = std::max(1.0, std::ceil(arrest_pct / kMostRows));
  bool arrested = false;
  int past = 0;
  for (double alcohol_pct = 0.0; past < kRowsPast; alcohol_pct += step_pct) {
    if (!arrested && alcohol_pct > arrest_pct - kRounding) arrested = add_row(plan, wish, plan.arrest, kUnknown, true);
    if (std::abs(alcohol_pct - arrest_pct) < kRounding) continue;
    const auto must = arrest_at_alcohol(plan.must, alcohol_pct);
    if (refused(must) || !add_row(plan, wish, std::get<MustAtArrest>(must), kUnknown, false)) break;
    past += arrested ? 1 : 0;
  }
  if (!arrested) add_row(plan, wish, plan.arrest, kUnknown, true);
}

double alcohol_for_sg(const FortifyPlan& plan) {
  const double most_pct = potential_alcohol_pct(plan.must.sugar_g_l);
  const auto at = [&](double alcohol_pct) {
    return arrest_at_alcohol(plan.must, std::clamp(alcohol_pct, 0.0, most_pct));
  };
  const auto early = at(plan.arrest.alcohol_pct - kNearPct), late = at(plan.arrest.alcohol_pct + kNearPct);
  if (refused(early) || refused(late)) return kUnknown;
  const auto& before = std::get<MustAtArrest>(early);
  const auto& after = std::get<MustAtArrest>(late);
  return (after.alcohol_pct - before.alcohol_pct) /
         (sg_of(before, plan.other_extract_g_l) - sg_of(after, plan.other_extract_g_l));
}

void plan_night(FortifyPlan& plan, const FortifyWish& wish) {
  plan.scale = scale_for(wish);
  plan.arrest_sg_20c = sg_of(plan.arrest, plan.other_extract_g_l);
  plan.arrest_mark = mark_of(plan.arrest, plan, wish);
  if (plan.scale == Scale::brix && !is_known(plan.arrest_mark)) {  // lighter than water: off that scale
    plan.scale = Scale::sg;
    plan.arrest_mark = mark_of(plan.arrest, plan, wish);
  }
  if (!is_known(plan.arrest_mark)) return add_rows_by_alcohol(plan, wish);
  add_rows_by_mark(plan, wish);
  plan.alcohol_pct_per_sg = alcohol_for_sg(plan);
}

SpiritOrder order_of(double spirit_l, const FortifyWish& wish) {
  SpiritOrder order{spirit_l * wish.spirit_pct / 100.0, *proof_gallons(spirit_l, wish.spirit_pct)};
  if (!is_known(wish.drum_l)) return order;
  order.drums = std::ceil(spirit_l / wish.drum_l - kRounding);
  order.left_l = std::max(0.0, order.drums * wish.drum_l - spirit_l);
  return order;
}

}  // namespace

OrRefusal<FortifyPlan> plan_fortification(const FortifyWish& wish) {
  FortifyPlan plan;
  plan.must = must_of(wish);
  plan.sugar_inferred = std::holds_alternative<std::monostate>(wish.sugar);
  plan.other_extract_g_l = must_other_extract_g_l(plan.must.sugar_g_l).value_or(kUnknown);
  const auto arrest = arrest_of(plan, wish);
  if (const auto* refusal = refused(arrest)) return in_terms_of_the_wish(*refusal, wish);
  plan.arrest = std::get<MustAtArrest>(arrest);
  const auto mixed = mixed_with_spirit(plan.arrest, wish);
  if (const auto* refusal = refused(mixed)) return in_terms_of_the_wish(*refusal, wish);
  plan.mixed = std::get<Fortified>(mixed);
  const auto wine = run_on(plan.mixed, wish.run_on_g_l);
  if (const auto* refusal = refused(wine)) return in_terms_of_the_wish(*refusal, wish);
  plan.wine = std::get<Fortified>(wine);
  plan.order = order_of(plan.wine.spirit_l, wish);
  plan.spirit_alcohol_share_of_wine_pct = 100.0 * plan.order.pure_l / plan.wine.volume_l;
  plan_night(plan, wish);
  return plan;
}

}  // namespace tierce
