// What the wine has cost, where the file states costs.
#include <algorithm>
#include <cmath>

#include "cli/read/quantity_text.h"
#include "cli/read/suggest.h"
#include "cli/report/report.h"
#include "cli/report/wine_rows.h"
#include "cli/write/write.h"
#include "engine/measure/balance.h"
#include "engine/measure/money.h"

namespace tierce {
namespace {

const std::string kNoBreak = "\xC2\xA0";           // holds a figure and its unit together
constexpr double kLargeL = 0.75, kSmallL = 0.375;  // the formats that every report shows

bool is_shown_anyhow(double bottle_l) { return bottle_l == kLargeL || bottle_l == kSmallL || !(bottle_l > 0.0); }

/// What left, with the bottle that it was or is to be filled into.
struct CostRow : DrawRow {
  double per_l() const { return cost_per_l(*draw); }
  bool has_own_bottle() const { return !is_shown_anyhow(own_bottle_l); }
};

constexpr Field<CostRow> kCostRowFields[] = {
    {"name", "cost of", Figure::text, "draw or bottling", [](auto& row) -> Value { return row.draw->name; }},
    {"date", "date", Figure::text, "its day", [](auto& row) -> Value { return row.draw->date; }},
    {"cost_per_L", "a litre", Figure::money_by_volume, "of a litre", of<&CostRow::per_l>},
    {"large", "750 mL", Figure::money, "of a bottle", [](auto& row) -> Value { return row.per_l() * kLargeL; }},
    {"small", "375 mL", Figure::money, "of a half bottle", [](auto& row) -> Value { return row.per_l() * kSmallL; }},
    {"bottle", "own bottle", Figure::text, "its own bottle",
     [](auto& row) -> Value { return row.has_own_bottle() ? bottle_text(row.own_bottle_l) : ""; }},
    {"each", "each", Figure::money, "of that",
     [](auto& row) { return row.has_own_bottle() ? Value(row.per_l() * row.own_bottle_l) : Value(""); }},
    {"money", "in all", Figure::money, "of all of it",
     [](auto& row) -> Value { return row.draw->wine.solutes[kMoney]; }},
};
constexpr Shape<CostRow> kCostRow{"cost_row", "What wine that left has cost.", kCostRowFields};

std::vector<CostRow> what_left(const Outlook& outlook) {
  std::vector<CostRow> all;
  for (const DrawRow& row : draw_rows(outlook)) all.push_back({row});
  for (const BottlingRow& row : bottling_rows(outlook)) all.push_back({row});
  std::stable_sort(all.begin(), all.end(), [](auto& a, auto& b) { return a.draw->day < b.draw->day; });
  return all;
}

const char* a_volume(Units units) { return units == Units::us ? "a gallon" : "a litre"; }

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

Table cost_table(const Outlook& outlook, Units units) {
  const std::string currency = currency_of(outlook.scenario);
  const auto all = what_left(outlook);
  const auto known = [](const CostRow& row) { return is_known(row.per_l()); };
  if (currency.empty() || std::none_of(all.begin(), all.end(), known)) return {};
  std::vector<Pick> picks = {"name", "date", {"cost_per_L", a_volume(units)}, "large", "small"};
  if (std::any_of(all.begin(), all.end(), [](const CostRow& row) { return row.has_own_bottle(); }))
    picks.insert(picks.end(), {"bottle", "each"});
  picks.emplace_back("money");
  return in_currency(table_of(all, kCostRow, picks), currency);
}

Table stock_cost_table(const Outlook& outlook, const std::vector<PlaceRow>& filled, Units units) {
  const std::string currency = currency_of(outlook.scenario);
  const auto known = [](const PlaceRow& row) { return is_known(row.wine.solutes[kMoney]); };
  if (currency.empty() || std::none_of(filled.begin(), filled.end(), known)) return {};
  return in_currency(
      table_of(
          filled, kPlace,
          {{"place", "cost of the wine in"}, {"cost_per_L", a_volume(units)}, "cost_large", "cost_small", "money"}),
      currency);
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
