#include "engine/measure/age.h"

#include <algorithm>
#include <cmath>

namespace tierce {
namespace {

/// Parts that share a column: their days in wood make them older, those outside it younger.
void spread_out(Share& share, const Parcel& parcel, const Pool& pool) {
  const double sign = is_known(parcel.rests_since_day) ? 1.0 : -1.0;
  const double mean_days = pool.day_litres / share.litres;
  const double square_days = pool.square_day_litres / share.litres - mean_days * mean_days;
  const double years[] = {sign * pool.least_days / 365.0, sign * pool.most_days / 365.0};
  const double as_it_came_y = share.age_y, at_least_y = share.at_least_y;
  share.age_y = as_it_came_y + sign * mean_days / 365.0;
  share.youngest_y = as_it_came_y + std::min(years[0], years[1]);
  share.oldest_y = as_it_came_y + std::max(years[0], years[1]);
  share.at_least_y = is_known(as_it_came_y) ? share.age_y : at_least_y + std::min(years[0], years[1]);
  if (pool.most_days > pool.least_days) share.sd_y = std::sqrt(std::max(square_days, 0.0)) / 365.0;
}

/// The age of one parcel on a day, and the least that it can be.
Share share_of_parcel(const Parcel& parcel, const Parcelled& wine, int index, int day) {
  const double on_day = is_known(parcel.rests_since_day) ? parcel.rests_since_day : day;
  Share share;
  share.parcel = index;
  share.litres = wine.litres[index];
  share.age_y = parcel.outside ? 0.0 : (on_day - parcel.zero_day) / 365.0;
  share.at_least_y = is_known(share.age_y) ? share.age_y : (on_day - parcel.older_than_day) / 365.0;
  share.youngest_y = share.oldest_y = share.age_y;
  if (parcel.shared) spread_out(share, parcel, wine.pools.at(index));
  return share;
}

double weighted_mean(const std::vector<Share>& shares, const Amounts& weights) {
  double sum = 0.0, weight = 0.0;
  for (const Share& share : shares) {
    sum += weights[share.parcel] * share.age_y;
    weight += weights[share.parcel];
  }
  return sum / weight;
}

double quantile(const std::vector<Share>& by_age, double q) {
  constexpr double kRounding = 1e-12;  // a share that should be exactly q may come out a hair below it
  double cumulated = 0.0;
  for (const Share& share : by_age) {
    cumulated += share.fraction;
    if (cumulated >= q - kRounding) return share.age_y;
  }
  return by_age.back().age_y;
}

void bounds(AgeSummary& age, const std::vector<Share>& shares) {
  double youngest_known = INFINITY, youngest_least = INFINITY, oldest_least = 0.0, mean_least = 0.0;
  for (const Share& share : shares) {
    if (is_known(share.age_y)) youngest_known = std::min(youngest_known, share.youngest_y);
    else age.unknown_fraction += share.fraction;
    youngest_least = std::min(youngest_least, is_known(share.age_y) ? share.youngest_y : share.at_least_y);
    oldest_least = std::max(oldest_least, is_known(share.age_y) ? share.oldest_y : share.at_least_y);
    mean_least += share.fraction * share.at_least_y;
  }
  age.mean_at_least_y = mean_least;
  age.youngest_at_least_y = youngest_least;
  age.oldest_at_least_y = oldest_least;
  if (youngest_known <= youngest_least) age.youngest_y = youngest_known;  // wine of unknown age cannot be younger
}

}  // namespace

std::vector<Share> shares_of(const Timeline& line, Clock, const Parcelled& wine, int day) {
  const double total_l = wine.litres.sum();
  std::vector<Share> shares;
  for (Eigen::Index i = 0; i < wine.litres.size(); ++i) {
    if (!(wine.litres[i] > 0.0)) continue;
    const auto index = static_cast<int>(i);
    shares.push_back(share_of_parcel(line.parcels[static_cast<std::size_t>(i)], wine, index, day));
    shares.back().fraction = wine.litres[i] / total_l;
  }
  std::stable_sort(shares.begin(), shares.end(), [&](const Share& a, const Share& b) {
    return line.parcels[static_cast<std::size_t>(a.parcel)].vintage <
           line.parcels[static_cast<std::size_t>(b.parcel)].vintage;
  });
  return shares;
}

AgeSummary age_of(const Timeline& line, Clock clock, const Parcelled& wine, int day) {
  std::vector<Share> shares = shares_of(line, clock, wine, day);
  AgeSummary age;
  if (shares.empty()) return age;
  bounds(age, shares);
  if (age.unknown_fraction > 0.0) return age;
  std::stable_sort(shares.begin(), shares.end(), [](const Share& a, const Share& b) { return a.age_y < b.age_y; });
  age.mean_y = weighted_mean(shares, wine.litres);
  age.youngest_y = age.youngest_at_least_y;
  age.oldest_y = age.oldest_at_least_y;
  double variance = 0.0;
  bool all_apart = true;
  for (const Share& share : shares) {
    const double from_mean_y = share.age_y - age.mean_y;
    variance += share.fraction * (from_mean_y * from_mean_y + share.sd_y * share.sd_y);
    all_apart = all_apart && !share.shared();
  }
  age.sd_y = std::sqrt(variance);
  if (!all_apart) return age;
  age.mean_by_alcohol_y = weighted_mean(shares, wine.alcohol);
  age.mean_by_solids_y = weighted_mean(shares, wine.entered);
  for (std::size_t i = 0; i < kQuantiles.size(); ++i) age.quantiles_y[i] = quantile(shares, kQuantiles[i]);
  return age;
}

double stock_over_draw_y(const Trajectory& trajectory, const DrawRecord& draw, double tiers_alcohol_l) {
  const auto& years = trajectory.flows.years;
  const auto year =
      std::find_if(years.begin(), years.end(), [&](const YearFlows& flows) { return flows.year == draw.date.year; });
  const double drawn_l = year == years.end() ? 0.0 : year->draws_alcohol_l;
  return drawn_l > 0.0 ? tiers_alcohol_l / drawn_l : kUnknown;
}

}  // namespace tierce
