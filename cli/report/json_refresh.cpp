// The JSON of a refresh plan.
#include <cmath>

#include "cli/report/head.h"
#include "cli/report/refresh.h"
#include "cli/report/refresh_entries.h"
#include "cli/report/refresh_tables.h"
#include "cli/report/report.h"
#include "cli/report/run_rows.h"
#include "cli/report/wine_rows.h"
#include "engine/wine/sulfur.h"

namespace tierce {
namespace {

Value text_or_null(const std::string& text) { return text.empty() ? Value() : Value(text); }

Value tiers_array(const Refresh& refresh) {
  Value list = Value::List{};
  for (const TierDay& tier : refresh.tiers) {
    const NewestVintage newest = newest_vintage(refresh.after, refresh.plan.after.stock(), tier.row);
    list.push_back({{"tier", refresh.plan.base.name_of(tier.row)},
                    {"expected_L", tier.expected_l},
                    {"expected_low_L", tier.low_l},
                    {"expected_high_L", tier.high_l},
                    {"drawn_L", tier.drawn_l},
                    {"passed_on_L", tier.passed_on_l},
                    {"taken_in_L", tier.taken_in_l},
                    {"new_wine_L", tier.new_wine_l},
                    {"after_L", tier.after_l},
                    {"newest_vintage", newest.vintage > 0 ? Value(newest.vintage) : Value()},
                    {"newest_vintage_fraction", newest.share}});
  }
  return list;
}

Value bottles_array(const Refresh& refresh) {
  Value list = Value::List{};
  for (const BottleCount& count : refresh.bottles)
    list.push_back(
        {{"size_L", count.size_l}, {"bottles", count.bottles}, {"left_L", count.left_l}, {"own", count.own}});
  return list;
}

Value vessels_array(const Refresh& refresh) {
  Value list = Value::List{};
  for (const TierVessels& tier : refresh.vessels)
    for (const VesselDay& vessel : tier.vessels)
      list.push_back({{"tier", refresh.plan.base.name_of(tier.row)},
                      {"name", vessel.name},
                      {"capacity_L", vessel.capacity_l},
                      {"expected_L", vessel.expected_l},
                      {"take_out_L", vessel.out_l},
                      {"put_in_L", vessel.in_l},
                      {"volume_L", vessel.after_l},
                      {"ullage_L", vessel.capacity_l - vessel.after_l},
                      {"part_full", vessel.part_full},
                      {"soakage_L", vessel.soakage_l},
                      {"so2_g", vessel.so2_g},
                      {"metabisulfite_g", salt_of(refresh, vessel.so2_g)}});
  return list;
}

Value moves_array(const Refresh& refresh, const std::vector<Pour>& moves) {
  Value list = Value::List{};
  for (const Pour& pour : moves)
    list.push_back({{"from", refresh.plan.base.name_of(pour.from)},
                    {"to", refresh.plan.base.name_of(pour.to)},
                    {"volume_L", pour.litres}});
  return list;
}

Value doses_array(const Refresh& refresh, const std::vector<DoseRecord>& doses) {
  Value list = Value::List{};
  for (const DoseRecord& dose : doses) {
    const double grams = so2_grams(dose.dose_mg_l, dose.litres);
    list.push_back({{"tier", refresh.plan.base.name_of(dose.row)},
                    {"dose_mg_L", dose.dose_mg_l},
                    {"dose_low_end_mg_L", dose.low_end_mg_l},
                    {"so2_g", grams},
                    {"metabisulfite_g", salt_of(refresh, grams)}});
  }
  return list;
}

Value cases_array(const Refresh& refresh) {
  Value list = Value::List{};
  for (const GaugeCase& one : refresh.cases)
    list.push_back({{"tier", refresh.plan.base.name_of(one.row)},
                    {"gauge_L", one.found_l},
                    {"drawn_L", one.then.drawn_l},
                    {"new_wine_L", one.then.new_wine_l},
                    {"moves", moves_array(refresh, one.then.moves)},
                    {"doses", doses_array(refresh, one.then.doses)},
                    {"why_not", one.then.fault ? Value(one.then.fault->what) : Value()}});
  return list;
}

Value wine_order(const WineOrder& wine) {
  return {{"lot", wine.lot},
          {"stated", wine.stated},
          {"goes_in_L", wine.goes_in_l},
          {"soakage_L", wine.soakage_l},
          {"lees_L", wine.lees_l},
          {"filter_L", wine.filter_l},
          {"needed_L", wine.needed_l},
          {"alcohol_pct", wine.wine.alcohol_pct},
          {"sugar_g_L", wine.wine.sugar_g_l},
          {"cost", wine.needed_l * wine.cost.per_litre},
          {"currency", text_or_null(wine.cost.currency)}};
}

Value making_order(const MakingOrder& making) {
  const double spirit_cost = making.spirit.order_l() * making.spirit.cost.per_litre;
  return {{"lot", making.lot},
          {"volume_L", making.wine_l},
          {"must_L", making.plan.must.volume_l},
          {"must_sugar_g_L", making.plan.must.sugar_g_l},
          {"fruit_kg", making.fruit_kg},
          {"fruit_t", making.fruit_kg / 1000.0},
          {"fruit_us_tons", making.fruit_kg / kKgPerShortTon},
          {"fruit_cost", making.fruit_cost},
          {"fruit_currency", text_or_null(making.fruit_currency)},
          {"arrest_alcohol_pct", making.plan.arrest.alcohol_pct},
          {"arrest_sugar_g_L", making.plan.arrest.sugar_g_l},
          {"arrest_sg_20C", making.plan.arrest_sg_20c},
          {"spirit", text_or_null(making.spirit.name)},
          {"spirit_strength_pct", making.spirit.strength_pct},
          {"spirit_L", making.spirit.needed_l},
          {"spirit_held_L", making.spirit.held_l},
          {"spirit_order_L", making.spirit.order_l()},
          {"spirit_order_pure_L", making.spirit.pure_l()},
          {"spirit_order_proof_gal", making.spirit.proof_gallons()},
          {"spirit_cost", spirit_cost},
          {"spirit_currency", text_or_null(making.spirit.cost.currency)}};
}

Value order_object(const Refresh& refresh) {
  Value object = {{"wines", Value::List{}}, {"making", Value::List{}}, {"chosen_by", Value()}};
  for (const WineOrder& wine : refresh.wines) object["wines"].push_back(wine_order(wine));
  for (const MakingOrder& making : refresh.makings) object["making"].push_back(making_order(making));
  if (refresh.choice) object["chosen_by"] = refresh.choice->by_cost ? "cost" : "age";
  return object;
}

}  // namespace

Value refresh_json(const Refresh& refresh) {
  const RefreshPlan& plan = refresh.plan;
  Value object = object_of(refresh.after, kHead);
  object["date"] = iso_text(plan.date);
  object["book_end"] = plan.book_end.year > 0 ? Value(iso_text(plan.book_end)) : Value();
  object["gauge_error_fraction"] = Value(refresh.options.error_part);
  object["tiers"] = tiers_array(refresh);
  object["draws"] = Value::List{};
  for (const DrawRecord* draw : draws_of_day(plan))
    object["draws"].push_back(object_of(DrawRow{&refresh.after, draw, bottle_of(refresh.after, *draw)}, kDraw));
  object["to_bottle_L"] = Value(refresh.to_bottle_l);
  object["bottles"] = bottles_array(refresh);
  object["refreshes"] = Value::List{};
  if (const RefreshRecord* record = refresh_of_day(plan))
    object["refreshes"].push_back(object_of({&refresh.after.scenario, &*record}, kRefresh));
  object["doses"] = doses_array(refresh, doses_of(refresh));
  object["order"] = order_object(refresh);
  object["vessels"] = vessels_array(refresh);
  object["if_gauged"] = cases_array(refresh);
  object["expected"] = plan.before.holds_wine() ? list_of(place_rows(refresh.before, plan.before.stock()), kPlace)
                                                : Value(Value::List{});
  object["stock"] = list_of(place_rows(refresh.after, plan.after.stock()), kPlace);
  object["lot_lines"] = lot_lines(plan);
  object["log_lines"] = log_lines(plan);
  object["balance"] = object_of(plan.after.run, kBalances);
  return object;
}

Value order_sum_json(const OrderSum& sum) {
  Value spirits = Value::List{}, costs = Value::List{};
  for (const SpiritSum& spirit : sum.spirits)
    spirits.push_back({{"spirit", text_or_null(spirit.name)},
                       {"strength_pct", spirit.strength_pct},
                       {"needed_L", spirit.needed_l},
                       {"order_L", spirit.order_l},
                       {"pure_L", spirit.pure_l},
                       {"proof_gal", spirit.proof_gallons}});
  for (const auto& [currency, cost] : sum.costs) costs.push_back({{"currency", currency}, {"cost", cost}});
  return {{"new_wine_L", sum.new_wine_l},
          {"must_L", sum.must_l},
          {"fruit_kg", sum.fruit_kg},
          {"fruit_us_tons", sum.fruit_kg / kKgPerShortTon},
          {"spirits", spirits},
          {"costs", costs},
          {"some_cost_unknown", sum.some_cost_unknown},
          {"so2_g", sum.so2_g},
          {"metabisulfite_g", sum.metabisulfite_g}};
}

}  // namespace tierce
