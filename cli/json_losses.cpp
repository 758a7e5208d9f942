#include "cli/json_losses.h"

#include <cmath>

#include "cli/report.h"
#include "engine/balance.h"

namespace tierce {
namespace {

using nlohmann::json;

json number(double value) { return std::isfinite(value) ? json(value) : json(nullptr); }

json year_loss_object(const YearLoss& year, double allowance) {
  json causes = json::array();
  for (const auto& [cause, litres] : year.causes) causes.push_back({{"cause", cause}, {"volume_L", number(litres)}});
  return {{"year", year.year},
          {"years", number(year.years)},
          {"mean_stock_L", number(year.mean_stock_l)},
          {"evaporated_L", number(year.evaporated_l)},
          {"gauge_L", number(year.gauge_l)},
          {"lost_L", number(year.known_l)},
          {"causes", causes},
          {"all_L", number(year.lost_l())},
          {"all_alcohol_L", number(year.alcohol_l)},
          {"per_year", number(year.per_year())},
          {"allowed_L", number(year.allowed_l(allowance))}};
}

json gauge_object(const Outlook& outlook, const GaugeCheck& check) {
  return {{"date", iso_text(check.reading->date)},
          {"place", place_name(outlook.scenario, check.reading->row, check.reading->vessel)},
          {"book_L", number(check.reading->book)},
          {"gauge_L", number(check.reading->measured)},
          {"missing_L", number(check.missing_l)},
          {"error_L", number(check.error_l)},
          {"beyond", is_known(check.error_l) ? json(check.beyond()) : json(nullptr)}};
}

}  // namespace

json year_losses_array(const std::vector<YearLoss>& years, double allowance) {
  json list = json::array();
  for (const YearLoss& year : years) list.push_back(year_loss_object(year, allowance));
  return list;
}

json spirits_array(const Outlook& outlook) {
  json list = json::array();
  for (const SpiritAccount& account : spirit_accounts(outlook.scenario, outlook.run))
    list.push_back({{"name", account.name},
                    {"strength_pct", number(account.strength_pct)},
                    {"bought_L", number(account.bought_l)},
                    {"used_L", number(account.used_l)},
                    {"left_L", number(account.left_l())}});
  return list;
}

json lots_array(const Outlook& outlook) {
  json list = json::array();
  for (const LotAccount& account : lot_accounts(outlook.scenario, outlook.line, outlook.run)) {
    const Lot& lot = *account.lot;
    list.push_back({{"lot", lot.name},
                    {"made", lot.made->date ? json(iso_text(*lot.made->date)) : json(nullptr)},
                    {"volume_L", number(lot.made->volume_l)},
                    {"lees_L", number(account.lees_l)},
                    {"used_L", number(account.used_l())},
                    {"left_L", number(account.left_l)},
                    {"in", lot.made->in ? json(outlook.scenario.name_of(lot.made->in->row)) : json(nullptr)},
                    {"analysed", lot.analysed ? json(iso_text(*lot.analysed)) : json(nullptr)},
                    {"from", lot.origin ? json(lot.origin->file) : json(nullptr)},
                    {"cost_per_L", number(lot.cost.per_litre)}});
  }
  return list;
}

json losses_json(const Outlook& outlook, double allowance) {
  json gauges = json::array(), losses = json::array();
  for (const GaugeCheck& check : gauges_against_book(outlook.run)) gauges.push_back(gauge_object(outlook, check));
  for (const LossRecord& loss : outlook.run.losses)
    losses.push_back({{"date", iso_text(loss.date)},
                      {"place", place_name(outlook.scenario, loss.row, loss.vessel)},
                      {"cause", loss.cause},
                      {"volume_L", number(loss.litres)},
                      {"alcohol_L", number(loss.alcohol_l)}});
  return {{"reserve", outlook.scenario.reserve},
          {"allowance_per_year", number(allowance)},
          {"years", year_losses_array(losses_by_year(outlook.run), allowance)},
          {"gauges", gauges},
          {"losses", losses},
          {"gap_L", number(balance_of_volume(outlook.run).gap())}};
}

}  // namespace tierce
