#include "engine/measure/losses.h"

#include <algorithm>
#include <cmath>

namespace tierce {

bool GaugeCheck::beyond() const { return is_known(error_l) && std::abs(missing_l) > error_l; }

double joint_error(double a, double b) { return std::sqrt(a * a + b * b); }

std::vector<GaugeCheck> gauges_against_book(const Trajectory& run) {
  std::vector<GaugeCheck> checks;
  std::map<std::pair<int, int>, double> last_error_l;  // by row and vessel
  for (const Reading& reading : run.readings) {
    if (reading.quantity != "volume") continue;
    double& last_l = last_error_l.try_emplace({reading.row, reading.vessel}, 0.0).first->second;
    checks.push_back({&reading, reading.book - reading.measured, joint_error(reading.error_l, last_l)});
    last_l = is_known(reading.error_l) ? reading.error_l : 0.0;
  }
  return checks;
}

double YearLoss::per_year() const {
  if (!(mean_stock_l > 0.0) || !(years > 0.0)) return kUnknown;
  return -std::expm1(-evaporated_l / (mean_stock_l * years)) + (gauge_l + known_l) / mean_stock_l;
}

double YearLoss::allowed_l(double per_year) const { return -std::log1p(-per_year) * mean_stock_l * years; }

std::vector<YearLoss> losses_by_year(const Trajectory& run) {
  std::vector<YearLoss> years;
  for (const YearFlows& flows : run.flows.years) {
    YearLoss year;
    year.year = flows.year;
    year.years = flows.years;
    year.mean_stock_l = flows.years > 0.0 ? flows.litre_years / flows.years : 0.0;
    year.evaporated_l = flows.litres[kEvaporated];
    year.gauge_l = flows.litres[kGauged];
    year.known_l = flows.litres[kLost];
    year.alcohol_l = flows.alcohol[kEvaporated] + flows.alcohol[kGauged] + flows.alcohol[kLost];
    for (const LossRecord& loss : run.losses)
      if (loss.date.year == flows.year) year.causes[loss.cause] += loss.litres;
    years.push_back(year);
  }
  return years;
}

std::vector<YearLoss> together(const std::vector<std::vector<YearLoss>>& reserves) {
  std::map<int, YearLoss> sums;
  std::map<int, double> litre_years;
  for (const auto& reserve : reserves)
    for (const YearLoss& year : reserve) {
      YearLoss& sum = sums[year.year];
      sum.year = year.year;
      sum.years = std::max(sum.years, year.years);
      litre_years[year.year] += year.mean_stock_l * year.years;
      sum.evaporated_l += year.evaporated_l;
      sum.gauge_l += year.gauge_l;
      sum.known_l += year.known_l;
      sum.alcohol_l += year.alcohol_l;
      for (const auto& [cause, litres] : year.causes) sum.causes[cause] += litres;
    }
  std::vector<YearLoss> years;
  for (auto& [number, sum] : sums) {
    sum.mean_stock_l = sum.years > 0.0 ? litre_years[number] / sum.years : 0.0;
    years.push_back(sum);
  }
  return years;
}

std::vector<LotAccount> lot_accounts(const Scenario& scenario, const Timeline& line, const Trajectory& run) {
  std::vector<LotAccount> accounts;
  if (run.looks.empty()) return accounts;
  const Stock& stock = run.looks.back();
  for (std::size_t i = 0; i < line.lots.size(); ++i) {
    const Lot& lot = line.lots[i];
    if (!lot.made) continue;
    if (lot.made->date && *lot.made->date > stock.date) continue;  // not made yet
    LotAccount account{&lot, lot.made->volume_l * lot.made->lees_fraction, 0.0};
    account.left_l = lot.made->wine_l() - run.lot_used_l[i];
    if (lot.made->in) {
      account.left_l = 0.0;
      for (int row = scenario.tier_count(); row < scenario.rows(); ++row)
        for (std::size_t column = 0; column < line.parcels.size(); ++column)
          if (line.parcels[column].lot == lot.name)
            account.left_l += stock.litres(row, static_cast<Eigen::Index>(column));
    }
    accounts.push_back(account);
  }
  return accounts;
}

std::vector<SpiritAccount> spirit_accounts(const Scenario& scenario, const Trajectory& run) {
  std::vector<SpiritAccount> accounts;
  for (const Spirit& spirit : scenario.spirits) {
    SpiritAccount account{spirit.name, spirit.strength_pct, spirit.stock_l, 0.0};
    for (const FortifyRecord& record : run.fortifications)
      if (record.spirit == spirit.name) account.used_l += record.added_l;
    accounts.push_back(account);
  }
  return accounts;
}

}  // namespace tierce
