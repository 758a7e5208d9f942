// The way of the SO2 through a habit, gone through again with any doses. Volumes and strengths do not ask for SO2, so a
// run is made once; after it only what is dissolved is reckoned anew, act by act, and the last period again and again.
// The same equations as ageing.h and readings.h, for the planned reckoning alone.
#pragma once

#include <vector>

#include "engine/measure/sulfur_plan.h"
#include "engine/run/run.h"

namespace tierce {

/// What one row holds, mg, and its sulfur step.
struct SulfurOfRow {
  double total_mg = 0.0, free_mg = 0.0, high_mg = 0.0, acetaldehyde_mg = 0.0;
  double sugar_g = 0.0, sulfate_g = 0.0;
  double step_total_mg = 0.0, step_free_mg = 0.0, step_high_mg = 0.0, step_litres = 0.0;
};

/// A run cut into what comes once and what repeats.
struct SulfurPath {
  std::vector<SulfurOfRow> begin;      // by row, as the log left it
  std::vector<DissolvedAct> acts;      // from there to the end of the run
  std::vector<SulfurOfRow> wines;      // what is brought, per litre
  std::size_t period_from = 0;         // the last period: acts from here on repeat
  std::vector<TestedMoment> moments;   // of the acts that dose or draw, in their order
  std::vector<std::size_t> moment_of;  // by act; only of those
  int period_years = 1;
  std::size_t moments_from = 0;  // the first of the last period
  bool repeats = false;          // the last two periods did the same acts to 1e-9
};
/// `run` was kept with Keep::acts; its timeline must still be there.
SulfurPath sulfur_path(const Trajectory& run, int period_years);

/// Goes along a path.
class SulfurWalk {
 public:
  static constexpr int kMostPeriods = 2560;          // a draw of 1 % a year settles to 1e-9 in some 2000
  static constexpr std::size_t kMostActs = 1000000;  // a walk is then done in hundredths of a second

  /// Doses as the habit asks them; or all of them plain, `plain_mg_l`.
  SulfurWalk(const Scenario& scenario, const SulfurPath& path, double plain_mg_l = kUnknown);
  /// The run once, then its last period until two of them have the same totals to 1e-9. False if that takes too long,
  /// or the run does not repeat.
  bool go();
  const std::vector<TestedMoment>& moments() const { return moments_; }  // in the order of time
  std::vector<TestedMoment> last_period() const;
  int last_year() const;
  std::size_t gone() const { return gone_; }  // acts so far

 private:
  void act(std::size_t index, int repeats);
  void age(const DissolvedAct& act, SulfurOfRow& row);
  double dose(const DissolvedAct& act, SulfurOfRow& row) const;
  bool settled() const;

  const Scenario& scenario_;
  const SulfurPath& path_;
  double plain_mg_l_;
  std::vector<AgeingLaw> laws_;
  std::vector<SulfurOfRow> rows_;
  Powers powers_;
  std::vector<TestedMoment> moments_;
  std::size_t period_begins_ = 0;  // among the moments
  int periods_ = 1;
  std::size_t gone_ = 0;
};

}  // namespace tierce
