#include "cli/report/json_report.h"

#include <algorithm>
#include <cmath>

#include "cli/report/assumptions.h"
#include "cli/report/json_losses.h"
#include "cli/report/json_number.h"
#include "cli/report/json_sulfur.h"
#include "cli/report/packed_json.h"
#include "engine/measure/age.h"
#include "engine/measure/balance.h"
#include "engine/measure/composition.h"
#include "engine/measure/money.h"
#include "engine/plan/long_run.h"
#include "engine/rules/strength.h"

namespace tierce {
namespace {

using nlohmann::json;

const char* clock_name(Clock clock) {
  return clock == Clock::entry ? "entry" : clock == Clock::wood ? "wood" : "harvest";
}

json age_object(const AgeSummary& age) {
  json quantiles;
  const char* names[] = {"0.1", "0.5", "0.9"};
  for (std::size_t i = 0; i < kQuantiles.size(); ++i) quantiles[names[i]] = json_number(age.quantiles_y[i]);
  return {{"mean_y", json_number(age.mean_y)},
          {"youngest_y", json_number(age.youngest_y)},
          {"oldest_y", json_number(age.oldest_y)},
          {"sd_y", json_number(age.sd_y)},
          {"quantiles_y", quantiles},
          {"mean_by_alcohol_y", json_number(age.mean_by_alcohol_y)},
          {"mean_by_solids_y", json_number(age.mean_by_solids_y)},
          {"unknown_fraction", json_number(age.unknown_fraction)},
          {"mean_at_least_y", json_number(age.mean_at_least_y)},
          {"youngest_at_least_y", json_number(age.youngest_at_least_y)},
          {"oldest_at_least_y", json_number(age.oldest_at_least_y)}};
}

json shares_array(const Outlook& outlook, const Parcelled& wine, int day) {
  json list = json::array();
  for (const Share& share : shares_of(outlook.line, outlook.scenario.clock, wine, day)) {
    const Parcel& parcel = outlook.line.parcels[static_cast<std::size_t>(share.parcel)];
    json entry = {{"lot", parcel.lot},
                  {"vintage", parcel.vintage > 0 ? json(parcel.vintage) : json(nullptr)},
                  {"fraction", json_number(share.fraction)},
                  {"litres", json_number(share.litres)},
                  {"age_y", json_number(share.age_y)},
                  {"age_at_least_y", json_number(share.at_least_y)}};
    if (parcel.entered_known) entry["entered"] = iso_text(parcel.entered);
    list.push_back(entry);
  }
  return list;
}

/// Strength, sugar, acids and SO2 of `volume_l` of wine.
json wine_object(const Scenario& scenario, const Parcelled& wine, double volume_l, double ph) {
  const double alcohol_pct = 100.0 * wine.alcohol.sum() / volume_l;
  const auto per_litre = [&](Solute solute) { return wine.solutes[solute] / volume_l; };
  json object = {{"volume_L", json_number(volume_l)},
                 {"alcohol_pct", json_number(alcohol_pct)},
                 {"alcohol_L", json_number(wine.alcohol.sum())},
                 {"proof_gal", json_number(proof_gallons_of(volume_l, wine.alcohol.sum()))},
                 {"sugar_g_L", json_number(per_litre(kSugar))},
                 {"acidity_g_L", json_number(per_litre(kAcid))},
                 {"va_g_L", json_number(per_litre(kVolatileAcid))},
                 {"sulfate_g_L", json_number(per_litre(kSulfate))},
                 {"acetaldehyde_mg_L", json_number(per_litre(kAldehyde))},
                 {"pH", json_number(ph)},
                 {"so2_total_mg_L", json_number(per_litre(kSo2Total))},
                 {"money", json_number(wine.solutes[kMoney])},
                 {"cost_per_L", json_number(per_litre(kMoney))}};
  object.update(sulfur_object(scenario, sulfur_of(wine.solutes.data(), volume_l, ph, alcohol_pct)));
  return object;
}

json named_shares(const std::vector<NamedShare>& shares) {
  json list = json::array();
  for (const NamedShare& share : shares)
    list.push_back({{"name", share.name}, {"fraction", json_number(share.fraction)}});
  return list;
}

/// What a bottle has cost: 750 mL, 375 mL, and the wine's own where it is counted in another.
json bottle_costs(const DrawRecord& draw, double own_l) {
  std::vector<double> sizes = {0.75, 0.375};
  if (own_l > 0.0 && std::find(sizes.begin(), sizes.end(), own_l) == sizes.end()) sizes.push_back(own_l);
  json list = json::array();
  for (const double bottle_l : sizes)
    list.push_back({{"bottle_L", bottle_l}, {"cost", json_number(bottle_l * cost_per_l(draw))}});
  return list;
}

/// In what money is counted, and what lacks a cost.
json cost_object(const Outlook& outlook) {
  const std::string currency = currency_of(outlook.scenario);
  return {{"currency", currency.empty() ? json(nullptr) : json(currency)},
          {"interest_per_year", outlook.scenario.interest_per_year},
          {"without_cost", without_cost(outlook.scenario, outlook.line, outlook.run)}};
}

json wine_that_left(const Outlook& outlook, const DrawRecord& draw) {
  json object = wine_object(outlook.scenario, draw.wine, draw.volume_l, draw.ph);
  object["age"] = age_object(age_of(outlook.line, outlook.scenario.clock, draw.wine, draw.day));
  object["date"] = iso_text(draw.date);
  object["name"] = draw.name;
  object["from"] = outlook.scenario.name_of(draw.row);
  object["past"] = draw.past;
  object["shares"] = shares_array(outlook, draw.wine, draw.day);
  object["grapes"] = named_shares(grapes_of(outlook.line, draw.wine.litres));
  object["grown"] = named_shares(grown_of(outlook.line, draw.wine.litres));
  object["strength_class"] = strength_class(outlook.scenario, strength_of(draw));
  return object;
}

json draw_object(const Outlook& outlook, const DrawRecord& draw) {
  json object = wine_that_left(outlook, draw);
  json& age = object["age"];
  age["stock_over_draw_y"] = json_number(stock_over_draw_y(outlook.run, draw, draw.tiers_alcohol_before_l));
  age["stock_after_over_draw_y"] = json_number(stock_over_draw_y(outlook.run, draw, draw.tiers_alcohol_after_l));
  object["bottle_costs"] = bottle_costs(draw, bottle_of(outlook, draw));
  object["use"] = use_text(draw.use);
  object["to"] = draw.to < 0 ? json(nullptr) : json(outlook.scenario.name_of(draw.to));
  return object;
}

json kept(const json& draw, Draws draws) { return draws == Draws::packed ? packed(draw) : draw; }

json name_and_date(const DrawRecord& draw) { return {{"name", draw.name}, {"date", iso_text(draw.date)}}; }

json bottling_object(const Outlook& outlook, const BottlingRecord& bottling) {
  json object = wine_that_left(outlook, bottling.wine);
  object["bottles"] = json_number(bottling.bottles);
  object["bottle_L"] = json_number(bottling.bottle_l);
  object["loss_L"] = json_number(bottling.loss_l);
  object["bottle_costs"] = bottle_costs(bottling.wine, bottling.bottle_l);
  object["draws"] = json::array();
  for (const int draw : bottling.draws)
    object["draws"].push_back(name_and_date(outlook.run.draws[static_cast<std::size_t>(draw)]));
  return object;
}

json bottlings_array(const Outlook& outlook) {
  json list = json::array();
  for (const BottlingRecord& bottling : outlook.run.bottlings) list.push_back(bottling_object(outlook, bottling));
  return list;
}

json vessels_array(const Outlook& outlook, const Stock& stock, int row) {
  json list = json::array();
  if (outlook.scenario.is_tank(row)) return list;
  const auto& vessels = outlook.scenario.tiers[static_cast<std::size_t>(row)].vessels;
  const auto levels = stock.levels.of(row);
  const auto capacities = stock.levels.capacities_of(row);
  const auto left_out = to_be_left_out(outlook.run);
  for (std::size_t i = 0; i < vessels.size(); ++i) {
    if (!(capacities[i] > 0.0)) continue;  // not in the cellar
    const bool left = std::any_of(left_out.begin(), left_out.end(), [&](const Reading* reading) {
      return reading->row == row && reading->vessel == static_cast<int>(i);
    });
    list.push_back({{"name", vessels[i].name},
                    {"capacity_L", json_number(capacities[i])},
                    {"volume_L", json_number(levels[i])},
                    {"ullage_L", json_number(capacities[i] - levels[i])},
                    {"leave_out", left},
                    {"note", vessels[i].note}});
  }
  return list;
}

json standing_array(const Outlook& outlook, int row) {
  json list = json::array();
  if (!outlook.run.standing.empty())
    for (const int draw : outlook.run.standing.back()[static_cast<std::size_t>(row)])
      list.push_back(name_and_date(outlook.run.draws[static_cast<std::size_t>(draw)]));
  return list;
}

json row_object(const Outlook& outlook, const Stock& stock, int row) {
  const Parcelled wine = part_of(stock, row, 1.0);
  const double volume_l = stock.volume[row];
  json object = wine_object(outlook.scenario, wine, volume_l, stock.ph(row));
  object["date"] = iso_text(stock.date);
  object[outlook.scenario.is_tank(row) ? "tank" : "tier"] = outlook.scenario.name_of(row);
  object["capacity_L"] = json_number(stock.levels.capacity_of(row));
  object["age"] = age_object(age_of(outlook.line, outlook.scenario.clock, wine, stock.day));
  object["shares"] = shares_array(outlook, wine, stock.day);
  object["vessels"] = vessels_array(outlook, stock, row);
  if (outlook.scenario.is_tank(row)) object["draws"] = standing_array(outlook, row);
  return object;
}

json rows_array(const Outlook& outlook, const Stock& stock) {
  json list = json::array();
  for (int row = 0; row < outlook.scenario.rows(); ++row) list.push_back(row_object(outlook, stock, row));
  return list;
}

json balance_object(const Balance& balance) {
  const auto flow = [&](Flow f) { return json_number(balance.flow[f]); };
  return {{"opening", flow(kOpening)},
          {"in", flow(kIn)},
          {"dosed", flow(kDosed)},
          {"drawn", flow(kDrawn)},
          {"bottled", flow(kBottled)},
          {"evaporated", flow(kEvaporated)},
          {"gauge", flow(kGauged)},
          {"lost", flow(kLost)},
          {"analysed", flow(kAnalysed)},
          {"gained", flow(kGained)},
          {"contraction", flow(kContracted)},
          {"water", flow(kWater)},
          {"held", json_number(balance.held)},
          {"gap", json_number(balance.gap())}};
}

json balances(const Trajectory& run) {
  return {{"volume_L", balance_object(balance_of_volume(run))},
          {"alcohol_L", balance_object(balance_of_alcohol(run))},
          {"sugar_g", balance_object(balance_of(run, kSugar))},
          {"so2_mg", balance_object(balance_of(run, kSo2Total))},
          {"money", balance_object(balance_of(run, kMoney))},
          {"largest_lot_gap_L", json_number(largest_parcel_gap_l(run))}};
}

json dose_object(const Outlook& outlook, const DoseRecord& dose) {
  const double grams = so2_grams(dose.dose_mg_l, dose.litres);
  return {{"tier", outlook.scenario.name_of(dose.row)},
          {"dose_mg_L", json_number(dose.dose_mg_l)},
          {"dose_low_end_mg_L", json_number(dose.low_end_mg_l)},
          {"so2_g", json_number(grams)},
          {"metabisulfite_g", json_number(metabisulfite_grams(grams, outlook.scenario.metabisulfite_yield))}};
}

json refresh_object(const Outlook& outlook, const RefreshRecord& refresh) {
  json moves = json::array(), doses = json::array(), lots = json::array();
  for (const Pour& pour : refresh.moves)
    moves.push_back({{"from", outlook.scenario.name_of(pour.from)},
                     {"to", outlook.scenario.name_of(pour.to)},
                     {"volume_L", json_number(pour.litres)}});
  for (const DoseRecord& dose : refresh.doses) doses.push_back(dose_object(outlook, dose));
  for (const auto& [name, litres] : refresh.lots) lots.push_back({{"lot", name}, {"volume_L", json_number(litres)}});
  return {{"date", iso_text(refresh.date)},
          {"past", refresh.past},
          {"new_wine_L", json_number(refresh.new_wine_l)},
          {"lot", refresh.lots.empty() ? json(nullptr) : json(refresh.lots.front().first)},
          {"lots", lots},
          {"moves", moves},
          {"doses", doses}};
}

json year_object(const YearFlows& year) {
  return {{"year", year.year},
          {"closed", iso_text(year.closed)},
          {"opening_L", json_number(year.litres[kOpening])},
          {"in_L", json_number(year.litres[kIn])},
          {"drawn_L", json_number(year.litres[kDrawn])},
          {"bottled_L", json_number(year.litres[kBottled])},
          {"evaporated_L", json_number(year.litres[kEvaporated])},
          {"gauge_L", json_number(year.litres[kGauged])},
          {"lost_L", json_number(year.litres[kLost])},
          {"closing_L", json_number(year.closing_l)},
          {"closing_alcohol_L", json_number(year.closing_alcohol_l)},
          {"contraction_L", json_number(year.litres[kContracted])},
          {"water_L", json_number(year.litres[kWater])},
          {"gap_L", json_number(year.gap_l())}};
}

json readings_array(const Outlook& outlook) {
  json list = json::array();
  for (const Reading& reading : outlook.run.readings) {
    list.push_back({{"date", iso_text(reading.date)},
                    {"place", place_name(outlook.scenario, reading.row, reading.vessel)},
                    {"quantity", reading.quantity},
                    {"measured", json_number(reading.measured)},
                    {"book", json_number(reading.book)},
                    {"error_L", json_number(reading.error_l)},
                    {"method", reading.method.empty() ? json(nullptr) : json(reading.method)},
                    {"use", reading.kept_only ? "keep" : "set"}});
  }
  return list;
}

}  // namespace

json report_head(const Outlook& outlook) {
  return {{"reserve", outlook.scenario.reserve},
          {"clock", clock_name(outlook.scenario.clock)},
          {"basis", "volume"},
          {"assumptions", assumptions(outlook)},
          {"as_known_on", outlook.scenario.as_known ? json(iso_text(outlook.scenario.as_known->on)) : json(nullptr)}};
}

json stock_json(const Outlook& outlook, const Stock& stock) {
  json object = report_head(outlook);
  object["cost"] = cost_object(outlook);
  object["stock"] = rows_array(outlook, stock);
  object["bottlings"] = bottlings_array(outlook);
  object["balance"] = balances(outlook.run);
  object["readings"] = readings_array(outlook);
  object["spirits"] = spirits_array(outlook);
  object["lots"] = lots_array(outlook);
  return object;
}

json age_json(const Outlook& outlook, const ChosenWines& wines, Draws draws) {
  json object = report_head(outlook);
  object["cost"] = cost_object(outlook);
  for (const char* list : {"draws", "bottlings"}) object[list] = json::array();
  for (const DrawRecord* draw : wines.draws) object["draws"].push_back(kept(draw_object(outlook, *draw), draws));
  for (const BottlingRecord* bottling : wines.bottlings)
    object["bottlings"].push_back(bottling_object(outlook, *bottling));
  object["balance"] = balances(outlook.run);
  return object;
}

json problems_json(const std::string& path, const std::vector<Problem>& problems) {
  json list = json::array();
  for (const Problem& problem : problems)
    list.push_back({{"line", problem.at.line},
                    {"column", problem.at.column},
                    {"what", problem.what},
                    {"allowed", problem.allowed},
                    {"hint", problem.hint}});
  return {{"file", path}, {"sound", false}, {"problems", list}};
}

json forecast_json(const Outlook& outlook, const LongRun& long_run, Draws draws) {
  const Trajectory& run = outlook.run;
  json object = report_head(outlook);
  for (const char* list : {"draws", "refreshes", "years", "doses"}) object[list] = json::array();
  for (const DrawRecord& draw : run.draws) object["draws"].push_back(kept(draw_object(outlook, draw), draws));
  object["cost"] = cost_object(outlook);
  object["bottlings"] = bottlings_array(outlook);
  for (const RefreshRecord& refresh : run.refreshes) object["refreshes"].push_back(refresh_object(outlook, refresh));
  for (const YearFlows& year : run.flows.years) object["years"].push_back(year_object(year));
  for (const DoseRecord& dose : run.doses) {
    json entry = dose_object(outlook, dose);
    entry["date"] = iso_text(dose.date);
    entry["past"] = dose.past;
    object["doses"].push_back(entry);
  }
  object["stock"] = run.looks.empty() ? json::array() : rows_array(outlook, run.looks.back());
  object["long_run"] = json_parts::long_run(long_run);
  object["balance"] = balances(run);
  object["readings"] = readings_array(outlook);
  if (run.stopped) object["stopped"] = json_parts::stopped(*run.stopped, outlook.scenario.name_of(run.stopped->row));
  return object;
}

namespace json_parts {

json head(const Outlook& outlook) { return tierce::report_head(outlook); }
json draw(const Outlook& outlook, const DrawRecord& record) { return draw_object(outlook, record); }
json refresh(const Outlook& outlook, const RefreshRecord& record) { return refresh_object(outlook, record); }
json rows(const Outlook& outlook, const Stock& stock) { return rows_array(outlook, stock); }
json balances(const Trajectory& run) { return tierce::balances(run); }
json long_run(const LongRun& settled) {
  return {{"mean_y", json_number(settled.mean_y)},
          {"half_life_y", json_number(settled.half_life_y)},
          {"mean_by_alcohol_y", json_number(settled.mean_by_alcohol_y)},
          {"mean_by_solids_y", json_number(settled.mean_by_solids_y)},
          {"youngest_y", json_number(settled.youngest_y)},
          {"largest_eigenvalue", json_number(settled.largest_eigenvalue)},
          {"period_y", json_number(settled.period_y)},
          {"why_not", settled.why_not}};
}

json stopped(const Stop& stop, const std::string& tier) {
  return {{"date", iso_text(stop.date)},
          {"tier", tier},
          {"short_L", json_number(stop.short_l)},
          {"why", stop.problem.what}};
}

}  // namespace json_parts

}  // namespace tierce
