// The largest share of the wine that may be drawn each time: exact runs of the engine, and a root finder between them.
#pragma once

#include <functional>
#include <map>
#include <string>

#include "engine/book/value.h"

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
  bool goes = false;      // the wine and the vessels suffice
  std::string why_not{};  // why they do not
  AgeFigures last{};      // of the draws once settled; or of the last draw of the forecast
  AgeFigures least{};     // the least of all draws of the forecast
  double drawn_l_y = kUnknown, new_wine_l_y = kUnknown;  // a year; of a forecast, in its last year
  double full_l = kUnknown;                              // the most that all tiers hold together, just after a refill
  double quotient_y = kUnknown;                          // the official one, of the draw that a label is asked for

  /// Drawn a year, of the full stock; unknown where the tiers are never full.
  double part_of_full() const { return full_l > 0.0 ? drawn_l_y / full_l : kUnknown; }
};

using RunShare = std::function<ShareTrial(double share)>;
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
  std::string why_not{};        // for `unknown`
};

constexpr int kShareBits = 50;  // to which a share is found, unless less is asked

/// Searches over shares; each is run once.
class ShareSearch {
 public:
  explicit ShareSearch(RunShare run, int bits = kShareBits) : run_(std::move(run)), bits_(bits) {}

  const ShareTrial& at(double share);
  /// The largest share that can be drawn for want of nothing, to the bits asked; unknown where none can.
  double most();
  /// The smallest: 1e-9, unless vessels run over with less drawn.
  double least();
  /// Why not even one share can be drawn.
  std::string why_none() const { return why_none_; }
  /// Why less than the smallest cannot be drawn; empty where next to nothing can.
  std::string why_no_less() { return is_known(least()) ? at(kLeastShare).why_not : std::string(); }
  LargestShare largest(const AgeOfTrial& age, double wanted_y);
  /// The age at the smallest share.
  double highest(const AgeOfTrial& age) { return is_known(least()) ? age(at(least())) : kUnknown; }

 private:
  static constexpr double kLeastShare = 1e-9;  // as good as drawing nothing

  void find_bounds();
  double refine(const AgeOfTrial& age, double wanted_y, double keeps, double fails);

  RunShare run_;
  int bits_;
  std::map<double, ShareTrial> known_;
  bool bounded_ = false;
  double most_ = kUnknown, least_ = kUnknown;
  std::string why_none_;
};

/// An age counts as reached within this.
constexpr double kSameAgeY = 1e-9;

}  // namespace tierce
