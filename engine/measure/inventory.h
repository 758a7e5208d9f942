// Several reserves under one roof: what each place holds, what was bottled, and their sums.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/run/outlook.h"

namespace tierce {

/// Wine of one tier, one tank, or one bottling; or the sum of all of a kind, which has no reserve and no day.
struct InventoryLine {
  enum class Kind { tier, tank, bottled };
  std::string reserve{};
  Kind kind = Kind::tier;
  std::string place{};
  std::optional<Date> date{};
  double volume_l = 0.0;
  double alcohol_l = 0.0;  // unknown where the strength is
  double bottles = kUnknown;
  double alcohol_pct() const { return volume_l > 0.0 ? 100.0 * alcohol_l / volume_l : kUnknown; }
};

/// Each outlook ends on the day asked for.
std::vector<InventoryLine> inventory(const std::vector<Outlook>& reserves);
/// One for each kind of which there is any.
std::vector<InventoryLine> sums_by_kind(const std::vector<InventoryLine>& lines);

}  // namespace tierce
