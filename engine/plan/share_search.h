// The largest share of the wine that may be drawn each time: exact runs of the engine, and a root finder between them.
#pragma once

#include <functional>
#include <map>

#include "engine/plan/long_run.h"

namespace tierce {

/// What a wine's age is asked for.
enum class AgeKind { by_volume, by_alcohol, by_solids, youngest };
constexpr int kAgeKinds = 4;

struct AgeFigures {
  double y[kAgeKinds] = {kUnknown, kUnknown, kUnknown, kUnknown};
  double operator[](AgeKind kind) const { return y[static_cast<int>(kind)]; }
  double& operator[](AgeKind kind) { return y[static_cast<int>(kind)]; }
};

/// A habit that draws one share of what the last tier holds each time: what it comes to.
struct ShareTrial {
  double share = kUnknown;
  bool goes = false;    // the wine and the vessels suffice
  NoLongRun why_not{};  // why they do not
  AgeFigures last{};    // of the draws once settled; or of the last draw of the forecast
  AgeFigures least{};   // the least of all draws of the forecast
  double drawn_l_y = kUnknown, new_wine_l_y = kUnknown;  // a year; of a forecast, in its last year
  double full_l = kUnknown;                              // the most that all tiers hold together, just after a refill
  double quotient_y = kUnknown;                          // the official one, of the draw that a label is asked for

  /// Drawn a year, of the full stock; unknown where the tiers are never full.
  double part_of_full() const { return full_l > 0.0 ? drawn_l_y / full_l : kUnknown; }
};

using AgeOfTrial = std::function<double(const ShareTrial&)>;

struct LargestShare {
  enum class Limit {
    age,     // a larger share falls below the age
    wine,    // a larger share cannot be drawn, for want of wine
    never,   // no share reaches the age
    unknown  // it cannot be told
  };
  Limit limit = Limit::unknown;
  ShareTrial at{};              // the largest share; where none reaches the age, the share with the highest
  double highest_y = kUnknown;  // age at the smallest share that can be drawn
  NoLongRun why_not{};          // for `unknown`

  bool found() const { return limit == Limit::age || limit == Limit::wine; }
};

/// An age counts as reached within this.
constexpr double kSameAgeY = 1e-9;

/// Searches over shares; each is run once.
class ShareSearch {
 public:
  using RunShare = std::function<ShareTrial(double share)>;
  /// `bits`: to which a share is found.
  explicit ShareSearch(RunShare run, int bits = 50) : run_(std::move(run)), bits_(bits) {}

  const ShareTrial& at(double share);
  /// The largest share that can be drawn for want of nothing, to the bits asked; unknown where none can.
  double most();
  /// The smallest: 1e-9, unless vessels run over with less drawn.
  double least();
  /// Why not even one share can be drawn.
  NoLongRun why_none();
  /// Why less than the smallest cannot be drawn; nothing where next to nothing can.
  NoLongRun why_no_less();
  LargestShare largest(const AgeOfTrial& age, double wanted_y);

 private:
  void find_bounds();
  double refine(const AgeOfTrial& age, double wanted_y, double keeps, double fails);

  RunShare run_;
  int bits_;
  std::map<double, ShareTrial> known_;
  bool bounded_ = false;
  double most_ = kUnknown, least_ = kUnknown;
};

}  // namespace tierce
