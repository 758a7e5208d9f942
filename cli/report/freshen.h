// How much new wine brings a tier to a mean age, a strength, a sugar or a volatile acid, and what else it changes.
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "cli/command/target_options.h"
#include "engine/measure/age.h"
#include "engine/plan/refresh.h"

namespace tierce {

/// A tier's wine, as far as new wine changes it.
struct FreshWine {
  double volume_l = kUnknown;
  double mean_y = kUnknown, youngest_y = kUnknown;  // by the scenario's clock, by volume
  double alcohol_pct = kUnknown, sugar_g_l = kUnknown, acidity_g_l = kUnknown, va_g_l = kUnknown;
  double so2_total_mg_l = kUnknown;
  SulfurRange so2_free_mg_l{};
  double of(BringWhat what) const;
};

struct Freshening {
  Bring bring;
  FreshWine before, after;
  double new_wine_l = kUnknown;     // unknown: it cannot be done
  double drawn_first_l = kUnknown;  // whole wine that has to leave to make room, as far as the tier's target
  double nearest = kUnknown;        // if it cannot be done: the value that comes nearest
  std::string why_not{}, possible{};
};

struct FreshenAnswer {
  Date date{};
  std::string tier, lot;
  double lot_age_y = kUnknown;  // on that day
  double room_l = 0.0;          // up to the tier's target, without a draw
  std::vector<Freshening> values{};
  bool impossible() const;
};

struct FreshenRefusal {
  int status = 0;
  Problem problem;
};

/// `scenario`: checked. The tier is taken as it is on the day, before what the habit does then. Wine is drawn first, as
/// much as the target leaves no room for, then the new wine goes in: entries of the log, run as any log is. The
/// litres are found between nothing and the whole tier to 1e-12 of it.
std::variant<FreshenAnswer, FreshenRefusal> work_out_freshening(const Scenario& scenario, const TargetOptions& options,
                                                                Units units);

}  // namespace tierce
