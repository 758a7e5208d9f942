#include "cli/report/premises.h"

#include <cmath>

#include "cli/report/json_losses.h"
#include "cli/report/json_number.h"
#include "cli/report/losses.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

using nlohmann::json;

/// A line of the inventory: wine of one tier, one tank, or one bottling.
struct Line {
  std::string reserve, kind, place;
  Date date;
  double volume_l = 0.0;
  double alcohol_l = kUnknown;
  double bottles = kUnknown;
};

std::vector<Line> lines_of(const Outlook& outlook) {
  std::vector<Line> lines;
  if (outlook.run.looks.empty()) return lines;
  const Scenario& scenario = outlook.scenario;
  const Stock& stock = outlook.run.looks.back();
  for (int row = 0; row < scenario.rows(); ++row)
    lines.push_back({scenario.reserve, scenario.is_tank(row) ? "tank" : "tier", scenario.name_of(row), stock.date,
                     stock.volume[row], stock.alcohol_l(row), kUnknown});
  for (const BottlingRecord& bottling : outlook.run.bottlings)
    lines.push_back({scenario.reserve, "bottled", bottling.wine.name, bottling.wine.date, bottling.wine.volume_l,
                     bottling.wine.wine.alcohol.sum(), bottling.bottles});
  return lines;
}

std::vector<Line> inventory(const std::vector<Outlook>& reserves) {
  std::vector<Line> lines;
  for (const Outlook& outlook : reserves)
    for (Line& line : lines_of(outlook)) lines.push_back(std::move(line));
  return lines;
}

std::vector<Cell> row_of(const Line& line) {
  const double pct = line.volume_l > 0.0 ? 100.0 * line.alcohol_l / line.volume_l : kUnknown;
  std::vector<Cell> row = {line.reserve,     line.kind,     line.place, iso_text(line.date),
                           std::monostate{}, line.volume_l, pct,        line.alcohol_l};
  if (is_known(line.bottles)) row[4] = line.bottles;
  return row;
}

/// The sum of the lines of a kind; of all kinds if it is empty.
Line sum_of(const std::vector<Line>& lines, const std::string& kind) {
  Line sum;
  sum.alcohol_l = 0.0;
  for (const Line& line : lines) {
    if (line.kind != kind) continue;
    sum.volume_l += line.volume_l;
    if (line.volume_l > 0.0) sum.alcohol_l += line.alcohol_l;
  }
  return sum;
}

Table inventory_table(const std::vector<Line>& lines) {
  Table table{{{"reserve"},
               {"kind"},
               {"place or bottling", Figure::text, "place"},
               {"on", Figure::text, "date"},
               {"bottles", Figure::whole},
               {"volume", Figure::litres},
               {"strength", Figure::alcohol_pct},
               {"pure alcohol", Figure::pure_alcohol}},
              {}};
  for (const Line& line : lines) table.rows.push_back(row_of(line));
  return table;
}

Table with_totals(Table table, const std::vector<Line>& lines) {
  for (const char* kind : {"tier", "tank", "bottled"}) {
    const Line sum = sum_of(lines, kind);
    if (!(sum.volume_l > 0.0)) continue;
    std::vector<Cell> row = row_of(sum);
    row[0] = std::string("all");
    row[1] = std::string(kind);
    row[3] = std::string("");
    table.rows.push_back(std::move(row));
  }
  return table;
}

/// Where the reserves stand at different days: which, and what that means for the sums. Empty where they do not.
std::string days_text(const std::vector<Outlook>& reserves) {
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

json line_object(const Line& line) {
  return {{"reserve", line.reserve},
          {"kind", line.kind},
          {"place", line.place},
          {"date", iso_text(line.date)},
          {"volume_L", json_number(line.volume_l)},
          {"alcohol_L", json_number(line.alcohol_l)},
          {"bottles", json_number(line.bottles)}};
}

std::vector<std::vector<YearLoss>> losses_of(const std::vector<Outlook>& reserves) {
  std::vector<std::vector<YearLoss>> all;
  for (const Outlook& outlook : reserves) all.push_back(losses_by_year(outlook.run));
  return all;
}

}  // namespace

Report premises_stock_report(const std::vector<Outlook>& reserves, Units units) {
  const std::vector<Line> lines = inventory(reserves);
  Report report;
  report.csv = inventory_table(lines);
  report.parts.push_back(Paragraph{
      "THE PREMISES: " + number_text(static_cast<double>(reserves.size()), Figure::whole, units) + " reserves"});
  if (const std::string days = days_text(reserves); !days.empty()) report.parts.push_back(Paragraph{days});
  report.parts.push_back(Paragraph{""});
  report.parts.push_back(with_totals(report.csv, lines));
  report.parts.push_back(Paragraph{""});
  report.parts.push_back(
      Paragraph{"Bottled: as filled; the book does not follow bottles out of the door. Pure alcohol is at 20 °C. Each "
                "reserve stands at the day of its own report."});
  return report;
}

json premises_stock_json(const std::vector<Outlook>& reserves) {
  json list = json::array();
  for (const Line& line : inventory(reserves)) list.push_back(line_object(line));
  return {{"premises", list}};
}

Report premises_losses_report(const std::vector<Outlook>& reserves, double allowance, Units units) {
  Report report;
  report.csv = year_loss_table(together(losses_of(reserves)), allowance);
  report.parts.push_back(Paragraph{"THE PREMISES: what " +
                                   number_text(static_cast<double>(reserves.size()), Figure::whole, units) +
                                   " reserves lost together"});
  report.parts.push_back(Paragraph{""});
  report.parts.push_back(report.csv);
  return report;
}

json premises_losses_json(const std::vector<Outlook>& reserves, double allowance) {
  return {{"premises", year_losses_array(together(losses_of(reserves)), allowance)}};
}

}  // namespace tierce
