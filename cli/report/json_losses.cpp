#include "cli/report/json_losses.h"

#include <cmath>

#include "cli/report/json_number.h"
#include "cli/report/label_words.h"
#include "cli/report/losses.h"
#include "cli/report/report.h"
#include "engine/measure/balance.h"

namespace tierce {
namespace {

using nlohmann::json;

json year_loss_object(const YearLoss& year, double allowance) {
  json causes = json::array();
  for (const auto& [cause, litres] : year.causes)
    causes.push_back({{"cause", cause}, {"volume_L", json_number(litres)}});
  return {{"year", year.year},
          {"years", json_number(year.years)},
          {"mean_stock_L", json_number(year.mean_stock_l)},
          {"evaporated_L", json_number(year.evaporated_l)},
          {"gauge_L", json_number(year.gauge_l)},
          {"lost_L", json_number(year.known_l)},
          {"causes", causes},
          {"all_L", json_number(year.lost_l())},
          {"all_alcohol_L", json_number(year.alcohol_l)},
          {"per_year", json_number(year.per_year())},
          {"allowed_L", json_number(year.allowed_l(allowance))}};
}

json gauge_object(const Outlook& outlook, const GaugeCheck& check) {
  return {{"date", iso_text(check.reading->date)},
          {"place", place_name(outlook.scenario, check.reading->row, check.reading->vessel)},
          {"book_L", json_number(check.reading->book)},
          {"gauge_L", json_number(check.reading->measured)},
          {"missing_L", json_number(check.missing_l)},
          {"error_L", json_number(check.error_l)},
          {"beyond", is_known(check.error_l) ? json(check.beyond()) : json(nullptr)}};
}

json rules_array(const RulesOnLosses& rules) {
  json list = json::array();
  for (const Judgement& row : rules.rows) {
    json values = json::array();
    for (const LabelReading& reading : row.readings) values.push_back(json_number(reading.low));
    list.push_back({{"rule", row.rule->id},
                    {"from", iso_text(row.year->first)},
                    {"to", iso_text(row.year->last)},
                    {"part", json_number(row.year->part)},
                    {"loss_L", json_number(row.year->loss_l)},
                    {"on_hand_L", json_number(row.year->on_hand_l)},
                    {"in_bond_L", json_number(row.year->in_bond_l)},
                    {"not_stated_L", json_number(row.year->not_stated_l)},
                    {"fermented_L", json_number(row.year->fermented_l)},
                    {"values_pct", values},
                    {"limit_pct", json_number(row.limit)},
                    {"verdict", verdict_word(row.verdict)},
                    {"says", claim_word(row)},
                    {"source", row.rule->source.where}});
  }
  return list;
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
                    {"strength_pct", json_number(account.strength_pct)},
                    {"bought_L", json_number(account.bought_l)},
                    {"used_L", json_number(account.used_l)},
                    {"left_L", json_number(account.left_l())}});
  return list;
}

json lots_array(const Outlook& outlook) {
  json list = json::array();
  for (const LotAccount& account : lot_accounts(outlook.scenario, outlook.line, outlook.run)) {
    const Lot& lot = *account.lot;
    list.push_back({{"lot", lot.name},
                    {"made", lot.made->date ? json(iso_text(*lot.made->date)) : json(nullptr)},
                    {"volume_L", json_number(lot.made->volume_l)},
                    {"lees_L", json_number(account.lees_l)},
                    {"used_L", json_number(account.used_l())},
                    {"left_L", json_number(account.left_l)},
                    {"in", lot.made->in ? json(outlook.scenario.name_of(lot.made->in->row)) : json(nullptr)},
                    {"analysed", lot.analysed ? json(iso_text(*lot.analysed)) : json(nullptr)},
                    {"from", lot.origin ? json(lot.origin->file) : json(nullptr)},
                    {"cost_per_L", json_number(lot.cost.per_litre)}});
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
                      {"volume_L", json_number(loss.litres)},
                      {"alcohol_L", json_number(loss.alcohol_l)}});
  return {{"reserve", outlook.scenario.reserve},
          {"allowance_per_year", json_number(allowance)},
          {"years", year_losses_array(losses_by_year(outlook.run), allowance)},
          {"rules", rules_array(rules_on_losses(outlook))},
          {"gauges", gauges},
          {"losses", losses},
          {"gap_L", json_number(balance_of_volume(outlook.run).gap())}};
}

}  // namespace tierce
