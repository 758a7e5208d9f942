// All that `tierce refresh` prints of one reserve, worked out.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "cli/read/load.h"
#include "engine/plan/filling.h"
#include "engine/plan/lot_choice.h"
#include "engine/plan/refresh.h"
#include "engine/plan/refresh_order.h"
#include "engine/run/outlook.h"

namespace tierce {

/// What the new wine that is ordered comes from.
enum class MadeFrom { wine, must, fruit };

struct RefreshOptions {
  std::optional<Date> on{};
  std::optional<Amount> draw{};
  std::string refill{};                                   // a lot's name
  double error_part = 0.01;                               // of a gauge
  Loss lees{}, filter{};                                  // of the new wine, before it goes in
  Loss bottling{};                                        // of the draw
  double bottle_l = kUnknown;                             // the reserve's own bottle
  std::optional<Level> level{};                           // of the vessels; empty: as the file has it
  std::optional<double> ullage_part{};                    // of each, to be left free; likewise
  std::vector<std::pair<std::string, double>> soakage{};  // vessels of new wood, litres that each drinks

  MadeFrom from = MadeFrom::wine;
  MakingWish making{};
  std::string spirit{}, sugar{}, drum{};  // as typed; the first may name a spirit of the file

  std::vector<std::pair<std::string, double>> lots{};                           // at hand, with the litres of each
  double strength_pct = kUnknown, sweet_g_l = kUnknown, youngest_y = kUnknown;  // wanted of the wine chosen from them

  NewWineLosses losses() const;
};

/// What is wrong: with the arguments (exit status 2) or with the wish (1).
struct OrderRefusal {
  int status = 0;
  std::vector<Problem> problems{};
};

/// What a tier is expected to hold on the day, and what each act changes.
struct TierDay {
  int row = 0;
  double expected_l = 0.0, low_l = 0.0, high_l = 0.0;  // with the error of a gauge
  double drawn_l = 0.0, passed_on_l = 0.0, taken_in_l = 0.0, new_wine_l = 0.0;
  double after_l = 0.0;
};

/// What one vessel gives and takes, if it is worked where it stands.
struct VesselDay {
  std::string name{};
  double capacity_l = 0.0, expected_l = 0.0;
  double out_l = 0.0, in_l = 0.0;  // drawn or passed on; put in
  double after_l = 0.0;
  bool part_full = false;
  double soakage_l = 0.0;  // what new wood will drink later
  double so2_g = 0.0;      // its part of the day's doses
};

struct TierVessels {
  int row = 0;
  std::vector<VesselDay> vessels{};  // in the order in which they are filled
};

struct BottleCount {
  double size_l = 0.0;
  double bottles = 0.0;  // whole ones
  double left_l = 0.0;
  bool own = false;  // the reserve's own size
};

/// What to do if a tier is found to hold something else; the other tiers as expected.
struct GaugeCase {
  int row = 0;
  double found_l = 0.0;
  IfGauged then{};
};

struct Refresh {
  RefreshOptions options{};
  RefreshPlan plan;
  Outlook before, after;
  std::string why_the_day{};
  std::vector<TierDay> tiers{};
  std::vector<TierVessels> vessels{};
  double to_bottle_l = 0.0;  // the draw less what bottling loses
  std::vector<BottleCount> bottles{};
  std::vector<WineOrder> wines{};
  std::vector<MakingOrder> makings{};
  std::optional<LotChoice> choice{};
  std::vector<LotAtHand> lots_at_hand{};
  std::vector<GaugeCase> cases{};
};

using RefreshOrRefusal = std::variant<Refresh, OrderRefusal>;

RefreshOrRefusal work_out_refresh(const LoadedScenario& loaded, const RefreshOptions& options, Units units);

/// Share of the newest vintage of a wine, and which.
struct NewestVintage {
  int vintage = 0;  // 0: none is known
  double share = kUnknown;
};
NewestVintage newest_vintage(const Outlook& outlook, const Parcelled& wine, int day);

}  // namespace tierce
