#include "cli/report/refresh_tables.h"

#include <algorithm>
#include <cmath>

#include "cli/read/suggest.h"
#include "cli/report/refresh_entries.h"
#include "cli/report/report.h"
#include "cli/report/so2_text.h"
#include "cli/write/write.h"
#include "engine/measure/age.h"
#include "engine/wine/sulfur.h"

namespace tierce {
namespace {

constexpr Figure kMg = Figure::milligrams_per_litre;
constexpr Figure kHundredths = Figure::ph;  // two decimals and no unit: grams name theirs in the heading
constexpr double kSmallVesselL = 50.0;      // below it tenths of a litre count
const std::string kNoBreak = "\xC2\xA0";

/// Tenths where anything is small, else whole litres.
Figure litres_figure(const Refresh& refresh) {
  double smallest_l = 1e9;
  for (const Tier& tier : refresh.plan.base.tiers)
    for (const Vessel& vessel : tier.vessels) smallest_l = std::min(smallest_l, vessel.capacity_l);
  return smallest_l < kSmallVesselL ? Figure::small_litres : Figure::litres;
}

bool any(const std::vector<TierDay>& tiers, double TierDay::*amount) {
  return std::any_of(tiers.begin(), tiers.end(), [&](const TierDay& tier) { return tier.*amount > 0.0; });
}

std::vector<Cell> wine_row(const Outlook& outlook, const std::string& what, const Parcelled& wine, double volume_l,
                           double ph, const NewestVintage& newest, int day) {
  const AgeSummary age = age_of(outlook.line, outlook.scenario.clock, wine, day);
  const auto per_litre = [&](Solute solute) { return wine.solutes[solute] / volume_l; };
  const std::string vintage = newest.vintage > 0 ? std::to_string(newest.vintage) : "-";
  return {what,
          volume_l,
          100.0 * wine.alcohol.sum() / volume_l,
          per_litre(kSugar),
          per_litre(kAcid),
          ph,
          per_litre(kSo2Total),
          so2_text(free_so2_mg_l(wine.solutes.data(), volume_l), kMg),
          age.mean_y,
          age.youngest_y,
          vintage,
          newest.share};
}

void add_rows(Table& table, const Outlook& outlook, const Stock& stock, const char* when) {
  for (int row = 0; row < outlook.scenario.tier_count(); ++row) {
    if (!(stock.volume[row] > 0.0)) continue;
    table.rows.push_back(wine_row(outlook, outlook.scenario.name_of(row) + when, part_of(stock, row, 1.0),
                                  stock.volume[row], stock.ph(row), newest_vintage(outlook, stock, row), stock.day));
  }
}

const std::string& tier_name(const Refresh& refresh, int row) { return refresh.plan.base.name_of(row); }

}  // namespace

std::string litres_of(double volume_l, Units units) { return figure_text(volume_l, Figure::small_litres, units); }

std::string grams_of(double grams) { return fixed_text(grams, 1) + kNoBreak + "g"; }

double salt_of(const Refresh& refresh, double so2_g) {
  return metabisulfite_grams(so2_g, refresh.plan.base.metabisulfite_yield);
}

double so2_into(const std::vector<DoseRecord>& doses, int row) {
  double grams = 0.0;
  for (const DoseRecord& dose : doses)
    if (dose.row == row) grams += so2_grams(dose.dose_mg_l, dose.litres);
  return grams;
}

std::vector<DoseRecord> doses_of(const Refresh& refresh) {
  std::vector<DoseRecord> doses;
  for (const DoseRecord* dose : doses_of_day(refresh.plan)) doses.push_back(*dose);
  return doses;
}

std::vector<PullTo> tanks_to_pull_to(const Refresh& refresh) {
  const RefreshPlan& plan = refresh.plan;
  std::vector<PullTo> tanks;
  for (std::size_t i = 0; i < plan.base.tanks.size(); ++i) {
    const Tank& tank = plan.base.tanks[i];
    const int row = plan.base.tier_count() + static_cast<int>(i);
    if (plan.before.holds_wine() && plan.before.stock().volume[row] > 0.0) continue;
    std::vector<std::string> fit;
    std::size_t filled = 0;
    for (const TierDay& day : refresh.tiers) {
      if (!(day.expected_l > 0.0)) continue;
      ++filled;
      if (day.high_l <= tank.capacity_l) fit.push_back(tier_name(refresh, day.row));
    }
    if (fit.empty()) continue;
    const std::string which = filled == 1            ? "all"
                              : fit.size() == filled ? "one tier at a time"
                              : fit.size() > 1       ? listed(fit) + ", one at a time,"
                                                     : fit.front();
    tanks.push_back({tank.name, which, tank.capacity_l});
  }
  return tanks;
}

std::string draw_text(const Refresh& refresh, const DrawRecord& draw, Units units) {
  std::string asked;
  for (const PlannedEntry& planned : refresh.plan.entries) {
    const auto* act = planned.of_the_day ? std::get_if<Draw>(&planned.entry.action) : nullptr;
    if (act != nullptr && act->from.row == draw.row && act->amount.kind != Amount::Kind::litres &&
        (act->name.empty() || act->name == draw.name))
      asked = amount_text(act->amount) + (act->amount.kind == Amount::Kind::share ? " of what it holds" : "");
  }
  std::string text = litres_of(draw.volume_l, units) + " from " + tier_name(refresh, draw.row);
  if (!asked.empty()) text += " (" + asked + ")";
  return text + (draw.name == iso_text(draw.date) ? "" : ", for " + draw.name);
}

std::string bottles_text(const BottleCount& count, Units units) {
  std::string text = number_text(count.bottles, Figure::whole, units) + " x " + trimmed_text(count.size_l * 1000.0, 1) +
                     kNoBreak + "mL";
  return text + " and " + trimmed_text(count.left_l * 1000.0, 0) + kNoBreak + "mL";
}

Table day_table(const Refresh& refresh) {
  const Figure litres = litres_figure(refresh);
  Table table{{{"tier"}, {"expected", litres}, {"at least", litres}, {"at most", litres}}, {}};
  const bool moves = any(refresh.tiers, &TierDay::passed_on_l);
  table.columns.push_back({"draw", litres});
  if (moves) {
    table.columns.push_back({"passed on", litres});
    table.columns.push_back({"taken in", litres});
  }
  table.columns.push_back({"new wine", litres});
  table.columns.push_back({"then", litres});
  for (const TierDay& tier : refresh.tiers) {
    std::vector<Cell> row = {tier_name(refresh, tier.row), tier.expected_l, tier.low_l, tier.high_l, tier.drawn_l};
    if (moves) row.insert(row.end(), {tier.passed_on_l, tier.taken_in_l});
    row.insert(row.end(), {tier.new_wine_l, tier.after_l});
    table.rows.push_back(std::move(row));
  }
  return table;
}

Table bottle_table(const Refresh& refresh) {
  Table table{{{"bottle"}, {"full", Figure::whole}, {"left over, mL", Figure::whole}}, {}};
  for (const BottleCount& count : refresh.bottles)
    table.rows.push_back(
        {trimmed_text(count.size_l * 1000.0, 1) + kNoBreak + "mL" + (count.own ? " (the reserve's own)" : ""),
         count.bottles, count.left_l * 1000.0});
  return table;
}

Table wine_table(const Refresh& refresh) {
  Table table{{{"wine"},
               {"holds", Figure::litres},
               {"strength", Figure::alcohol_pct},
               {"sugar", Figure::grams_per_litre},
               {"acid", Figure::fine_grams_per_litre},
               {"pH", Figure::ph},
               {"SO2\ntotal", kMg},
               {"\nfree", kMg},
               {"mean\nage", Figure::age},
               {"\nyoungest", Figure::age},
               {"newest\nvintage"},
               {"\nshare", Figure::share}},
              {}};
  if (refresh.plan.before.holds_wine()) add_rows(table, refresh.before, refresh.plan.before.stock(), ", before");
  for (const DrawRecord* draw : draws_of_day(refresh.plan)) {
    NewestVintage newest;
    for (const Share& share : shares_of(refresh.after.line, refresh.after.scenario.clock, draw->wine, draw->day)) {
      const int vintage = refresh.after.line.parcels[static_cast<std::size_t>(share.parcel)].vintage;
      if (vintage > newest.vintage) newest = {vintage, 0.0};
      if (vintage > 0 && vintage == newest.vintage) newest.share += share.fraction;
    }
    table.rows.push_back(
        wine_row(refresh.after, "drawn: " + draw->name, draw->wine, draw->volume_l, draw->ph, newest, draw->day));
  }
  add_rows(table, refresh.after, refresh.plan.after.stock(), ", after");
  return table;
}

Table vessel_table(const Refresh& refresh) {
  const Figure litres = litres_figure(refresh);
  bool doses = false, soakage = false;
  for (const TierVessels& tier : refresh.vessels)
    for (const VesselDay& vessel : tier.vessels) {
      doses = doses || vessel.so2_g > 0.0;
      soakage = soakage || vessel.soakage_l > 0.0;
    }
  Table table{{{"tier"},
               {"vessel"},
               {"capacity", litres},
               {"expected", litres},
               {"take out", litres},
               {"put in", litres},
               {"then\nholds", litres},
               {"\nullage", litres}},
              {}};
  if (doses) table.columns.push_back({"\nsalt, g", kHundredths});
  if (soakage) table.columns.push_back({"wood\ndrinks", Figure::small_litres});
  table.columns.push_back({""});
  for (const TierVessels& tier : refresh.vessels)
    for (std::size_t i = 0; i < tier.vessels.size(); ++i) {
      const VesselDay& vessel = tier.vessels[i];
      std::vector<Cell> row = {i == 0 ? tier_name(refresh, tier.row) : std::string(),
                               vessel.name,
                               vessel.capacity_l,
                               vessel.expected_l,
                               vessel.out_l,
                               vessel.in_l,
                               vessel.after_l,
                               vessel.capacity_l - vessel.after_l};
      if (doses) row.emplace_back(salt_of(refresh, vessel.so2_g));
      if (soakage) row.emplace_back(vessel.soakage_l);
      row.emplace_back(std::string(vessel.after_l <= 0.0 ? "stays empty"
                                   : vessel.part_full    ? "last: takes the rest"
                                                         : ""));
      table.rows.push_back(std::move(row));
    }
  return table;
}

Table case_table(const Refresh& refresh, int row) {
  const bool small = litres_figure(refresh) == Figure::small_litres;
  const Figure litres = small ? Figure::small_litres : Figure::litres;
  Table table{{{"if " + tier_name(refresh, row) + "\nreads", litres}, {"draw", litres}}, {}};
  const RefreshRecord* record = refresh_of_day(refresh.plan);
  const std::vector<Pour> moves = record != nullptr ? record->moves : std::vector<Pour>();
  for (const Pour& move : moves) table.columns.push_back({"move to\n" + tier_name(refresh, move.to), litres});
  table.columns.push_back({"add\nnew wine", litres});
  for (int to = 0; to < refresh.plan.base.tier_count(); ++to)
    if (so2_into(doses_of(refresh), to) > 0.0)
      table.columns.push_back({"salt, g:\n" + tier_name(refresh, to), kHundredths});
  for (const GaugeCase& one : refresh.cases) {
    if (one.row != row) continue;
    std::vector<Cell> cells = {one.found_l, one.then.drawn_l};
    for (const Pour& move : moves) {
      double moved_l = 0.0;
      for (const Pour& pour : one.then.moves)
        if (pour.to == move.to) moved_l += pour.litres;
      cells.emplace_back(moved_l);
    }
    cells.emplace_back(one.then.new_wine_l);
    for (int to = 0; to < refresh.plan.base.tier_count(); ++to)
      if (so2_into(doses_of(refresh), to) > 0.0) cells.emplace_back(salt_of(refresh, so2_into(one.then.doses, to)));
    if (one.then.fault) cells = {one.found_l, std::string("cannot be done")};
    table.rows.push_back(std::move(cells));
  }
  return table;
}

Table order_table(const Refresh& refresh) {
  Table table{{{"new wine"},
               {"goes in", Figure::small_litres},
               {"wood\ndrinks", Figure::small_litres},
               {"\nlees", Figure::small_litres},
               {"\nfilter", Figure::small_litres},
               {"needed", Figure::small_litres},
               {"strength", Figure::alcohol_pct},
               {"sugar", Figure::grams_per_litre},
               {"cost"}},
              {}};
  for (const WineOrder& wine : refresh.wines) {
    const double cost = wine.needed_l * wine.cost.per_litre;
    table.rows.push_back({wine.lot, wine.goes_in_l, wine.soakage_l, wine.lees_l, wine.filter_l, wine.needed_l,
                          wine.wine.alcohol_pct, wine.wine.sugar_g_l,
                          is_known(cost) ? money_text(cost, wine.cost.currency) : std::string("-")});
  }
  return table;
}

Table every_vessel_of(const Refresh& refresh) {
  Table table{{{"date"},
               {"tier"},
               {"vessel"},
               {"capacity", Figure::litres},
               {"expected", Figure::litres},
               {"take_out", Figure::litres},
               {"put_in", Figure::litres},
               {"then_holds", Figure::litres},
               {"ullage", Figure::litres},
               {"so2_g", Figure::whole},
               {"metabisulfite_g", Figure::whole},
               {"wood_drinks", Figure::litres},
               {"part_full"}},
              {}};
  for (const TierVessels& tier : refresh.vessels)
    for (const VesselDay& vessel : tier.vessels)
      table.rows.push_back({iso_text(refresh.plan.date), tier_name(refresh, tier.row), vessel.name, vessel.capacity_l,
                            vessel.expected_l, vessel.out_l, vessel.in_l, vessel.after_l,
                            vessel.capacity_l - vessel.after_l, vessel.so2_g, salt_of(refresh, vessel.so2_g),
                            vessel.soakage_l, std::string(vessel.part_full ? "yes" : "no")});
  return table;
}

}  // namespace tierce
