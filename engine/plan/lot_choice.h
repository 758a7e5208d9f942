// Which of several lots at hand, and how much of each, make new wine of a wanted strength, sugar and age: a linear
// program, solved by COIN-OR Clp.
#pragma once

#include <string>
#include <vector>

#include "engine/book/scenario.h"

namespace tierce {

struct LotAtHand {
  std::string name;
  double available_l = 0.0;
  double alcohol_pct = kUnknown;
  double sugar_g_l = kUnknown;
  double age_y = kUnknown;  // on the day
  double cost_per_l = kUnknown;
};

struct WantedWine {
  double litres = 0.0;
  double alcohol_pct = kUnknown;  // unknown: not asked for
  double sugar_g_l = kUnknown;
  double youngest_y = kUnknown;  // no lot may be younger
};

struct Reach {
  double low = kUnknown, high = kUnknown;
};

/// What keeps a wish from being met.
enum class LotFault { none, no_lot_old_enough, too_little, strength, sugar, both_together };

struct LotChoice {
  std::vector<double> litres{};                         // of each lot; of a refused wish: what comes nearest
  double alcohol_pct = kUnknown, sugar_g_l = kUnknown;  // of the choice
  bool by_cost = false;                                 // the cheapest choice; else the oldest lots first
  LotFault fault = LotFault::none;
  double available_l = 0.0;    // of lots that are old enough
  double oldest_y = kUnknown;  // of the lots at hand
  Reach strength{}, sugar{};   // each alone, for the litres wanted
  Reach sugar_at_strength{};   // with the strength as wanted
};

/// Amounts from 0 to what is there that sum to the litres wanted and have the strength and the sugar wanted. Of all
/// such choices the cheapest, if every lot has a cost; else the one with the most litre-years, so that the oldest lots
/// go first. At most as many lots are taken in part as there are wishes. A value that is asked for must be known.
LotChoice choose_lots(const std::vector<LotAtHand>& lots, const WantedWine& wanted);

}  // namespace tierce
