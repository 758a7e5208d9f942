// How much new wine brings a tier to a mean age, a strength, a sugar or a volatile acid, and what else it changes.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "engine/plan/refresh.h"
#include "engine/run/binding.h"

namespace tierce {

/// What new wine is to bring to a value.
enum class BringWhat { mean_age, alcohol, sugar, volatile_acid };

struct Bring {
  BringWhat what = BringWhat::mean_age;
  double wanted = kUnknown;  // years, %vol, g/L
};

struct FreshenWish {
  std::vector<Bring> bring{};
  std::optional<int> lot{};   // empty: what the habit refills with
  std::optional<int> tier{};  // empty: the last
  std::optional<Date> on{};   // empty: the habit's next day
};

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
  enum class Cannot { nothing, tier_not_known, lot_not_known, not_in_the_book, too_little, between };
  Bring bring;
  FreshWine before, after;
  double new_wine_l = kUnknown;     // unknown: it cannot be done
  double drawn_first_l = kUnknown;  // whole wine that has to leave to make room, as far as the tier's target
  Cannot cannot = Cannot::nothing;
  double at_most = kUnknown;      // the value with all the new wine that there is, or room for
  double available_l = kUnknown;  // of `too_little`: what is left of the lot
  double nearest = kUnknown;      // if it cannot be done: the value that comes nearest
};

struct FreshenAnswer {
  Date date{};
  int tier = 0;
  std::string lot{};
  double lot_age_y = kUnknown;  // on that day
  double room_l = 0.0;          // up to the tier's target, without a draw
  std::vector<Freshening> values{};
  bool impossible() const;
};

struct FreshenRefusal {
  enum class Because { plan, no_new_wine, not_harvested, no_wine_held };
  Because because = Because::plan;
  RefreshRefusal plan{};  // of the day
  Date date{};
  int tier = 0;
  std::string lot{};  // the new wine, if any, and its harvest
  Date harvested{};
};

/// `scenario`: checked, with a habit. The tier is taken as it is on the day, before what the habit does then. Wine is
/// drawn first, as much as the target leaves no room for, then the new wine goes in: entries of the log, run as any log
/// is. The litres are found between nothing and the whole tier to 1e-12 of it.
std::variant<FreshenAnswer, FreshenRefusal> work_out_freshening(const Scenario& scenario, const FreshenWish& wish);

}  // namespace tierce
