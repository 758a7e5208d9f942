#include "engine/age.h"

#include <algorithm>
#include <cmath>

namespace tierce {
namespace {

/// The age of one parcel on a day, and the least that it can be.
Share share_of_parcel(const Parcel& parcel, Clock clock, const Parcelled& wine, int index, int day) {
  Share share;
  share.parcel = index;
  share.litres = wine.litres[index];
  if (parcel.outside) {
    share.age_y = 0.0;
  } else if (clock == Clock::wood) {
    share.at_least_y = wine.litre_years[index] / share.litres;
    const bool known = !is_known(parcel.older_than_day) || is_known(parcel.wood_years_before);
    share.age_y = known ? share.at_least_y : kUnknown;
    return share;
  } else {
    share.age_y = (day - parcel.zero_day) / 365.0;
  }
  share.at_least_y = is_known(share.age_y) ? share.age_y : (day - parcel.older_than_day) / 365.0;
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
    if (is_known(share.age_y)) youngest_known = std::min(youngest_known, share.age_y);
    else age.unknown_fraction += share.fraction;
    youngest_least = std::min(youngest_least, share.at_least_y);
    oldest_least = std::max(oldest_least, share.at_least_y);
    mean_least += share.fraction * share.at_least_y;
  }
  age.mean_at_least_y = mean_least;
  age.youngest_at_least_y = youngest_least;
  age.oldest_at_least_y = oldest_least;
  if (youngest_known <= youngest_least) age.youngest_y = youngest_known;  // wine of unknown age cannot be younger
}

}  // namespace

std::vector<Share> shares_of(const Timeline& line, Clock clock, const Parcelled& wine, int day) {
  const double total_l = wine.litres.sum();
  std::vector<Share> shares;
  for (Eigen::Index i = 0; i < wine.litres.size(); ++i) {
    if (!(wine.litres[i] > 0.0)) continue;
    const auto index = static_cast<int>(i);
    shares.push_back(share_of_parcel(line.parcels[static_cast<std::size_t>(i)], clock, wine, index, day));
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
  age.mean_by_alcohol_y = weighted_mean(shares, wine.alcohol);
  age.mean_by_solids_y = weighted_mean(shares, wine.entered);
  age.youngest_y = shares.front().age_y;
  age.oldest_y = shares.back().age_y;
  double variance = 0.0;
  for (const Share& share : shares)
    variance += share.fraction * (share.age_y - age.mean_y) * (share.age_y - age.mean_y);
  age.sd_y = std::sqrt(variance);
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
