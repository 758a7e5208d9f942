// What was lost, by cause and by year; gauges against the book; the loss beside what is allowed.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/run/timeline.h"
#include "engine/run/trajectory.h"

namespace tierce {

/// A gauge beside the book. The book at a gauge rests on the last gauge of that place, so both errors count: the root
/// of the sum of their squares. Unknown where the gauge states none.
struct GaugeCheck {
  const Reading* reading = nullptr;
  double missing_l = 0.0;  // book less gauge
  double error_l = 0.0;
  bool beyond() const;  // further apart than the stated errors can be
};
std::vector<GaugeCheck> gauges_against_book(const Trajectory& run);

/// Two independent errors as one.
double joint_error(double a, double b);

struct YearLoss {
  int year = 0;
  double mean_stock_l = 0.0;  // litres held, over the part of the year that the book covers
  double years = 0.0;         // that part
  double evaporated_l = 0.0;
  double gauge_l = 0.0;                    // found missing; negative: found
  std::map<std::string, double> causes{};  // litres by cause
  double known_l = 0.0;                    // their sum
  double alcohol_l = 0.0;                  // pure alcohol of all of it
  double lost_l() const { return evaporated_l + gauge_l + known_l; }
  /// Part that is lost in a year: of wine that stays a whole year what evaporates, as `4 %/yr` of a tier means it; and
  /// beside it, of the mean stock, what a gauge missed and what was lost for a cause, which happen once.
  double per_year() const;
  /// Litres that an allowance lets go: it is a rate like that of a tier, so it takes -ln(1 - rate) of the mean stock.
  double allowed_l(double per_year) const;
};
std::vector<YearLoss> losses_by_year(const Trajectory& run);
/// The same years of several reserves together.
std::vector<YearLoss> together(const std::vector<std::vector<YearLoss>>& reserves);

/// Spirit of the list: bought (unknown where no account is kept), used, left.
struct SpiritAccount {
  std::string name;
  double strength_pct = kUnknown;
  double bought_l = kUnknown;
  double used_l = 0.0;
  double left_l() const { return bought_l - used_l; }
};
/// A lot whose volume is stated: made, lees, used, left. Of a lot in a tank what is left is what the tanks hold of it.
struct LotAccount {
  const Lot* lot = nullptr;
  double lees_l = 0.0;
  double left_l = 0.0;
  double used_l() const { return lot->made->volume_l - lees_l - left_l; }
};
std::vector<LotAccount> lot_accounts(const Scenario& scenario, const Timeline& line, const Trajectory& run);

std::vector<SpiritAccount> spirit_accounts(const Scenario& scenario, const Trajectory& run);

}  // namespace tierce
