#include "engine/measure/inventory.h"

namespace tierce {

std::vector<InventoryLine> inventory(const std::vector<Outlook>& reserves) {
  using Kind = InventoryLine::Kind;
  std::vector<InventoryLine> lines;
  for (const Outlook& outlook : reserves) {
    if (outlook.run.looks.empty()) continue;
    const Scenario& scenario = outlook.scenario;
    const Stock& stock = outlook.run.looks.back();
    for (int row = 0; row < scenario.rows(); ++row)
      lines.push_back({scenario.reserve, scenario.is_tank(row) ? Kind::tank : Kind::tier, scenario.name_of(row),
                       stock.date, stock.volume[row], stock.alcohol_l(row)});
    for (const BottlingRecord& bottling : outlook.run.bottlings) {
      const DrawRecord& wine = bottling.wine;
      lines.push_back({scenario.reserve, Kind::bottled, wine.name, wine.date, wine.volume_l, wine.wine.alcohol.sum(),
                       bottling.bottles});
    }
  }
  return lines;
}

std::vector<InventoryLine> sums_by_kind(const std::vector<InventoryLine>& lines) {
  using Kind = InventoryLine::Kind;
  std::vector<InventoryLine> sums;
  for (const Kind kind : {Kind::tier, Kind::tank, Kind::bottled}) {
    InventoryLine sum{.kind = kind};
    for (const InventoryLine& line : lines) {
      if (line.kind != kind || !(line.volume_l > 0.0)) continue;
      sum.volume_l += line.volume_l;
      sum.alcohol_l += line.alcohol_l;
    }
    if (sum.volume_l > 0.0) sums.push_back(sum);
  }
  return sums;
}

}  // namespace tierce
