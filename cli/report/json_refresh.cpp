// The JSON of a refresh plan.
#include <cmath>

#include "cli/report/json_number.h"
#include "cli/report/json_report.h"
#include "cli/report/refresh.h"
#include "cli/report/refresh_entries.h"
#include "cli/report/refresh_tables.h"
#include "engine/wine/sulfur.h"

namespace tierce {
namespace {

using nlohmann::json;

json text_or_null(const std::string& text) { return text.empty() ? json(nullptr) : json(text); }

json tiers_array(const Refresh& refresh) {
  json list = json::array();
  for (const TierDay& tier : refresh.tiers) {
    const NewestVintage newest = newest_vintage(refresh.after, refresh.plan.after.stock(), tier.row);
    list.push_back({{"tier", refresh.plan.base.name_of(tier.row)},
                    {"expected_L", json_number(tier.expected_l)},
                    {"expected_low_L", json_number(tier.low_l)},
                    {"expected_high_L", json_number(tier.high_l)},
                    {"drawn_L", json_number(tier.drawn_l)},
                    {"passed_on_L", json_number(tier.passed_on_l)},
                    {"taken_in_L", json_number(tier.taken_in_l)},
                    {"new_wine_L", json_number(tier.new_wine_l)},
                    {"after_L", json_number(tier.after_l)},
                    {"newest_vintage", newest.vintage > 0 ? json(newest.vintage) : json(nullptr)},
                    {"newest_vintage_fraction", json_number(newest.share)}});
  }
  return list;
}

json bottles_array(const Refresh& refresh) {
  json list = json::array();
  for (const BottleCount& count : refresh.bottles)
    list.push_back({{"size_L", json_number(count.size_l)},
                    {"bottles", json_number(count.bottles)},
                    {"left_L", json_number(count.left_l)},
                    {"own", count.own}});
  return list;
}

json vessels_array(const Refresh& refresh) {
  json list = json::array();
  for (const TierVessels& tier : refresh.vessels)
    for (const VesselDay& vessel : tier.vessels)
      list.push_back({{"tier", refresh.plan.base.name_of(tier.row)},
                      {"name", vessel.name},
                      {"capacity_L", json_number(vessel.capacity_l)},
                      {"expected_L", json_number(vessel.expected_l)},
                      {"take_out_L", json_number(vessel.out_l)},
                      {"put_in_L", json_number(vessel.in_l)},
                      {"volume_L", json_number(vessel.after_l)},
                      {"ullage_L", json_number(vessel.capacity_l - vessel.after_l)},
                      {"part_full", vessel.part_full},
                      {"soakage_L", json_number(vessel.soakage_l)},
                      {"so2_g", json_number(vessel.so2_g)},
                      {"metabisulfite_g", json_number(salt_of(refresh, vessel.so2_g))}});
  return list;
}

json moves_array(const Refresh& refresh, const std::vector<Pour>& moves) {
  json list = json::array();
  for (const Pour& pour : moves)
    list.push_back({{"from", refresh.plan.base.name_of(pour.from)},
                    {"to", refresh.plan.base.name_of(pour.to)},
                    {"volume_L", json_number(pour.litres)}});
  return list;
}

json doses_array(const Refresh& refresh, const std::vector<DoseRecord>& doses) {
  json list = json::array();
  for (const DoseRecord& dose : doses) {
    const double grams = so2_grams(dose.dose_mg_l, dose.litres);
    list.push_back({{"tier", refresh.plan.base.name_of(dose.row)},
                    {"dose_mg_L", json_number(dose.dose_mg_l)},
                    {"dose_low_end_mg_L", json_number(dose.low_end_mg_l)},
                    {"so2_g", json_number(grams)},
                    {"metabisulfite_g", json_number(salt_of(refresh, grams))}});
  }
  return list;
}

json cases_array(const Refresh& refresh) {
  json list = json::array();
  for (const GaugeCase& one : refresh.cases)
    list.push_back({{"tier", refresh.plan.base.name_of(one.row)},
                    {"gauge_L", json_number(one.found_l)},
                    {"drawn_L", json_number(one.then.drawn_l)},
                    {"new_wine_L", json_number(one.then.new_wine_l)},
                    {"moves", moves_array(refresh, one.then.moves)},
                    {"doses", doses_array(refresh, one.then.doses)},
                    {"why_not", one.then.fault ? json(one.then.fault->what) : json(nullptr)}});
  return list;
}

json wine_order(const WineOrder& wine) {
  return {{"lot", wine.lot},
          {"stated", wine.stated},
          {"goes_in_L", json_number(wine.goes_in_l)},
          {"soakage_L", json_number(wine.soakage_l)},
          {"lees_L", json_number(wine.lees_l)},
          {"filter_L", json_number(wine.filter_l)},
          {"needed_L", json_number(wine.needed_l)},
          {"alcohol_pct", json_number(wine.wine.alcohol_pct)},
          {"sugar_g_L", json_number(wine.wine.sugar_g_l)},
          {"cost", json_number(wine.needed_l * wine.cost.per_litre)},
          {"currency", text_or_null(wine.cost.currency)}};
}

json making_order(const MakingOrder& making) {
  const double spirit_cost = making.spirit.order_l() * making.spirit.cost.per_litre;
  return {{"lot", making.lot},
          {"volume_L", json_number(making.wine_l)},
          {"must_L", json_number(making.plan.must.volume_l)},
          {"must_sugar_g_L", json_number(making.plan.must.sugar_g_l)},
          {"fruit_kg", json_number(making.fruit_kg)},
          {"fruit_t", json_number(making.fruit_kg / 1000.0)},
          {"fruit_us_tons", json_number(making.fruit_kg / kKgPerShortTon)},
          {"fruit_cost", json_number(making.fruit_cost)},
          {"fruit_currency", text_or_null(making.fruit_currency)},
          {"arrest_alcohol_pct", json_number(making.plan.arrest.alcohol_pct)},
          {"arrest_sugar_g_L", json_number(making.plan.arrest.sugar_g_l)},
          {"arrest_sg_20C", json_number(making.plan.arrest_sg_20c)},
          {"spirit", text_or_null(making.spirit.name)},
          {"spirit_strength_pct", json_number(making.spirit.strength_pct)},
          {"spirit_L", json_number(making.spirit.needed_l)},
          {"spirit_held_L", json_number(making.spirit.held_l)},
          {"spirit_order_L", json_number(making.spirit.order_l())},
          {"spirit_order_pure_L", json_number(making.spirit.pure_l())},
          {"spirit_order_proof_gal", json_number(making.spirit.proof_gallons())},
          {"spirit_cost", json_number(spirit_cost)},
          {"spirit_currency", text_or_null(making.spirit.cost.currency)}};
}

json order_object(const Refresh& refresh) {
  json object = {{"wines", json::array()}, {"making", json::array()}, {"chosen_by", nullptr}};
  for (const WineOrder& wine : refresh.wines) object["wines"].push_back(wine_order(wine));
  for (const MakingOrder& making : refresh.makings) object["making"].push_back(making_order(making));
  if (refresh.choice) object["chosen_by"] = refresh.choice->by_cost ? "cost" : "age";
  return object;
}

}  // namespace

json refresh_json(const Refresh& refresh) {
  const RefreshPlan& plan = refresh.plan;
  json object = json_parts::head(refresh.after);
  object["date"] = iso_text(plan.date);
  object["book_end"] = plan.book_end.year > 0 ? json(iso_text(plan.book_end)) : json(nullptr);
  object["gauge_error_fraction"] = json_number(refresh.options.error_part);
  object["tiers"] = tiers_array(refresh);
  object["draws"] = json::array();
  for (const DrawRecord* draw : draws_of_day(plan)) object["draws"].push_back(json_parts::draw(refresh.after, *draw));
  object["to_bottle_L"] = json_number(refresh.to_bottle_l);
  object["bottles"] = bottles_array(refresh);
  object["refreshes"] = json::array();
  if (const RefreshRecord* record = refresh_of_day(plan))
    object["refreshes"].push_back(json_parts::refresh(refresh.after, *record));
  object["doses"] = doses_array(refresh, doses_of(refresh));
  object["order"] = order_object(refresh);
  object["vessels"] = vessels_array(refresh);
  object["if_gauged"] = cases_array(refresh);
  object["expected"] = plan.before.holds_wine() ? json_parts::rows(refresh.before, plan.before.stock()) : json::array();
  object["stock"] = json_parts::rows(refresh.after, plan.after.stock());
  object["lot_lines"] = lot_lines(plan);
  object["log_lines"] = log_lines(plan);
  object["balance"] = json_parts::balances(plan.after.run);
  return object;
}

json order_sum_json(const OrderSum& sum) {
  json spirits = json::array(), costs = json::array();
  for (const SpiritSum& spirit : sum.spirits)
    spirits.push_back({{"spirit", text_or_null(spirit.name)},
                       {"strength_pct", json_number(spirit.strength_pct)},
                       {"needed_L", json_number(spirit.needed_l)},
                       {"order_L", json_number(spirit.order_l)},
                       {"pure_L", json_number(spirit.pure_l)},
                       {"proof_gal", json_number(spirit.proof_gallons)}});
  for (const auto& [currency, cost] : sum.costs) costs.push_back({{"currency", currency}, {"cost", json_number(cost)}});
  return {{"new_wine_L", json_number(sum.new_wine_l)},
          {"must_L", json_number(sum.must_l)},
          {"fruit_kg", json_number(sum.fruit_kg)},
          {"fruit_us_tons", json_number(sum.fruit_kg / kKgPerShortTon)},
          {"spirits", spirits},
          {"costs", costs},
          {"some_cost_unknown", sum.some_cost_unknown},
          {"so2_g", json_number(sum.so2_g)},
          {"metabisulfite_g", json_number(sum.metabisulfite_g)}};
}

}  // namespace tierce
