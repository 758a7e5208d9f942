// What the wine has cost, where the file states costs.
#include <algorithm>
#include <cmath>

#include "cli/read/quantity_text.h"
#include "cli/read/suggest.h"
#include "cli/report/report.h"
#include "cli/write/write.h"
#include "engine/measure/balance.h"
#include "engine/measure/money.h"

namespace tierce {
namespace {

const std::string kNoBreak = "\xC2\xA0";           // holds a figure and its unit together
constexpr double kLargeL = 0.75, kSmallL = 0.375;  // the formats that every report shows

bool is_shown_anyhow(double bottle_l) { return bottle_l == kLargeL || bottle_l == kSmallL || !(bottle_l > 0.0); }

Column money(const std::string& name, const std::string& currency) { return {name, Figure::money, "", currency}; }

/// The columns behind the cost by volume: a bottle of each format.
std::vector<Column> cost_columns(const std::string& currency, Units units) {
  return {{units == Units::us ? "a gallon" : "a litre", Figure::money_by_volume, "", currency},
          money("750 mL", currency),
          money("375 mL", currency)};
}

std::vector<Cell> costs_of(double per_litre) { return {per_litre, per_litre * kLargeL, per_litre * kSmallL}; }

/// A draw or a bottling, with the bottle that it was or is to be filled into; 0 = none stated.
struct Left {
  const DrawRecord* wine;
  double bottle_l;
};

std::vector<Left> what_left(const Outlook& outlook) {
  std::vector<Left> all;
  for (const DrawRecord& draw : outlook.run.draws) all.push_back({&draw, bottle_of(outlook, draw)});
  for (const BottlingRecord& bottling : outlook.run.bottlings) all.push_back({&bottling.wine, bottling.bottle_l});
  std::stable_sort(all.begin(), all.end(), [](const Left& a, const Left& b) { return a.wine->day < b.wine->day; });
  return all;
}

}  // namespace

std::string money_text(double amount, const std::string& currency) {
  return figure_text(amount, Figure::money, Units::metric) + (currency.empty() ? "" : kNoBreak + currency);
}

double bottle_of(const Outlook& outlook, const DrawRecord& draw) {
  if (draw.event >= outlook.line.events.size()) return 0.0;
  const auto* act = std::get_if<Draw>(&outlook.line.events[draw.event].act);
  return act != nullptr && act->amount.kind == Amount::Kind::bottles ? act->amount.bottle_l : 0.0;
}

std::string cost_text(const Outlook& outlook, const DrawRecord& wine, double bottle_l) {
  const std::string currency = currency_of(outlook.scenario);
  const double per_litre = cost_per_l(wine);
  if (!is_known(per_litre)) return why_cost_unknown(outlook);
  const auto bottle = [&](double size_l) {
    return money_text(per_litre * size_l, currency) + " a bottle of " + bottle_text(size_l);
  };
  std::string text = bottle(kLargeL) + ", " + bottle(kSmallL);
  if (!is_shown_anyhow(bottle_l)) text += ", " + bottle(bottle_l);
  return text + "; " + money_text(wine.wine.solutes[kMoney], currency) + " in all, with what has evaporated" +
         (outlook.scenario.interest_per_year > 0.0 ? " and interest" : "");
}

std::string cost_per_volume_text(double per_litre, const std::string& currency, Units units) {
  return number_text(per_litre, Figure::money_by_volume, units) + kNoBreak + currency +
         unit_text(Figure::money_by_volume, units);
}

std::string why_cost_unknown(const Outlook& outlook) {
  const auto names = without_cost(outlook.scenario, outlook.line, outlook.run);
  return names.empty() ? "" : "no cost is stated of " + listed_briefly(names);
}

std::optional<Table> cost_table(const Outlook& outlook, Units units) {
  const std::string currency = currency_of(outlook.scenario);
  const std::vector<Left> all = what_left(outlook);
  const auto known = [](const Left& left) { return is_known(cost_per_l(*left.wine)); };
  if (currency.empty() || std::none_of(all.begin(), all.end(), known)) return std::nullopt;
  const bool own =
      std::any_of(all.begin(), all.end(), [](const Left& left) { return !is_shown_anyhow(left.bottle_l); });
  Table table{{{"cost of"}, {"date"}}, {}};
  for (Column& column : cost_columns(currency, units)) table.columns.push_back(std::move(column));
  if (own) table.columns.insert(table.columns.end(), {{"own bottle"}, money("each", currency)});
  table.columns.push_back(money("in all", currency));
  for (const Left& left : all) {
    const double per_litre = cost_per_l(*left.wine);
    std::vector<Cell> row = {left.wine->name, iso_text(left.wine->date)};
    for (const Cell& cell : costs_of(per_litre)) row.push_back(cell);
    if (own && is_shown_anyhow(left.bottle_l)) row.insert(row.end(), {std::string(), std::string()});
    else if (own) row.insert(row.end(), {bottle_text(left.bottle_l), per_litre * left.bottle_l});
    row.emplace_back(left.wine->wine.solutes[kMoney]);
    table.rows.push_back(std::move(row));
  }
  return table;
}

std::optional<Table> stock_cost_table(const Outlook& outlook, const Stock& stock, Units units) {
  const std::string currency = currency_of(outlook.scenario);
  if (currency.empty()) return std::nullopt;
  bool any_known = false;
  Table table{{{"cost of the wine in"}}, {}};
  for (Column& column : cost_columns(currency, units)) table.columns.push_back(std::move(column));
  table.columns.push_back(money("in all", currency));
  for (int row = 0; row < outlook.scenario.rows(); ++row) {
    if (!(stock.volume[row] > 0.0)) continue;
    any_known = any_known || is_known(stock.solutes(row, kMoney));
    std::vector<Cell> cells = {outlook.scenario.name_of(row)};
    for (const Cell& cell : costs_of(stock.per_litre(row, kMoney))) cells.push_back(cell);
    cells.emplace_back(stock.solutes(row, kMoney));
    table.rows.push_back(std::move(cells));
  }
  return any_known ? std::optional(std::move(table)) : std::nullopt;
}

std::string cost_note(const Outlook& outlook) {
  const std::string currency = currency_of(outlook.scenario);
  if (currency.empty()) return "";
  std::string text = "A cost includes what has evaporated";
  if (outlook.scenario.interest_per_year > 0.0)
    text += " and interest of " + trimmed_text(100.0 * outlook.scenario.interest_per_year, 2) + kNoBreak + "%/yr";
  text += "; work, wood and bottles are not in it.";
  const std::string why = why_cost_unknown(outlook);
  return why.empty() ? text : text + " It is not known of wine that is mixed with any without: " + why + ".";
}

std::string money_balance_text(const Outlook& outlook) {
  const std::string currency = currency_of(outlook.scenario);
  const Balance balance = balance_of(outlook.run, kMoney);
  if (currency.empty() || !is_known(balance.gap())) return "";
  const auto amount = [&](double value) { return number_text(value, Figure::money, Units::metric); };
  std::string line = "Balance in " + currency + ": ";
  if (balance.flow[kOpening] > 0.0) line += "opening " + amount(balance.flow[kOpening]) + " + ";
  line += "in " + amount(balance.flow[kIn]);
  if (balance.flow[kGained] > 0.0) line += " + interest " + amount(balance.flow[kGained]);
  line += " = held " + amount(balance.held) + " + drawn " + amount(balance.flow[kDrawn]);
  if (balance.flow[kBottled] > 0.0) line += " + bottled " + amount(balance.flow[kBottled]);
  if (balance.flow[kLost] > 0.0) line += " + lost " + amount(balance.flow[kLost]);
  const bool closes = std::abs(balance.gap()) <= kBalanceTolerance * (balance.throughput() + balance.flow[kGained]);
  return line + (closes ? "; it closes." : "; IT DOES NOT CLOSE: difference " + amount(balance.gap()) + ".");
}

}  // namespace tierce
