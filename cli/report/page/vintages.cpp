// Which vintages each tier holds, from year to year; where the wine went.
#include <algorithm>
#include <map>

#include "cli/report/page/charts.h"
#include "cli/report/report.h"
#include "cli/write/write.h"
#include "engine/measure/age.h"

namespace tierce {

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

bool is_a_year(const std::string& name) { return name.find_first_not_of("0123456789") >= name.size(); }

/// "2020", "2020 to 2029"
bool is_of_years(const std::string& name) {
  const auto to = name.find(" to ");
  return is_a_year(name) || (to < name.size() && is_a_year(name.substr(0, to)) && is_a_year(name.substr(to + 4)));
}

/// Wine without a vintage, which is older than the book, lies below all others.
std::vector<std::string> in_order_of_age(const std::vector<Shares>& all) {
  std::map<std::string, bool> names;
  for (const Shares& shares : all)
    for (const auto& [name, fraction] : shares) names[name] = true;
  std::vector<std::string> order;
  for (const auto& [name, seen] : names) order.push_back(name);
  std::stable_partition(order.begin(), order.end(), [](const std::string& name) { return !is_of_years(name); });
  return order;
}

/// The least span of years, of those that people count in, in which the vintages make no more bands than there is room
/// for.
int span_of(int first, int last, std::size_t most) {
  for (const int span : {1, 2, 5, 10, 20, 50, 100, 200, 500}) {
    const int bands = last / span - first / span + 1;
    if (static_cast<std::size_t>(bands) <= most) return span;
  }
  return 1000;
}

/// Vintages in spans of `span` years, and wine without a vintage together.
Shares in_spans(const Shares& shares, int span) {
  Shares spans;
  for (const auto& [name, fraction] : shares) {
    const int from = is_a_year(name) ? std::stoi(name) / span * span : 0;
    spans[is_a_year(name) ? std::to_string(from) + " to " + std::to_string(from + span - 1) : "without a vintage"] +=
        fraction;
  }
  return spans;
}

/// Joins the vintages of a chart until there is room for their bands; the years that a band then spans, 1 as a rule.
int join_vintages(std::vector<Shares>& all, std::size_t most) {
  std::map<std::string, bool> names;
  int first = 9999, last = 0;
  for (const Shares& shares : all)
    for (const auto& [name, fraction] : shares) {
      names[name] = true;
      if (!is_a_year(name)) continue;
      first = std::min(first, std::stoi(name));
      last = std::max(last, std::stoi(name));
    }
  if (names.size() <= most) return 1;
  const int span = last > 0 ? span_of(first, last, most) : 1;
  for (Shares& shares : all) shares = in_spans(shares, span);
  return span;
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

Chart vintage_chart(const Outlook& looked, int row, const PageRoom& room) {
  std::vector<Shares> all;
  std::vector<const Stock*> stocks;
  for (const Stock& stock : looked.run.looks)
    if (stock.volume[row] > 0.0) {
      all.push_back(shares_by_vintage(looked, stock, row));
      stocks.push_back(&stock);
    }
  Chart chart{"Vintages in " + looked.scenario.name_of(row), "", {}, {{{"at the end of"}}, {}}};
  if (all.empty()) return chart;
  const std::string at_the_end = largest_text(all.back());
  const int span = join_vintages(all, room.vintages);
  chart.drawing = {{"kind", "stack"},
                   {"y", {{"name", "share of the wine"}, {"unit", "%"}, {"to", 100}}},
                   {"x", Value::List{}},
                   {"now", on_year_axis(looked.line.log_end)},
                   {"series", Value::List{}}};
  for (const Stock* stock : stocks) {
    chart.drawing["x"].push_back(on_year_axis(stock->date));
    chart.behind.rows.push_back({day_text(stock->date)});
  }
  for (const std::string& name : in_order_of_age(all)) {
    Value values = Value::List{};
    chart.behind.columns.push_back({name, Figure::share});
    for (std::size_t i = 0; i < all.size(); ++i) {
      const auto found = all[i].find(name);
      const double fraction = found == all[i].end() ? 0.0 : found->second;
      values.push_back(100.0 * fraction);
      chart.behind.rows[i].push_back(fraction);
    }
    chart.drawing["series"].push_back({{"name", name}, {"values", values}});
  }
  chart.says = "Oldest vintages at the bottom. " + day_text(stocks.back()->date) + ": " + at_the_end + ".";
  if (span > 1) chart.says += " Each band is the wine of " + std::to_string(span) + " vintages.";
  chart.says += thinned_text(looked.run.looks.size(), looked.run.flows.years.size(), "years");
  return chart;
}

struct YearColumn {
  const char* name;
  Flow flow;
};

}  // namespace

std::vector<Chart> vintage_charts(const Outlook& looked, const PageRoom& room) {
  std::vector<Chart> charts;
  const std::size_t tiers = looked.scenario.tiers.size();
  const auto shown = evenly(tiers, room.tiers);
  for (const std::size_t row : shown) {
    Chart chart = vintage_chart(looked, static_cast<int>(row), room);
    if (!chart.drawing.empty()) charts.push_back(std::move(chart));
  }
  if (!charts.empty()) charts.back().says += thinned_text(shown.size(), tiers, "tiers");
  return charts;
}

Chart flow_chart(const Outlook& outlook, Units units, const PageRoom& room) {
  constexpr YearColumn kIns[] = {{"in", kIn}, {"opening stock", kOpening}, {"water", kWater}};
  constexpr YearColumn kOuts[] = {{"drawn", kDrawn},
                                  {"evaporated", kEvaporated},
                                  {"lost", kLost},
                                  {"missing at the gauge", kGauged},
                                  {"contracted", kContracted}};
  const auto& all_years = outlook.run.flows.years;
  std::vector<YearFlows> years;
  for (const std::size_t i : evenly(all_years.size(), 2 * room.dates)) years.push_back(all_years[i]);
  Chart chart{"What came in and what went out", "", {}, forecast_report(outlook, {}, units).csv};
  chart.drawing = {{"kind", "columns"},
                   {"x", Value::List{}},
                   {"now", outlook.line.log_end.year},
                   {"y", {{"name", "a year"}, {"unit", unit_text(Figure::litres, units)}}},
                   {"series", Value::List{}}};
  for (const YearFlows& year : years) chart.drawing["x"].push_back(year.year);
  const auto add = [&](const YearColumn& column, double sign) {
    Value values = Value::List{};
    bool any = false;
    for (const YearFlows& year : years) {
      double litres = year.litres[column.flow];
      if (column.flow == kOpening && year.year != years.front().year) litres = 0.0;  // else what the year before left
      any = any || litres != 0.0;
      values.push_back(sign * in_shown_unit(litres, Figure::litres, units));
    }
    if (any) chart.drawing["series"].push_back({{"name", column.name}, {"values", values}});
  };
  for (const YearColumn& column : kIns) add(column, 1.0);
  for (const YearColumn& column : kOuts) add(column, -1.0);
  const auto in_all = [&](Flow flow) {
    double sum_l = 0.0;
    for (const YearFlows& year : all_years) sum_l += year.litres[flow];
    return figure_text(sum_l, Figure::litres, units);
  };
  chart.says = "Above the line what came in, below it what left, year by year. In all: " + in_all(kIn) + " in, " +
               in_all(kDrawn) + " drawn, " + in_all(kEvaporated) + " evaporated." +
               thinned_text(years.size(), all_years.size(), "years");
  return chart;
}

Chart held_chart(const Outlook& outlook, Units units, const PageRoom& room) {
  Chart chart{"What the reserve holds", "", {}, {{{"at the end of"}, {"holds", Figure::litres}}, {}}};
  Value points = Value::List{};
  std::vector<double> levels_l;
  for (const YearFlows& year : outlook.run.flows.years) levels_l.push_back(year.closing_l);
  const auto shown = outline(levels_l, room.points);
  for (const std::size_t i : shown) {
    const YearFlows& year = outlook.run.flows.years[i];
    points.push_back(Value::List{on_year_axis(year.closed), in_shown_unit(year.closing_l, Figure::litres, units)});
    chart.behind.rows.push_back({day_text(year.closed), year.closing_l});
  }
  chart.drawing = {{"kind", "lines"},
                   {"now", on_year_axis(outlook.line.log_end)},
                   {"y", {{"name", "at the end of a year"}, {"unit", unit_text(Figure::litres, units)}, {"from", 0}}},
                   {"series", Value::List{{{"name", "held"}, {"points", points}}}}};
  const YearFlows& last = outlook.run.flows.years.back();
  chart.says = "All vessels and tanks together: " + figure_text(last.closing_l, Figure::litres, units) + " on " +
               day_text(last.closed) + "." + thinned_text(shown.size(), levels_l.size(), "years");
  return chart;
}

}  // namespace tierce
