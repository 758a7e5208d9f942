#include "engine/run/binding.h"

#include <algorithm>
#include <cmath>

namespace tierce {
namespace {

double stated_or(double stated, double usual) { return is_known(stated) ? stated : usual; }

/// Beside acetaldehyde, what the low reckoning takes a wine to hold.
Binders other_binders(const Composition& wine) {
  return {.pyruvic_mg_l = stated_or(wine.pyruvic_mg_l, kUsualBinders.pyruvic_mg_l),
          .oxoglutaric_mg_l = stated_or(wine.oxoglutaric_mg_l, kUsualBinders.oxoglutaric_mg_l),
          .galacturonic_mg_l = stated_or(wine.galacturonic_mg_l, kUsualBinders.galacturonic_mg_l),
          .glucose_mg_l = is_known(wine.sugar_g_l) ? 1000.0 * kGlucoseOfSugar * wine.sugar_g_l : 0.0};
}

bool tells_what_binds(double free_mg_l, const Composition& wine) {
  return free_mg_l > 0.0 && free_mg_l <= wine.so2_total_mg_l && is_known(wine.acetaldehyde_mg_l);
}

}  // namespace

SulfurRange binding_shares(const Scenario& scenario, double sugar_g_l) {
  const double planned = scenario.so2_binding_fraction;
  if (scenario.so2_binding_stated)
    return {planned + scenario.so2_binding_error, planned, planned - scenario.so2_binding_error};
  const bool dry = sugar_g_l < kSweetFromGramsPerLitre;
  return {dry ? kBindsMost : kBindsMostInSweetWine, planned, kBindsLeast};
}

StatedBinding stated_binding(const Composition& wine) {
  StatedBinding binding{wine.acetaldehyde_mg_l, stated_or(wine.so2_free_low_mg_l, wine.so2_free_mg_l),
                        stated_or(wine.so2_free_high_mg_l, wine.so2_free_mg_l), other_binders(wine)};
  binding.low.acetaldehyde_mg_l = wine.acetaldehyde_mg_l;
  if (tells_what_binds(wine.so2_free_mg_l, wine))
    binding.acetaldehyde_mg_l = binders_that_meet(wine.so2_free_mg_l, wine.so2_total_mg_l, {}).acetaldehyde_mg_l;
  if (tells_what_binds(binding.free_low_mg_l, wine))
    binding.low = binders_that_meet(binding.free_low_mg_l, wine.so2_total_mg_l, binding.low);
  return binding;
}

bool contradicts_itself(const Composition& wine) {
  constexpr double kApart = 0.2;
  if (!tells_what_binds(wine.so2_free_mg_l, wine)) return false;
  return std::abs(stated_binding(wine).acetaldehyde_mg_l - wine.acetaldehyde_mg_l) > kApart * wine.acetaldehyde_mg_l;
}

Binders low_binders(const double* held, double litres) {
  return {held[kAldehydeLow] / litres, held[kPyruvic] / litres, held[kOxoglutaric] / litres,
          held[kGalacturonic] / litres, held[kGlucoseHeld] / litres};
}

double low_free_mg(const double* held, double litres) {
  return litres * free_for_total_mg_l(held[kSo2Total] / litres, low_binders(held, litres));
}

SulfurRange in_order(double low, double planned, double high) {
  if (!is_known(planned) || !is_known(low) || !is_known(high)) return {kUnknown, planned, kUnknown};
  return {std::min({low, planned, high}), planned, std::max({low, planned, high})};
}

SulfurRange free_so2_mg_l(const double* held, double litres) {
  if (!(litres > 0.0)) return {};
  return in_order(held[kSo2FreeLow] / litres, held[kSo2Free] / litres, held[kSo2FreeHigh] / litres);
}

SulfurNow sulfur_of(const double* held, double litres, double ph, double alcohol_pct) {
  if (!(litres > 0.0)) return {};
  return {free_so2_mg_l(held, litres), held[kSo2Total] / litres, held[kAldehyde] / litres, ph, alcohol_pct,
          held[kSugar] / litres,       held[kSulfate] / litres,  low_binders(held, litres)};
}

SulfurRange molecular_so2_mg_l(const Scenario& scenario, const SulfurNow& now, PkChoice scale) {
  if (!is_known(now.ph) || !is_known(now.alcohol_pct)) return {};
  const double cellar_c = is_known(scenario.cellar.temperature_c) ? scenario.cellar.temperature_c : kDefaultCellarC;
  const double pk = so2_pk(scale, now.alcohol_pct, cellar_c).value;
  const auto of = [&](double free_mg_l) { return molecular_so2_mg_l(free_mg_l, now.ph, pk); };
  return {of(now.free_mg_l.low), of(now.free_mg_l.planned), of(now.free_mg_l.high)};
}

}  // namespace tierce
