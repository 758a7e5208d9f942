// The habit alone, year after year without end: what it starts from, and the volumes and strengths that it settles at.
#pragma once

#include <Eigen/Dense>
#include <string>

#include "engine/book/scenario.h"

namespace tierce {

constexpr int kLongestPeriodYears = 50;    // after which the routines of a habit have to meet again
constexpr int kMostTiersForLongRun = 200;  // the eigenvalues of a larger matrix take longer than anybody waits

/// Why a habit leads nowhere, or why the wine has no age there.
struct NoLongRun {
  enum class Because {
    nothing,
    no_habit,
    no_start,       // it has no day to begin on
    never_repeats,  // its routines do not meet again in time
    too_many_tiers,
    too_many_days,
    no_new_wine,  // the reserve dries out
    stops,        // it cannot be kept up
    no_settling,  // of the volumes
    runs_dry,     // a tier
    nothing_leaves,
    draws_nothing,
    same_lot  // every refill brings it
  };
  Because because = Because::nothing;
  std::string fault{};  // of `stops`: what the run stops at

  explicit operator bool() const { return because != Because::nothing; }
};

struct EndlessHabit {
  Scenario scenario;            // tiers as the log leaves them; no log, opening, exceptions or doses
  Date start{};                 // the day on which the log leaves the reserve
  Eigen::VectorXd volume_l;     // of each tier on that day
  Eigen::VectorXd alcohol_pct;  // likewise; unknown where the strength is
  int period = 1;               // years after which all routines fall on the same days again
  NoLongRun why_not{};          // why there is none
};

/// Runs the log once. Without a habit, without a day to start from, and where the habit is too large to be run for
/// long, `why_not` says so.
EndlessHabit endless_habit(const Scenario& scenario);

/// The habit from the first day of a year on, with these volumes in the tiers and, where it is known, this strength:
/// the wine of each tier in a column of its own, the first ones, for each tier that holds wine, in order. Its age
/// counts from that day.
Scenario habit_from(const Scenario& alone, const Eigen::VectorXd& volume_l, const Eigen::VectorXd& alcohol_pct,
                    const Date& date);

/// Where the volumes of the tiers end a year once they repeat to 1e-9.
struct SettledVolumes {
  Eigen::VectorXd volume_l;
  int year = 0;         // the year that they end; 0 = they do not settle
  NoLongRun why_not{};  // why they do not settle
};
SettledVolumes settled_volumes(const EndlessHabit& habit);

/// Strengths, %vol, of the tiers on the first day of `year`, with which they come back a period later: Newton's method
/// with a derivative by differences, to 1e-10 %vol. Empty vector where they do not settle up to 100 %vol, where a
/// strength is unknown, or with more than 25 tiers.
Eigen::VectorXd settled_strengths(const EndlessHabit& habit, const Eigen::VectorXd& volume_l, int year);

}  // namespace tierce
