// Which vintages each tier holds, from year to year; where the wine went.
#include <algorithm>
#include <map>

#include "cli/page_charts.h"
#include "cli/report.h"
#include "cli/write.h"

namespace tierce {

using nlohmann::json;

double on_year_axis(const Date& date) { return day_number(date) / 365.0; }

namespace {

using Shares = std::map<std::string, double>;

Shares shares_by_vintage(const Outlook& outlook, const Stock& stock, int row) {
  Shares shares;
  for (const Share& share : shares_of(outlook.line, outlook.scenario.clock, part_of(stock, row, 1.0), stock.day)) {
    const Parcel& parcel = outlook.line.parcels[static_cast<std::size_t>(share.parcel)];
    shares[parcel.vintage > 0 ? std::to_string(parcel.vintage) : parcel.lot] += share.fraction;
  }
  return shares;
}

/// Wine without a vintage, which is older than the book, lies below all others.
std::vector<std::string> in_order_of_age(const std::vector<Shares>& all) {
  std::map<std::string, bool> names;
  for (const Shares& shares : all)
    for (const auto& [name, fraction] : shares) names[name] = true;
  std::vector<std::string> order;
  for (const auto& [name, seen] : names) order.push_back(name);
  std::stable_partition(order.begin(), order.end(),
                        [](const std::string& name) { return name.find_first_not_of("0123456789") < name.size(); });
  return order;
}

/// "2030 23.3 %, 2029 17.9 %, 2028 13.7 % and 9 others"
std::string largest_text(const Shares& shares) {
  std::vector<std::pair<std::string, double>> sorted(shares.begin(), shares.end());
  std::stable_sort(sorted.begin(), sorted.end(), [](const auto& a, const auto& b) { return a.second > b.second; });
  std::string text;
  const std::size_t shown = std::min<std::size_t>(3, sorted.size());
  for (std::size_t i = 0; i < shown; ++i)
    text += (text.empty() ? "" : ", ") + sorted[i].first + " " +
            figure_text(sorted[i].second, Figure::share, Units::metric);
  if (sorted.size() > shown) text += " and " + std::to_string(sorted.size() - shown) + " more";
  return text;
}

Chart vintage_chart(const Outlook& looked, int row) {
  std::vector<Shares> all;
  std::vector<const Stock*> stocks;
  for (const Stock& stock : looked.run.looks)
    if (stock.volume[row] > 0.0) {
      all.push_back(shares_by_vintage(looked, stock, row));
      stocks.push_back(&stock);
    }
  Chart chart{"Vintages in " + looked.scenario.name_of(row), "", {}, {{{"at the end of"}}, {}}};
  if (all.empty()) return chart;
  chart.drawing = {{"kind", "stack"},
                   {"y", {{"name", "share of the wine"}, {"unit", "%"}, {"to", 100}}},
                   {"x", json::array()},
                   {"now", on_year_axis(looked.line.log_end)},
                   {"series", json::array()}};
  for (const Stock* stock : stocks) {
    chart.drawing["x"].push_back(on_year_axis(stock->date));
    chart.behind.rows.push_back({day_text(stock->date)});
  }
  for (const std::string& name : in_order_of_age(all)) {
    json values = json::array();
    chart.behind.columns.push_back({name, Figure::share});
    for (std::size_t i = 0; i < all.size(); ++i) {
      const auto found = all[i].find(name);
      const double fraction = found == all[i].end() ? 0.0 : found->second;
      values.push_back(100.0 * fraction);
      chart.behind.rows[i].push_back(fraction);
    }
    chart.drawing["series"].push_back({{"name", name}, {"values", values}});
  }
  chart.says =
      "Oldest vintages at the bottom. " + day_text(stocks.back()->date) + ": " + largest_text(all.back()) + ".";
  return chart;
}

struct YearColumn {
  const char* name;
  Flow flow;
};

}  // namespace

std::vector<Chart> vintage_charts(const Outlook& looked) {
  std::vector<Chart> charts;
  for (int row = 0; row < looked.scenario.tier_count(); ++row) {
    Chart chart = vintage_chart(looked, row);
    if (!chart.drawing.is_null()) charts.push_back(std::move(chart));
  }
  return charts;
}

Chart flow_chart(const Outlook& outlook, Units units) {
  constexpr YearColumn kIns[] = {{"in", kIn}, {"opening stock", kOpening}, {"water", kWater}};
  constexpr YearColumn kOuts[] = {{"drawn", kDrawn},
                                  {"evaporated", kEvaporated},
                                  {"lost", kLost},
                                  {"missing at the gauge", kGauged},
                                  {"contracted", kContracted}};
  const auto& years = outlook.run.flows.years;
  Chart chart{"What came in and what went out", "", {}, forecast_report(outlook, {}, units).csv};
  chart.drawing = {{"kind", "columns"},
                   {"x", json::array()},
                   {"now", outlook.line.log_end.year},
                   {"y", {{"name", "a year"}, {"unit", unit_text(Figure::litres, units)}}},
                   {"series", json::array()}};
  for (const YearFlows& year : years) chart.drawing["x"].push_back(year.year);
  const auto add = [&](const YearColumn& column, double sign) {
    json values = json::array();
    bool any = false;
    for (const YearFlows& year : years) {
      double litres = year.litres[column.flow];
      if (column.flow == kOpening && &year != &years.front()) litres = 0.0;  // else what the year before left
      any = any || litres != 0.0;
      values.push_back(sign * in_shown_unit(litres, Figure::litres, units));
    }
    if (any) chart.drawing["series"].push_back({{"name", column.name}, {"values", values}});
  };
  for (const YearColumn& column : kIns) add(column, 1.0);
  for (const YearColumn& column : kOuts) add(column, -1.0);
  double in_l = 0.0, drawn_l = 0.0, evaporated_l = 0.0;
  for (const YearFlows& year : years) {
    in_l += year.litres[kIn];
    drawn_l += year.litres[kDrawn];
    evaporated_l += year.litres[kEvaporated];
  }
  const auto litres = [&](double value) { return figure_text(value, Figure::litres, units); };
  chart.says = "Above the line what came in, below it what left, year by year. In all: " + litres(in_l) + " in, " +
               litres(drawn_l) + " drawn, " + litres(evaporated_l) + " evaporated.";
  return chart;
}

Chart held_chart(const Outlook& outlook, Units units) {
  Chart chart{"What the reserve holds", "", {}, {{{"at the end of"}, {"holds", Figure::litres}}, {}}};
  json points = json::array();
  for (const YearFlows& year : outlook.run.flows.years) {
    points.push_back({on_year_axis(year.closed), in_shown_unit(year.closing_l, Figure::litres, units)});
    chart.behind.rows.push_back({day_text(year.closed), year.closing_l});
  }
  chart.drawing = {{"kind", "lines"},
                   {"now", on_year_axis(outlook.line.log_end)},
                   {"y", {{"name", "at the end of a year"}, {"unit", unit_text(Figure::litres, units)}, {"from", 0}}},
                   {"series", json::array({{{"name", "held"}, {"points", points}}})}};
  const YearFlows& last = outlook.run.flows.years.back();
  chart.says = "All vessels and tanks together: " + figure_text(last.closing_l, Figure::litres, units) + " on " +
               day_text(last.closed) + ".";
  return chart;
}

}  // namespace tierce
