#include "cli/report/premises.h"

#include "cli/write/write.h"
#include "engine/measure/inventory.h"

namespace tierce {
namespace {

Value kind_of(const InventoryLine& line) {
  constexpr const char* kKinds[] = {"tier", "tank", "bottled"};
  return kKinds[static_cast<int>(line.kind)];
}

constexpr Field<InventoryLine> kLineFields[] = {
    {"reserve", "reserve", Figure::text, "name of the reserve", of<&InventoryLine::reserve>},
    {"kind", "kind", Figure::word, "what the line counts", kind_of, kAlways, "tier|tank|bottled"},
    {"place", "place or bottling", Figure::text, "tier, tank or bottling", of<&InventoryLine::place>},
    {"date", "on", Figure::date, "the day for which it holds", of<&InventoryLine::date>},
    {"volume_L", "volume", Figure::litres, "litres held or bottled", of<&InventoryLine::volume_l>},
    {"alcohol_L", "pure alcohol", Figure::pure_alcohol, "litres of pure alcohol in them",
     of<&InventoryLine::alcohol_l>},
    {"bottles", "bottles", Figure::exact_number, "bottles filled; null: not in bottles", of<&InventoryLine::bottles>},
    {"alcohol_pct", "strength", Figure::alcohol_pct, "strength", of<&InventoryLine::alcohol_pct>, kOnlyInTables},
};
constexpr Shape<InventoryLine> kLine{
    "premises_line", "One tank, tier or bottled lot in the inventory of several reserves.", kLineFields};

Table inventory_table(const std::vector<InventoryLine>& lines) {
  Table table = table_of(lines, kLine,
                         {"reserve",
                          "kind",
                          "place",
                          "date",
                          {"bottles", "bottles", Figure::whole},
                          "volume_L",
                          "alcohol_pct",
                          "alcohol_L"});
  for (std::size_t i = 0; i < lines.size(); ++i)  // wine that is not in bottles has no number of them, known or not
    if (!is_known(lines[i].bottles)) table.rows[i][4] = {};
  return table;
}

std::vector<YearLoss> losses_together(const Reserves& reserves) {
  std::vector<std::vector<YearLoss>> all;
  for (const Outlook& outlook : reserves) all.push_back(losses_by_year(outlook.run));
  return together(all);
}

constexpr Field<Reserves> kStockFields[] = {
    {"premises", "", Figure::list, "by reserve", [](auto& of) { return list_of(inventory(of), kLine); }, kAlways,
     nullptr, &kLine},
};
constexpr Field<PremisesLosses> kLossesFields[] = {
    {"premises", "", Figure::list, "in order",
     [](auto& of) { return list_of(year_loss_rows(losses_together(of.reserves), of.allowance), kYearLoss); }, kAlways,
     nullptr, &kYearLoss},
};

/// Where the reserves stand at different days: which, and what that means for the sums. Empty where they do not.
std::string days_text(const Reserves& reserves) {
  std::string text;
  bool differ = false;
  const auto day_of = [](const Outlook& outlook) { return outlook.run.looks.back().date; };
  for (const Outlook& outlook : reserves) {
    if (outlook.run.looks.empty()) continue;
    differ = differ || day_of(outlook) != day_of(reserves.front());
    text += (text.empty() ? "" : ", ") + outlook.scenario.reserve + ' ' + day_text(day_of(outlook));
  }
  if (!differ) return "";
  return "These stocks are of different days (" + text +
         "), so their sums are those of no one day: --on DATE, or --on today, shows all on one.";
}

std::string count_of(const Reserves& reserves, Units units) {
  return number_text(static_cast<double>(reserves.size()), Figure::whole, units) + " reserves";
}

}  // namespace

const Shape<Reserves> kPremisesStock{
    "premises_stock", "Of `stock` with several files, the last in the list: the inventory of all reserves.",
    kStockFields};
const Shape<PremisesLosses> kPremisesLosses{
    "premises_losses", "Of `losses` with several files, the last in the list: what all reserves lost together.",
    kLossesFields};

Document premises_stock_report(const Reserves& reserves, Units units) {
  std::vector<InventoryLine> lines = inventory(reserves);
  Document document;
  document.csv = inventory_table(lines);
  document.title = "THE PREMISES: " + count_of(reserves, units);
  document.note(days_text(reserves));
  for (InventoryLine& sum : sums_by_kind(lines)) {
    sum.reserve = "all";
    lines.push_back(std::move(sum));
  }
  document.blocks.emplace_back(inventory_table(lines));
  document.say(
      "Bottled: as filled; the book does not follow bottles out of the door. Pure alcohol is at 20 °C. Each reserve "
      "stands at the day of its own report.");
  return document;
}

Document premises_losses_report(const PremisesLosses& of, Units units) {
  Document document;
  document.csv = year_loss_table(losses_together(of.reserves), of.allowance);
  document.title = "THE PREMISES: what " + count_of(of.reserves, units) + " lost together";
  document.blocks.emplace_back(document.csv);
  return document;
}

}  // namespace tierce
