#include "cli/page_command.h"

#include <cmath>

#include "cli/draw_shares.h"
#include "cli/json_report.h"
#include "cli/page_charts.h"

namespace tierce {
namespace {

using nlohmann::json;

json number(double value) { return std::isfinite(value) ? json(value) : json(nullptr); }

json outcome_object(const ShareOutcome& outcome) {
  json draws = json::array();
  for (const auto& [date, mean_y] : outcome.means_y)
    draws.push_back({{"date", iso_text(date)}, {"mean_y", number(mean_y)}});
  return {{"draw_fraction", number(outcome.share)},
          {"draw_means", draws},
          {"mean_y", number(outcome.mean_y)},
          {"youngest_y", number(outcome.youngest_y)},
          {"drawn_L", number(outcome.drawn_l)},
          {"new_wine_L", number(outcome.new_wine_l)},
          {"bottles", number(outcome.bottles)},
          {"long_run",
           {{"mean_y", number(outcome.long_run.mean_y)},
            {"half_life_y", number(outcome.long_run.half_life_y)},
            {"why_not", outcome.long_run.why_not}}},
          {"impossible", outcome.stopped.empty() ? json(nullptr) : json(outcome.stopped)}};
}

}  // namespace

std::string page_text(const std::vector<ReserveRuns>& reserves) {
  Page page;
  for (const ReserveRuns& runs : reserves) page.reserves.push_back(reserve_page(runs));
  page.title = page.reserves.size() == 1 ? page.reserves.front().name
                                         : std::to_string(page.reserves.size()) + " reserves";
  page.overview = overview_of(reserves);
  return html_of(page);
}

json page_json(const ReserveRuns& runs) {
  json object = age_json(runs.outlook, {});  // for what every report begins with, and the balances
  for (const char* list : {"draws", "bottlings"}) object.erase(list);
  object["year_ends"] = json::array();
  for (const Stock& stock : runs.outlook.run.looks)
    object["year_ends"].push_back(
        {{"date", iso_text(stock.date)}, {"stock", stock_json(runs.outlook, stock).at("stock")}});
  const DrawShares shares = draw_shares(runs.outlook, runs.span);
  json list = json::array();
  for (const ShareOutcome& outcome : shares.shares) list.push_back(outcome_object(outcome));
  if (!shares.shares.empty())
    object["yearly_draw"] = {{"bottle_L", shares.bottle_l},
                             {"last_year", shares.last_year},
                             {"as_stated", outcome_object(shares.as_stated)},
                             {"shares", list}};
  return object;
}

Table page_csv(const ReserveRuns& runs) {
  const DrawShares shares = draw_shares(runs.outlook, runs.span);
  return shares.shares.empty() ? Table{} : share_choice(runs.outlook, shares, runs.units).behind;
}

}  // namespace tierce
