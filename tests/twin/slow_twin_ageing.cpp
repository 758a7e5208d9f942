// What time does to the twin's wine: evaporation, years in wood, sulfur dioxide lost, age.
#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

#include "tests/twin/slow_twin.h"

namespace tierce::twin {
namespace {

/// Litres that each vessel of a tier loses over a time (design decision 3).
std::vector<double> gone_from_vessels_l(const Tier& tier, const Row& row, double years) {
  const double per_year = tier.evaporation.per_year;
  std::vector<double> gone_l;
  for (const double level_l : row.levels_l) {
    if (tier.evaporation.kind == Evaporation::Kind::share)
      gone_l.push_back(level_l * (1.0 - std::pow(1.0 - per_year, years)));
    else gone_l.push_back(std::min(level_l, years * per_year));
  }
  return gone_l;
}

/// Litres leave every parcel alike; alcohol leaves every parcel in proportion to its alcohol.
void take_vapour(Cellar& cellar, Row& row, double litres, double alcohol_l) {
  const double held_l = litres_in(row), held_alcohol_l = alcohol_in(row);
  for (Parcel& parcel : row.wine) {
    Parcel lost{.source = parcel.source, .entered_day = parcel.entered_day};
    lost.litres = litres * parcel.litres / held_l;
    if (alcohol_l > 0.0) lost.alcohol_l = alcohol_l * parcel.alcohol_l / held_alcohol_l;
    parcel.litres -= lost.litres;
    parcel.alcohol_l -= lost.alcohol_l;
    count(cellar, kGone, lost);
  }
}

std::optional<Refusal> evaporate(Cellar& cellar, int index, double years) {
  const Tier& tier = cellar.rows[at(index)].worked;
  Row& row = cellar.rows[at(index)];
  if (tier.evaporation.per_year <= 0.0) return std::nullopt;
  const std::vector<double> gone_l = gone_from_vessels_l(tier, row, years);
  double all_gone_l = 0.0;
  for (const double litres : gone_l) all_gone_l += litres;
  const double gone_alcohol_l = all_gone_l * tier.vapour_pct / 100.0;
  const double left_l = litres_in(row) - all_gone_l, alcohol_left_l = alcohol_in(row) - gone_alcohol_l;
  if (left_l <= slack_l(cellar, index) || alcohol_left_l < 0.0 || alcohol_left_l > left_l * (1.0 + 1e-9))
    return Refusal{.at = tier.at, .row = index, .in_between = true};
  for (std::size_t i = 0; i < gone_l.size(); ++i) row.levels_l[i] -= gone_l[i];
  take_vapour(cellar, row, all_gone_l, gone_alcohol_l);
  return std::nullopt;
}

SulfurLoss sulfur_loss_of(const Cellar& cellar, int index) {
  if (!is_tank(cellar, index) && cellar.scenario->tiers[at(index)].so2_loss)
    return *cellar.scenario->tiers[at(index)].so2_loss;
  return cellar.scenario->so2_loss.value_or(SulfurLoss{SulfurLoss::Law::of_total, 0.4});
}

/// The laws of design decision 13 for wine whose acetaldehyde is not known. The high reckoning keeps its share of the
/// total; in the others free falls first, then bound, but free never below a tenth of the high one.
void lose_sulfur(const Cellar& cellar, int index, Row& row, double years) {
  const SulfurLoss loss = sulfur_loss_of(cellar, index);
  Dissolved& held = row.dissolved;
  double gone_mg = 0.0;
  if (loss.law == SulfurLoss::Law::of_total) gone_mg = held.so2_total_mg * (1.0 - std::pow(1.0 - loss.rate, years));
  else if (loss.law == SulfurLoss::Law::fixed) gone_mg = loss.rate * years * row.step_litres;
  else throw std::logic_error("the twin knows no acetaldehyde, so no loss of the free");
  if (gone_mg > held.so2_total_mg) gone_mg = held.so2_total_mg;
  if (held.so2_total_mg > 0.0) held.so2_free_high_mg -= gone_mg * held.so2_free_high_mg / held.so2_total_mg;
  held.so2_total_mg -= gone_mg;
  for (double* free_mg : {&held.so2_free_mg, &held.so2_free_low_mg}) {
    *free_mg -= gone_mg;
    if (*free_mg < held.so2_free_high_mg / 10.0) *free_mg = held.so2_free_high_mg / 10.0;
  }
  if (!is_known(held.so2_total_mg))  // how much is gone is not known
    held.so2_free_mg = held.so2_free_low_mg = held.so2_free_high_mg = kUnknown;
}

/// A row lives through a time in pieces, none of which goes past the end of a sulfur step.
std::optional<Refusal> age_row(Cellar& cellar, int index, double years) {
  constexpr double kSameMoment = 1e-9;  // years
  Row& row = cellar.rows[at(index)];
  const double step_y = 1.0 / cellar.scenario->so2_steps;
  while (years > 0.0 && litres_in(row) > 0.0) {
    if (row.step_years >= step_y - kSameMoment) begin_sulfur_step(row);
    const double piece_y = std::min(years, step_y - row.step_years);
    if (!is_tank(cellar, index)) {
      if (auto refusal = evaporate(cellar, index, piece_y)) return refusal;
      if (cellar.scenario->clock == Clock::wood && cellar.scenario->tiers[at(index)].wood)
        for (Parcel& parcel : row.wine) parcel.wood_y += piece_y;
    }
    lose_sulfur(cellar, index, row, piece_y);
    row.step_years += piece_y;
    years -= piece_y;
  }
  return std::nullopt;
}

double age_y(const Cellar& cellar, const Parcel& parcel) {
  const Source& source = cellar.sources[at(parcel.source)];
  const bool opened = source.opened_day != kNever;
  const double as_opened_y = source.age_when_opened_y + (cellar.day - source.opened_day) / 365.0;
  if (cellar.scenario->clock == Clock::harvest)
    return source.harvested_day == kNever ? as_opened_y : (cellar.day - source.harvested_day) / 365.0;
  if (cellar.scenario->clock == Clock::wood)
    return opened && !is_known(source.age_when_opened_y) ? kUnknown : parcel.wood_y;
  if (opened) return as_opened_y;
  return parcel.entered_day == kNever ? 0.0 : (cellar.day - parcel.entered_day) / 365.0;
}

constexpr double kTold[] = {0.1, 0.5, 0.9};
// A share that is a tenth to the last digit may count on either side of it.
constexpr double kHair = 1e-9;

/// The least age that so many litres, the youngest first, do not go beyond.
double quantile_y(const std::vector<std::pair<double, double>>& by_age, double up_to_l) {
  double sum_l = 0.0;
  for (const auto& [age, litres] : by_age) {
    sum_l += litres;
    if (sum_l >= up_to_l) return age;
  }
  return by_age.back().first;
}

}  // namespace

Ages ages_of(const Cellar& cellar, const std::vector<Parcel>& wine) {
  std::vector<std::pair<double, double>> parts;  // age, litres
  double litre_years = 0.0, litres = 0.0;
  for (const Parcel& parcel : wine) {
    if (parcel.litres <= 0.0) continue;
    parts.emplace_back(age_y(cellar, parcel), parcel.litres);
    litre_years += parcel.litres * parts.back().first;
    litres += parcel.litres;
  }
  Ages ages;
  if (parts.empty() || !is_known(litre_years)) return ages;
  std::sort(parts.begin(), parts.end());
  ages = {litre_years / litres, parts.front().first, parts.back().first};
  double squares = 0.0;
  for (const auto& [age, part_l] : parts) squares += part_l * (age - ages.mean_y) * (age - ages.mean_y);
  ages.sd_y = std::sqrt(squares / litres);
  for (std::size_t i = 0; i < 3; ++i)
    ages.quantiles[i] = {quantile_y(parts, (kTold[i] - kHair) * litres),
                         quantile_y(parts, (kTold[i] + kHair) * litres)};
  return ages;
}

std::optional<Refusal> age_to(Cellar& cellar, int day) {
  const double years = (day - cellar.day) / 365.0;
  for (int row = 0; row < static_cast<int>(cellar.rows.size()); ++row)
    if (auto refusal = age_row(cellar, row, years)) return refusal;
  for (Row& row : cellar.rows) {
    // None of an unknown sum is still none, and so is what it earns in no time.
    if (cellar.scenario->interest_per_year == 0.0 || years == 0.0) break;
    const double grown = row.dissolved.money * std::pow(1.0 + cellar.scenario->interest_per_year, years);
    cellar.interest += grown - row.dissolved.money;
    row.dissolved.money = grown;
  }
  cellar.day = day;
  return std::nullopt;
}

}  // namespace tierce::twin
