#include "engine/measure/composition.h"

#include <algorithm>
#include <map>
#include <string_view>
#include <unordered_map>

namespace tierce {
namespace {

std::vector<NamedShare> shares_by_name(const Timeline& line, const Amounts& litres,
                                       const std::map<std::string, double> Lot::*stated) {
  std::map<std::string, double> sums;
  const double all_l = litres.sum();
  std::unordered_map<std::string_view, const Lot*> lots;
  for (const Lot& lot : line.lots) lots.try_emplace(lot.name, &lot);
  for (Eigen::Index i = 0; i < litres.size(); ++i) {
    if (!(litres[i] > 0.0)) continue;
    const auto lot = lots.find(line.parcels[static_cast<std::size_t>(i)].lot);
    if (lot == lots.end()) continue;
    for (const auto& [name, share] : lot->second->*stated) sums[name] += share * litres[i] / all_l;
  }
  std::vector<NamedShare> shares;
  for (const auto& [name, fraction] : sums) shares.push_back({name, fraction});
  std::stable_sort(shares.begin(), shares.end(),
                   [](const NamedShare& a, const NamedShare& b) { return a.fraction > b.fraction; });
  return shares;
}

}  // namespace

const Lot* lot_of(const Timeline& line, const Parcel& parcel) {
  const auto found =
      std::find_if(line.lots.begin(), line.lots.end(), [&](const Lot& lot) { return lot.name == parcel.lot; });
  return found == line.lots.end() ? nullptr : &*found;
}

std::vector<NamedShare> grapes_of(const Timeline& line, const Amounts& litres) {
  return shares_by_name(line, litres, &Lot::grapes);
}

std::vector<NamedShare> grown_of(const Timeline& line, const Amounts& litres) {
  return shares_by_name(line, litres, &Lot::grown);
}

}  // namespace tierce
