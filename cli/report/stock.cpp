// The stock: vessel by vessel, tier by tier, vintage by vintage.
#include <cmath>
#include <map>

#include "cli/report/accounts.h"
#include "cli/report/assumptions.h"
#include "cli/report/foot.h"
#include "cli/report/report.h"
#include "cli/report/wine_rows.h"
#include "cli/write/write.h"
#include "engine/measure/age.h"
#include "engine/measure/balance.h"
#include "engine/measure/losses.h"

namespace tierce {
namespace {

/// Vessels of a tier that look alike: same capacity, same level.
struct Alike {
  std::vector<std::string> names;
  double capacity_l = 0.0;
  double level_l = 0.0;
};

std::vector<Alike> grouped(const Tier& tier, const Stock& stock, int row) {
  const auto levels = stock.levels.of(row);
  const auto capacities = stock.levels.capacities_of(row);
  std::vector<Alike> groups;
  for (std::size_t i = 0; i < tier.vessels.size(); ++i) {
    const Vessel& vessel = tier.vessels[i];
    if (!(capacities[i] > 0.0)) continue;  // not in the cellar
    const bool same = !groups.empty() && groups.back().capacity_l == capacities[i] &&
                      std::abs(groups.back().level_l - levels[i]) < kSameLevelL;
    if (same) groups.back().names.push_back(vessel.name);
    else groups.push_back({{vessel.name}, capacities[i], levels[i]});
  }
  return groups;
}

/// "B1", "H7, H9: each", "B1 to B5: each of 5".
std::string names_text(const Alike& alike) {
  const auto count = alike.names.size();
  if (count == 1) return alike.names[0];
  if (count == 2) return alike.names[0] + ", " + alike.names[1] + ": each";
  return alike.names.front() + " to " + alike.names.back() + ": each of " + std::to_string(count);
}

Figure litres_figure(double capacity_l) { return capacity_l < 50.0 ? Figure::small_litres : Figure::litres; }

std::vector<Cell> vessel_row(const std::string& place, const Alike& alike) {
  const double ullage_l = alike.capacity_l - alike.level_l;
  return {place, names_text(alike), alike.capacity_l, alike.level_l, ullage_l, ullage_l / alike.capacity_l};
}

Table vessel_table(const Outlook& outlook, const Stock& stock) {
  const Scenario& scenario = outlook.scenario;
  double smallest_l = 1e9;
  for (const double capacity : stock.levels.capacities())
    if (capacity > 0.0) smallest_l = std::min(smallest_l, capacity);
  const Figure litres = litres_figure(smallest_l);
  Table table{
      {{"tier"}, {"vessel"}, {"capacity", litres}, {"holds", litres}, {"ullage", litres}, {"ullage", Figure::percent}},
      {}};
  double capacity_l = 0.0, holds_l = 0.0;
  for (int row = 0; row < scenario.rows(); ++row) {
    const std::string name = scenario.name_of(row);
    if (scenario.is_tank(row))
      table.rows.push_back(vessel_row("(tank)", {{name}, stock.levels.capacity_of(row), stock.volume[row]}));
    else {
      bool first = true;
      for (const Alike& alike : grouped(scenario.tiers[static_cast<std::size_t>(row)], stock, row)) {
        table.rows.push_back(vessel_row(first ? name : "", alike));
        first = false;
      }
    }
    capacity_l += stock.levels.capacity_of(row);
    holds_l += stock.volume[row];
  }
  table.rows.push_back({std::string("total"), std::string(""), capacity_l, holds_l, capacity_l - holds_l,
                        (capacity_l - holds_l) / capacity_l});
  return table;
}

/// As CSV: every vessel on a line of its own.
Table every_vessel(const std::vector<PlaceRow>& places) {
  std::vector<VesselRow> vessels;
  for (const PlaceRow& place : places)
    for (const VesselRow& vessel : vessel_rows(place)) vessels.push_back(vessel);
  return table_of(vessels, kVessel,
                  {"date", "tier", "vessel", "capacity_L", "volume_L", "ullage_L", "alcohol_pct", "sugar_g_L",
                   "so2_total_mg_L", "mean_y"});
}

std::string vintages_of(const PlaceRow& place) {
  std::map<std::string, double> share_of_vintage;
  for (const ShareRow& share : shares_in(place.now()))
    share_of_vintage[share.of->vintage > 0 ? std::to_string(share.of->vintage) : share.of->lot] += share.fraction;
  std::string text = "Vintages in " + place.name() + ":";
  for (const auto& [vintage, share] : share_of_vintage)
    text += (text.back() == ':' ? " " : ", ") + vintage + " " + figure_text(share, Figure::share, Units::metric);
  return text + ".";
}

}  // namespace

Figure figure_of_reading(const std::string& quantity) {
  if (quantity == "volume") return Figure::litres;
  if (quantity == "alcohol") return Figure::alcohol_pct;
  if (quantity == "pH") return Figure::ph;
  if (quantity == "va") return Figure::fine_grams_per_litre;
  const bool binds =
      quantity == "acetaldehyde" || quantity == "pyruvic" || quantity == "oxoglutaric" || quantity == "galacturonic";
  return quantity.starts_with("so2") || binds ? Figure::milligrams_per_litre : Figure::grams_per_litre;
}

namespace {

/// The latest reading of each quantity, tier by tier, beside what the book had.
std::string last_measured(const Outlook& outlook, Units units) {
  std::map<std::pair<int, std::string>, const Reading*> latest;
  for (const Reading& reading : outlook.run.readings)
    if (reading.vessel < 0) latest[{reading.row, reading.quantity}] = &reading;
  std::string text;
  for (const auto& [key, reading] : latest) {
    const Figure figure = figure_of_reading(reading->quantity);
    text += (text.empty() ? "Last measured: " : "; ") + outlook.scenario.name_of(reading->row) + " " +
            reading->quantity + " " + figure_text(reading->measured, figure, units) + " on " + day_text(reading->date);
    if (is_known(reading->book)) text += " (the book had " + number_text(reading->book, figure, units) + ")";
  }
  return text.empty() ? text : text + ".";
}

/// Of costs, of what was bottled, of lots made and of spirits, each where there is such a thing.
void add_accounts(Document& report, const Outlook& outlook, const std::vector<PlaceRow>& filled, Units units) {
  report.add(stock_cost_table(outlook, filled, units));
  report.add(bottling_table(outlook));
  report.add(table_of(lot_rows(outlook), kLotAccount,
                      {"lot", "made", "volume_L", "lees_L", "used_L", "left_L", {"where", "in"}}));
  report.add(table_of(spirit_accounts(outlook.scenario, outlook.run), kSpiritAccount,
                      {"name", "strength_pct", "bought_L", "used_L", "left_L"}));
}

}  // namespace

Document stock_report(const Outlook& outlook, const Stock& stock, const std::string& why_this_day, Units units) {
  const std::vector<PlaceRow> places = place_rows(outlook, stock), with_wine = filled(places);
  Document report;
  report.title = outlook.scenario.reserve + ": stock at the end of " + day_text(stock.date) + " (" + why_this_day + ")";
  report.add(vessel_table(outlook, stock));
  report.add(table_of(with_wine, kPlace,
                      {"place", "volume_L", "alcohol_pct", "sugar_g_L", "acidity_g_L", "volatile_g_L", "pH",
                       "so2_total_mg_L", "so2_free", "so2_molecular", "age/mean_y", "age/youngest_y"}));
  if (holds_spirits(outlook))  // sold and taxed by their pure alcohol
    report.add(table_of(with_wine, kPlace, {{"place", "pure alcohol in"}, {"alcohol_L", "holds"}, "proof_gal"}));
  add_accounts(report, outlook, with_wine, units);
  Document more;
  more.add(table_of(
      with_wine, kPlace,
      {{"place", "also in"}, "sulfate_g_L", "acetaldehyde_mg_L", "alcohol_L", {"age/oldest_y", "oldest"}, "age/sd_y"}));
  report.more = std::move(more.blocks);
  for (const PlaceRow& place : with_wine) {
    report.say(vintages_of(place));
    report.say(standing_text(outlook, place.row));
  }
  report.say("All figures of the tables are computed from the book; pH and free SO2 are estimates.");
  report.say(last_measured(outlook, units));
  report.say(cost_note(outlook));
  for (const std::string& remark : remarks_on_vessels(outlook, stock, units)) report.say(remark);
  close_report(report, outlook, units);
  report.csv = every_vessel(places);
  return report;
}

}  // namespace tierce
