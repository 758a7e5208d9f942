// The stock: vessel by vessel, tier by tier, vintage by vintage.
#include <cmath>
#include <map>

#include "cli/report/assumptions.h"
#include "cli/report/report.h"
#include "cli/report/so2_text.h"
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
  Table table{{{"tier"},
               {"vessel"},
               {"capacity", litres},
               {"holds", litres},
               {"ullage", litres},
               {"ullage", Figure::percent, "ullage_share"}},
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
Table every_vessel(const Outlook& outlook, const Stock& stock) {
  Table table{{{"date"},
               {"tier"},
               {"vessel"},
               {"capacity", Figure::litres},
               {"holds", Figure::litres},
               {"ullage", Figure::litres},
               {"strength", Figure::alcohol_pct},
               {"sugar", Figure::grams_per_litre},
               {"so2_total", Figure::milligrams_per_litre},
               {"mean_age", Figure::age}},
              {}};
  for (int row = 0; row < outlook.scenario.rows(); ++row) {
    const auto levels = stock.levels.of(row);
    const double mean_y = age_of(outlook.line, outlook.scenario.clock, part_of(stock, row, 1.0), stock.day).mean_y;
    for (std::size_t i = 0; i < levels.size(); ++i) {
      const double capacity = stock.levels.capacities_of(row)[i];
      if (!(capacity > 0.0)) continue;
      const std::string vessel = outlook.scenario.is_tank(row)
                                     ? outlook.scenario.name_of(row)
                                     : outlook.scenario.tiers[static_cast<std::size_t>(row)].vessels[i].name;
      table.rows.push_back({iso_text(stock.date), outlook.scenario.name_of(row), vessel, capacity, levels[i],
                            capacity - levels[i], stock.alcohol_pct(row), stock.per_litre(row, kSugar),
                            stock.per_litre(row, kSo2Total), mean_y});
    }
  }
  return table;
}

Table wine_table(const Outlook& outlook, const Stock& stock) {
  Table table{{{"wine in"},
               {"holds", Figure::litres},
               {"strength", Figure::alcohol_pct},
               {"sugar", Figure::grams_per_litre},
               {"acid", Figure::fine_grams_per_litre},
               {"volatile", Figure::fine_grams_per_litre},
               {"pH", Figure::ph},
               {"SO2\ntotal", Figure::milligrams_per_litre},
               {"SO2\nfree", Figure::milligrams_per_litre},
               {"SO2\nmolec.", Figure::fine_milligrams_per_litre},
               {"mean\nage", Figure::age},
               {"youngest", Figure::age}},
              {}};
  for (int row = 0; row < outlook.scenario.rows(); ++row) {
    if (!(stock.volume[row] > 0.0)) continue;
    const AgeSummary age = age_of(outlook.line, outlook.scenario.clock, part_of(stock, row, 1.0), stock.day);
    table.rows.push_back({outlook.scenario.name_of(row), stock.volume[row], stock.alcohol_pct(row),
                          stock.per_litre(row, kSugar), stock.per_litre(row, kAcid),
                          stock.per_litre(row, kVolatileAcid), stock.ph(row), stock.per_litre(row, kSo2Total),
                          free_text(sulfur_of(stock, row)), molecular_text(outlook.scenario, sulfur_of(stock, row)),
                          age.mean_y, age.youngest_y});
  }
  return table;
}

/// Spirits are sold and taxed by their pure alcohol.
Table spirits_table(const Outlook& outlook, const Stock& stock) {
  Table table{{{"pure alcohol in"}, {"holds", Figure::pure_alcohol}, {"", Figure::proof_gallons, "proof"}}, {}};
  for (int row = 0; row < outlook.scenario.rows(); ++row)
    if (stock.volume[row] > 0.0)
      table.rows.push_back({outlook.scenario.name_of(row), stock.alcohol.row(row).sum(),
                            proof_gallons_of(stock.volume[row], stock.alcohol.row(row).sum())});
  return table;
}

/// Lots whose volume is stated.
Table lot_accounts_table(const Outlook& outlook, const std::vector<LotAccount>& accounts) {
  Table table{{{"lot"},
               {"made"},
               {"volume", Figure::litres},
               {"lees", Figure::small_litres},
               {"used", Figure::litres},
               {"left", Figure::litres},
               {"in"}},
              {}};
  for (const LotAccount& account : accounts) {
    const LotMade& made = *account.lot->made;
    const auto& origin = account.lot->origin;
    table.rows.push_back({account.lot->name, made.date ? iso_text(*made.date) : "", made.volume_l, account.lees_l,
                          account.used_l(), account.left_l,
                          made.in  ? outlook.scenario.name_of(made.in->row)
                          : origin ? "from " + origin->file
                                   : ""});
  }
  return table;
}

/// Spirit for fortifying: bought, used, left.
Table spirit_accounts_table(const Outlook& outlook) {
  Table table{{{"spirit"},
               {"strength", Figure::alcohol_pct},
               {"bought", Figure::small_litres},
               {"used", Figure::small_litres},
               {"left", Figure::small_litres}},
              {}};
  for (const SpiritAccount& account : spirit_accounts(outlook.scenario, outlook.run))
    table.rows.push_back({account.name, account.strength_pct, account.bought_l, account.used_l, account.left_l()});
  return table;
}

std::string vintages_of(const Outlook& outlook, const Stock& stock, int row) {
  std::map<std::string, double> share_of_vintage;
  for (const Share& share : shares_of(outlook.line, outlook.scenario.clock, part_of(stock, row, 1.0), stock.day)) {
    const Parcel& parcel = outlook.line.parcels[static_cast<std::size_t>(share.parcel)];
    share_of_vintage[parcel.vintage > 0 ? std::to_string(parcel.vintage) : parcel.lot] += share.fraction;
  }
  std::string text = "Vintages in " + outlook.scenario.name_of(row) + ":";
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

/// Tables of costs, of what was bottled, of lots made and of spirits, each where there is such a thing.
void add_accounts(Report& report, const Outlook& outlook, const Stock& stock, Units units) {
  if (auto costs = stock_cost_table(outlook, stock, units)) {
    report.parts.push_back(std::move(*costs));
    report.parts.push_back(Paragraph{""});
  }
  if (auto bottled = bottling_table(outlook)) {
    report.parts.push_back(std::move(*bottled));
    report.parts.push_back(Paragraph{""});
  }
  const auto accounts = lot_accounts(outlook.scenario, outlook.line, outlook.run);
  if (!accounts.empty()) {
    report.parts.push_back(lot_accounts_table(outlook, accounts));
    report.parts.push_back(Paragraph{""});
  }
  if (!outlook.scenario.spirits.empty()) {
    report.parts.push_back(spirit_accounts_table(outlook));
    report.parts.push_back(Paragraph{""});
  }
}

}  // namespace

Report stock_report(const Outlook& outlook, const Stock& stock, const std::string& why_this_day, Units units) {
  Report report;
  report.parts.push_back(Paragraph{outlook.scenario.reserve + ": stock at the end of " + day_text(stock.date) + " (" +
                                   why_this_day + ")"});
  report.parts.push_back(Paragraph{""});
  report.parts.push_back(vessel_table(outlook, stock));
  report.parts.push_back(Paragraph{""});
  report.parts.push_back(wine_table(outlook, stock));
  report.parts.push_back(Paragraph{""});
  if (holds_spirits(outlook)) {
    report.parts.push_back(spirits_table(outlook, stock));
    report.parts.push_back(Paragraph{""});
  }
  add_accounts(report, outlook, stock, units);
  for (int row = 0; row < outlook.scenario.rows(); ++row) {
    if (!(stock.volume[row] > 0.0)) continue;
    report.parts.push_back(Paragraph{vintages_of(outlook, stock, row)});
    if (const std::string standing = standing_text(outlook, row); !standing.empty())
      report.parts.push_back(Paragraph{standing});
  }
  report.parts.push_back(
      Paragraph{"All figures of the tables are computed from the book; pH and free SO2 are estimates."});
  if (const std::string measured = last_measured(outlook, units); !measured.empty())
    report.parts.push_back(Paragraph{measured});
  if (const std::string note = cost_note(outlook); !note.empty()) report.parts.push_back(Paragraph{note});
  for (const std::string& remark : remarks_on_vessels(outlook, stock, units)) report.parts.push_back(Paragraph{remark});
  close_report(report, outlook, units);
  report.csv = every_vessel(outlook, stock);
  return report;
}

void close_report(Report& report, const Outlook& outlook, Units units) {
  report.parts.push_back(Paragraph{""});
  const Balance balance = balance_of_volume(outlook.run);
  const auto litres = [&](double value) { return number_text(value, Figure::litres, units); };
  std::string line = "Balance in " + std::string(units == Units::us ? "gallons" : "litres") + ": ";
  if (balance.flow[kOpening] > 0.0) line += "opening " + litres(balance.flow[kOpening]) + " + ";
  line += "in " + litres(balance.flow[kIn]) +
          (balance.flow[kWater] > 0.0 ? " + water " + litres(balance.flow[kWater]) : "") + " = held " +
          litres(balance.held) + " + drawn " + litres(balance.flow[kDrawn]) + " + evaporated " +
          litres(balance.flow[kEvaporated]);
  if (balance.flow[kGauged] != 0.0)
    line += (balance.flow[kGauged] < 0.0 ? " - found by gauge " : " + lost by gauge ") +
            litres(std::abs(balance.flow[kGauged]));
  if (balance.flow[kBottled] > 0.0) line += " + bottled " + litres(balance.flow[kBottled]);
  if (balance.flow[kLost] > 0.0) line += " + lost " + litres(balance.flow[kLost]);
  if (balance.flow[kContracted] != 0.0)
    line += (balance.flow[kContracted] < 0.0 ? " - expanded " : " + contracted ") +
            figure_text(std::abs(balance.flow[kContracted]), Figure::small_litres, units);
  const bool closes = std::abs(balance.gap()) <= kBalanceTolerance * balance.throughput() &&
                      largest_parcel_gap_l(outlook.run) <= kBalanceTolerance * balance.throughput();
  line += closes ? "; it closes, lot by lot."
                 : "; IT DOES NOT CLOSE: difference " + number_text(balance.gap(), Figure::small_litres, units) + ".";
  if (const std::string money = money_balance_text(outlook); !money.empty()) line += " " + money;
  report.parts.push_back(Paragraph{line});
  std::string notes;
  for (const std::string& note : assumptions(outlook)) notes += (notes.empty() ? "" : " ") + note;
  report.parts.push_back(Paragraph{notes});
}

}  // namespace tierce
