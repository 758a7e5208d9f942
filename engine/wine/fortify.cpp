#include "engine/wine/fortify.h"

#include <algorithm>
#include <functional>
#include <limits>

#include "engine/wine/alcoholometry.h"

namespace tierce {
namespace {

// Wishes computed from the limits themselves may miss them by rounding; this much, in %vol, g/L or SG, is let pass.
constexpr double kRounding = 1e-9;

using Check = std::optional<FortifyRefusal>;

// Empty if x lies in the range; not a number lies in none.
Check outside(FortifyFault fault, double x, double lowest, double highest, double rounding = 0.0) {
  if (x >= lowest - rounding && x <= highest + rounding) return std::nullopt;
  return FortifyRefusal{fault, x, lowest, highest};
}

Check not_above_zero(FortifyFault fault, double x, double highest = std::numeric_limits<double>::max()) {
  if (x > 0.0 && x <= highest) return std::nullopt;
  return FortifyRefusal{fault, x, 0.0, highest};
}

Check check(const Must& must) {
  if (auto bad = not_above_zero(FortifyFault::must_volume_out_of_range, must.volume_l, kMostLitres)) return bad;
  if (auto bad = not_above_zero(FortifyFault::sugar_per_pct_out_of_range, must.sugar_g_l_per_pct)) return bad;
  return outside(FortifyFault::must_sugar_out_of_range, must.sugar_g_l, 0.0, 100.0 * must.sugar_g_l_per_pct);
}

Check check(const MustAtArrest& base) {
  if (auto bad = not_above_zero(FortifyFault::must_volume_out_of_range, base.volume_l, kMostLitres)) return bad;
  if (auto bad = not_above_zero(FortifyFault::sugar_per_pct_out_of_range, base.sugar_g_l_per_pct)) return bad;
  if (auto bad = outside(FortifyFault::arrest_alcohol_out_of_reach, base.alcohol_pct, 0.0, 100.0)) return bad;
  return outside(FortifyFault::must_sugar_out_of_range, base.sugar_g_l, 0.0, 100.0 * base.sugar_g_l_per_pct);
}

double most_alcohol_pct(const Must& must) {
  return std::min(100.0, potential_alcohol_pct(must.sugar_g_l, must.sugar_g_l_per_pct));
}

MustAtArrest fermented(const Must& must, double alcohol_pct) {
  const double sugar_g_l = std::max(0.0, must.sugar_g_l - must.sugar_g_l_per_pct * alcohol_pct);
  return {must.volume_l, alcohol_pct, sugar_g_l, must.sugar_g_l_per_pct};
}

// Where f, which only rises or only falls from low to high, takes the target; 64 halvings reach the last bit.
double where_equal(const std::function<double(double)>& f, double target, double low, double high) {
  const bool rises = f(high) > f(low);
  for (int halving = 0; halving < 64; ++halving) {
    const double middle = 0.5 * (low + high);
    ((f(middle) < target) == rises ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

void compare_with_additive_rule(const MustAtArrest& base, double spirit_pct, Fortified& wine) {
  const double pure_l = base.volume_l * base.alcohol_pct + wine.spirit_l * spirit_pct;
  wine.additive_alcohol_pct = pure_l / (base.volume_l + wine.spirit_l);
  wine.additive_error_pct = wine.additive_alcohol_pct - wine.alcohol_pct;
  if (spirit_pct > wine.alcohol_pct)
    wine.additive_spirit_l = base.volume_l * (wine.alcohol_pct - base.alcohol_pct) / (spirit_pct - wine.alcohol_pct);
}

// Base and spirit checked before.
Fortified blend(const MustAtArrest& base, double spirit_pct, double spirit_l) {
  const EthanolWaterMix mix = *mix_by_mass({base.volume_l, base.alcohol_pct}, {spirit_l, spirit_pct});
  const double went_in_l = base.volume_l + spirit_l;
  const double base_pure_l = base.volume_l * base.alcohol_pct / 100.0;
  const double spirit_pure_l = spirit_l * spirit_pct / 100.0;
  const double pure_l = base_pure_l + spirit_pure_l;
  Fortified wine;
  wine.spirit_l = spirit_l;
  wine.volume_l = mix.volume_l;
  wine.contraction_l = mix.contraction_l;
  wine.alcohol_pct = mix.alcohol_pct;
  wine.sugar_g_l = base.sugar_g_l * base.volume_l / mix.volume_l;
  wine.total_alcohol_pct = wine.alcohol_pct + potential_alcohol_pct(wine.sugar_g_l, base.sugar_g_l_per_pct);
  wine.spirit_share_of_must_pct = 100.0 * spirit_l / base.volume_l;
  wine.spirit_alcohol_share_of_must_pct = 100.0 * spirit_pure_l / base.volume_l;
  wine.must_share_of_wine_pct = 100.0 * base.volume_l / went_in_l;
  wine.spirit_share_of_wine_pct = 100.0 * spirit_l / went_in_l;
  wine.spirit_share_of_alcohol_pct = pure_l > 0.0 ? 100.0 * spirit_pure_l / pure_l : 0.0;
  compare_with_additive_rule(base, spirit_pct, wine);
  return wine;
}

}  // namespace

OrRefusal<MustAtArrest> arrest_at_alcohol(const Must& must, double alcohol_pct) {
  if (const auto bad = check(must)) return *bad;
  const double most_pct = most_alcohol_pct(must);
  if (const auto bad = outside(FortifyFault::arrest_alcohol_out_of_reach, alcohol_pct, 0.0, most_pct, kRounding))
    return *bad;
  return fermented(must, std::clamp(alcohol_pct, 0.0, most_pct));
}

OrRefusal<MustAtArrest> arrest_at_sugar(const Must& must, double sugar_g_l) {
  if (const auto bad = check(must)) return *bad;
  if (const auto bad = outside(FortifyFault::arrest_sugar_out_of_reach, sugar_g_l, 0.0, must.sugar_g_l)) return *bad;
  const double alcohol_pct = potential_alcohol_pct(must.sugar_g_l - sugar_g_l, must.sugar_g_l_per_pct);
  return MustAtArrest{must.volume_l, alcohol_pct, sugar_g_l, must.sugar_g_l_per_pct};
}

OrRefusal<MustAtArrest> arrest_at_density(const Must& must, double sg, double other_extract_g_l, double temperature_c) {
  if (const auto bad = check(must)) return *bad;
  if (const auto bad = outside(FortifyFault::must_sugar_out_of_range, must.sugar_g_l, 0.0, kMostExtractGPerL))
    return *bad;
  const double most_other_g_l = kMostExtractGPerL - must.sugar_g_l;
  if (const auto bad = outside(FortifyFault::other_extract_out_of_range, other_extract_g_l, 0.0, most_other_g_l))
    return *bad;
  if (const auto bad =
          outside(FortifyFault::temperature_out_of_range, temperature_c, kLowestDensityC, kHighestDensityC))
    return *bad;
  const auto sg_after = [&](double alcohol_pct) {
    const double sg_20c = *wine_sg(fermented(must, alcohol_pct).sugar_g_l, alcohol_pct, other_extract_g_l);
    return *sg_shown(sg_20c, alcohol_pct, temperature_c);
  };
  const double most_pct = most_alcohol_pct(must);
  if (const auto bad =
          outside(FortifyFault::arrest_density_out_of_reach, sg, sg_after(most_pct), sg_after(0.0), kRounding))
    return *bad;
  return fermented(must, where_equal(sg_after, sg, 0.0, most_pct));
}

OrRefusal<Fortified> fortify_with_volume(const MustAtArrest& base, double spirit_pct, double spirit_l) {
  if (const auto bad = check(base)) return *bad;
  if (const auto bad = outside(FortifyFault::spirit_strength_out_of_range, spirit_pct, 0.0, 100.0)) return *bad;
  if (const auto bad = outside(FortifyFault::spirit_volume_out_of_range, spirit_l, 0.0, kMostLitres)) return *bad;
  return blend(base, spirit_pct, spirit_l);
}

OrRefusal<Fortified> fortify_to_strength(const MustAtArrest& base, double spirit_pct, double wanted_pct) {
  if (const auto bad = check(base)) return *bad;
  if (const auto bad = outside(FortifyFault::spirit_strength_out_of_range, spirit_pct, 0.0, 100.0)) return *bad;
  if (!(wanted_pct < spirit_pct))
    return FortifyRefusal{FortifyFault::strength_not_below_the_spirit, wanted_pct, base.alcohol_pct, spirit_pct};
  if (const auto bad = outside(FortifyFault::strength_below_the_arrest, wanted_pct, base.alcohol_pct, spirit_pct))
    return *bad;
  return fortify_with_volume(base, spirit_pct,
                             *volume_to_reach_l({base.volume_l, base.alcohol_pct}, spirit_pct, wanted_pct));
}

OrRefusal<Fortified> run_on(const Fortified& mixed, double sugar_g_l, double sugar_g_l_per_pct) {
  if (const auto bad = not_above_zero(FortifyFault::sugar_per_pct_out_of_range, sugar_g_l_per_pct)) return *bad;
  const double most_g_l = std::min(mixed.sugar_g_l, (100.0 - mixed.alcohol_pct) * sugar_g_l_per_pct);
  if (const auto bad = outside(FortifyFault::run_on_out_of_reach, sugar_g_l, 0.0, most_g_l, kRounding)) return *bad;
  Fortified wine = mixed;
  wine.sugar_g_l = std::max(0.0, mixed.sugar_g_l - sugar_g_l);
  wine.alcohol_pct = mixed.alcohol_pct + potential_alcohol_pct(sugar_g_l, sugar_g_l_per_pct);
  if (wine.alcohol_pct > 0.0) wine.spirit_share_of_alcohol_pct *= mixed.alcohol_pct / wine.alcohol_pct;
  return wine;
}

// The later the arrest, the less sugar is left, but the less spirit dilutes it. Sugar in the wine falls with a later
// arrest as long as the must's potential alcohol is below the spirit's strength, and rises otherwise.
OrRefusal<ArrestPlan> plan_arrest(const Must& must, double spirit_pct, double wanted_pct, double wanted_sugar_g_l) {
  if (const auto bad = check(must)) return *bad;
  const auto wine_after = [&](double alcohol_pct) {
    return fortify_to_strength(fermented(must, alcohol_pct), spirit_pct, wanted_pct);
  };
  const auto unfermented = wine_after(0.0);
  if (const auto* bad = std::get_if<FortifyRefusal>(&unfermented)) return *bad;
  const auto sugar_after = [&](double alcohol_pct) { return std::get<Fortified>(wine_after(alcohol_pct)).sugar_g_l; };
  const double latest_pct = std::min(most_alcohol_pct(must), wanted_pct);
  const auto [least_g_l, most_g_l] = std::minmax({sugar_after(0.0), sugar_after(latest_pct)});
  if (const auto bad =
          outside(FortifyFault::final_sugar_out_of_reach, wanted_sugar_g_l, least_g_l, most_g_l, kRounding))
    return *bad;
  const double arrest_pct = where_equal(sugar_after, wanted_sugar_g_l, 0.0, latest_pct);
  return ArrestPlan{fermented(must, arrest_pct), std::get<Fortified>(wine_after(arrest_pct))};
}

std::optional<Sweetened> sweeten(double volume_l, double alcohol_pct, double sugar_g_l, double wanted_sugar_g_l,
                                 double sugar_room_l_per_kg) {
  const double free_share = 1.0 - sugar_room_l_per_kg * wanted_sugar_g_l / 1000.0;  // of a litre, beside its sugar
  const bool sound = volume_l >= 0.0 && alcohol_pct >= 0.0 && alcohol_pct <= 100.0 && sugar_g_l >= 0.0 &&
                     wanted_sugar_g_l >= sugar_g_l && sugar_room_l_per_kg >= 0.0 && free_share > 0.0;
  if (!sound) return std::nullopt;
  const double sugar_kg = volume_l * (wanted_sugar_g_l - sugar_g_l) / 1000.0 / free_share;
  const double sweetened_l = volume_l + sugar_room_l_per_kg * sugar_kg;
  return Sweetened{sugar_kg, sweetened_l, sweetened_l > 0.0 ? alcohol_pct * volume_l / sweetened_l : alcohol_pct};
}

}  // namespace tierce
