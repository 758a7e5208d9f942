#include "cli/report/wine_rows.h"

#include <algorithm>

#include "cli/report/report.h"
#include "cli/report/so2_text.h"
#include "engine/measure/money.h"
#include "engine/rules/strength.h"

namespace tierce {
namespace {

template <Solute solute>
Value per_litre(const WineNow& wine) {
  return wine.per_litre(solute);
}

constexpr Field<WineNow> kWineFields[] = {
    {"volume_L", "holds", Figure::litres, "litres", of<&WineNow::volume_l>, kAlways},
    {"alcohol_pct", "strength", Figure::alcohol_pct, "strength, %vol",
     [](auto& wine) -> Value { return 100.0 * wine.alcohol_l() / wine.volume_l; }},
    {"alcohol_L", "pure alcohol", Figure::pure_alcohol, "litres of pure alcohol", of<&WineNow::alcohol_l>},
    {"proof_gal", "", Figure::proof_gallons, "US proof gallons, by proof and volume at 60 °F",
     [](auto& wine) -> Value { return proof_gallons_of(wine.volume_l, wine.alcohol_l()); }},
    {"sugar_g_L", "sugar", Figure::grams_per_litre, "glucose and fructose", per_litre<kSugar>},
    {"acidity_g_L", "acid", Figure::fine_grams_per_litre, "total acidity, as tartaric acid", per_litre<kAcid>},
    {"volatile_g_L", "volatile", Figure::fine_grams_per_litre, "volatile acidity, as acetic acid",
     per_litre<kVolatileAcid>},
    {"sulfate_g_L", "sulfate", Figure::fine_grams_per_litre, "sulfate, as potassium sulfate", per_litre<kSulfate>},
    {"acetaldehyde_mg_L", "acetaldehyde", Figure::milligrams_per_litre, "acetaldehyde that can bind SO2",
     per_litre<kAldehyde>},
    {"pH", "pH", Figure::ph, "latest measured, else the mean weighted by acid: an estimate", of<&WineNow::ph>},
    {"so2_total_mg_L", "SO2\ntotal", Figure::milligrams_per_litre, "total SO2", per_litre<kSo2Total>},
    {"so2_free", "SO2\nfree", Figure::milligrams_per_litre, "free SO2, with its ends",
     [](auto& wine) -> Value { return free_text(wine.sulfur()); }, kOnlyInTables},
    {"so2_molecular", "SO2\nmolec.", Figure::fine_milligrams_per_litre, "molecular SO2, with its ends",
     [](auto& wine) -> Value { return molecular_text(wine.outlook->scenario, wine.sulfur()); }, kOnlyInTables},
    {"", "", Figure::object, "",
     [](auto& wine) {
       return object_of({wine.outlook->scenario, wine.sulfur()}, kSulfurLevels);
     },
     kAlways, nullptr, &kSulfurLevels},
    {"money", "in all", Figure::money, "what it has cost so far, with interest; null: not known",
     [](auto& wine) -> Value { return wine.wine->solutes[kMoney]; }},
    {"cost_per_L", "a litre", Figure::money_by_volume, "the same for a litre", per_litre<kMoney>},
    {"cost_large", "750 mL", Figure::money, "of a bottle",
     [](auto& wine) -> Value { return 0.75 * wine.per_litre(kMoney); }, kOnlyInTables},
    {"cost_small", "375 mL", Figure::money, "of a half bottle",
     [](auto& wine) -> Value { return 0.375 * wine.per_litre(kMoney); }, kOnlyInTables},
};

Value molecular(const SulfurLevels& of, double SulfurRange::*end) {
  return molecular_so2_mg_l(of.scenario, of.now).*end;
}

constexpr Field<SulfurLevels> kSulfurFields[] = {
    {"so2_free_mg_L", "", Figure::milligrams_per_litre,
     "free SO2 as doses are planned with, or as measured that day: an estimate",
     [](auto& of) -> Value { return of.now.free_mg_l.planned; }},
    {"so2_free_low_mg_L", "", Figure::milligrams_per_litre, "free SO2, at the least",
     [](auto& of) -> Value { return of.now.free_mg_l.low; }},
    {"so2_free_high_mg_L", "", Figure::milligrams_per_litre, "free SO2, at the most",
     [](auto& of) -> Value { return of.now.free_mg_l.high; }},
    {"so2_molecular_mg_L", "", Figure::fine_milligrams_per_litre, "molecular SO2, from free SO2, pH and strength",
     [](auto& of) { return molecular(of, &SulfurRange::planned); }},
    {"so2_molecular_low_mg_L", "", Figure::fine_milligrams_per_litre, "molecular SO2, at the least",
     [](auto& of) { return molecular(of, &SulfurRange::low); }},
    {"so2_molecular_high_mg_L", "", Figure::fine_milligrams_per_litre, "molecular SO2, at the most",
     [](auto& of) { return molecular(of, &SulfurRange::high); }},
};

using Quantiles = decltype(AgeSummary::quantiles_y);
constexpr Field<Quantiles> kQuantileFields[] = {
    {"0.1", "", Figure::age, "a tenth of the wine is this old or younger", [](auto& of) -> Value { return of[0]; }},
    {"0.5", "", Figure::age, "half of the wine", [](auto& of) -> Value { return of[1]; }},
    {"0.9", "", Figure::age, "nine tenths of the wine", [](auto& of) -> Value { return of[2]; }},
};
constexpr Shape<Quantiles> kQuantilesOfAge{
    "quantiles", "Least age at which the cumulated share, from the youngest up, reaches a share.", kQuantileFields};

/// An age, or where part of the wine has none, what it is at least: "5.1+".
template <auto Age, auto AtLeast>
Value age_or_bound(const AgeSummary& age) {
  const Cell cell = age_cell(age.*Age, age.*AtLeast);
  if (const auto* text = std::get_if<std::string>(&cell)) return *text;
  return std::get<double>(cell);
}

constexpr Field<AgeSummary> kAgeFields[] = {
    {"mean_y", "mean\nage", Figure::age, "mean, weighted by litres now", of<&AgeSummary::mean_y>},
    {"youngest_y", "youngest", Figure::age, "youngest part, however small its share", of<&AgeSummary::youngest_y>},
    {"oldest_y", "oldest", Figure::age, "oldest part", of<&AgeSummary::oldest_y>},
    {"sd_y", "spread", Figure::age, "standard deviation, from deviations about the mean", of<&AgeSummary::sd_y>},
    {"quantiles_y", "", Figure::object, "least ages that given shares of the wine do not pass",
     [](auto& age) { return object_of(age.quantiles_y, kQuantilesOfAge); }, kAlways, nullptr, &kQuantilesOfAge},
    {"mean_by_alcohol_y", "", Figure::age, "mean, weighted by pure alcohol", of<&AgeSummary::mean_by_alcohol_y>},
    {"mean_by_solids_y", "", Figure::age, "mean, weighted by litres as entered: by what does not evaporate",
     of<&AgeSummary::mean_by_solids_y>},
    {"unknown_fraction", "", Figure::share, "share of the litres whose age is not known",
     of<&AgeSummary::unknown_fraction>, kAlways},
    {"mean_at_least_y", "", Figure::age, "bound: the mean is at least this", of<&AgeSummary::mean_at_least_y>},
    {"youngest_at_least_y", "", Figure::age, "bound: the youngest part is at least this old",
     of<&AgeSummary::youngest_at_least_y>},
    {"oldest_at_least_y", "", Figure::age, "bound: the oldest part is at least this old",
     of<&AgeSummary::oldest_at_least_y>},
    {"mean_or_bound", "mean age", Figure::age, "the mean, or its bound",
     age_or_bound<&AgeSummary::mean_y, &AgeSummary::mean_at_least_y>, kOnlyInTables},
    {"youngest_or_bound", "youngest", Figure::age, "the youngest, or its bound",
     age_or_bound<&AgeSummary::youngest_y, &AgeSummary::youngest_at_least_y>, kOnlyInTables},
    {"oldest_or_bound", "oldest", Figure::age, "the oldest, or its bound",
     age_or_bound<&AgeSummary::oldest_y, &AgeSummary::oldest_at_least_y>, kOnlyInTables},
};

Value vintage_of(const ShareRow& share) { return share.of->vintage > 0 ? Value(share.of->vintage) : Value(); }
Value entered_on(const ShareRow& share) {
  return share.of->entered_known ? Value(share.of->entered) : Value(Value::Absent{});
}

constexpr Field<ShareRow> kShareFields[] = {
    {"lot", "lot", Figure::text, "name of the lot, or of a part of the opening stock",
     [](auto& share) -> Value { return share.of->lot; }},
    {"vintage", "vintage", Figure::year, "year of harvest", vintage_of, kOrNull},
    {"fraction", "share", Figure::share, "share of the litres", of<&Share::fraction>, kAlways},
    {"litres", "volume", Figure::litres, "litres of it", of<&Share::litres>, kAlways},
    {"age_y", "age", Figure::age, "its age", of<&Share::age_y>},
    {"age_at_least_y", "", Figure::age, "its age, or the least it can be", of<&Share::at_least_y>},
    {"entered", "", Figure::date, "day on which it entered a tier (clocks entry and wood)", entered_on, kOrAbsent},
};

constexpr Field<NamedShare> kNamedShareFields[] = {
    {"name", "", Figure::text, "as the lots state it", of<&NamedShare::name>},
    {"fraction", "", Figure::share, "part of the litres", of<&NamedShare::fraction>},
};

constexpr Field<DrawRecord> kNameAndDateFields[] = {
    {"name", "", Figure::text, "its `for`, else its date", of<&DrawRecord::name>},
    {"date", "", Figure::date, "day of the draw", of<&DrawRecord::date>},
};

struct BottleCost {
  double bottle_l, cost;
};
constexpr Field<BottleCost> kBottleCostFields[] = {
    {"bottle_L", "", Figure::litres, "litres in the bottle", of<&BottleCost::bottle_l>, kAlways},
    {"cost", "", Figure::money, "in the currency of `cost`", of<&BottleCost::cost>},
};
constexpr Shape<BottleCost> kBottleCost{"bottle_cost", "What one bottle of a wine has cost.", kBottleCostFields};

/// 750 mL, 375 mL, and the wine's own where it is counted in another.
Value bottle_costs(const DrawRow& of) {
  std::vector<BottleCost> costs;
  for (const double bottle_l : {0.75, 0.375, of.own_bottle_l})
    if (bottle_l > 0.0 && (costs.size() < 2 || (bottle_l != 0.75 && bottle_l != 0.375)))
      costs.push_back({bottle_l, bottle_l * cost_per_l(*of.draw)});
  return list_of(costs, kBottleCost);
}

template <auto Member>
Value of_draw(const DrawRow& of) {
  return Value(of.draw->*Member);
}
Value where_from(const DrawRow& of) { return of.outlook->scenario.name_of(of.draw->row); }
Value wine_of(const DrawRow& of) { return object_of(of.now(), kWine); }
Value age_then(const DrawRow& of) { return object_of(of.now().age(), kAge); }
Value shares_then(const DrawRow& of) { return list_of(shares_in(of.now()), kShare); }
Value grapes_in(const DrawRow& of) { return list_of(grapes_of(of.outlook->line, of.draw->wine.litres), kNamedShare); }
Value grown_in(const DrawRow& of) { return list_of(grown_of(of.outlook->line, of.draw->wine.litres), kNamedShare); }
Value class_of(const DrawRow& of) { return strength_class(of.outlook->scenario, strength_of(*of.draw)); }

constexpr Field<DrawRow> kAgeOfDrawFields[] = {
    {"", "", Figure::object, "", age_then, kAlways, nullptr, &kAge},
    {"stock_over_draw_y", "", Figure::exact_age,
     "pure alcohol of all tiers before the draw, over that of all draws of its year",
     [](auto& of) -> Value { return stock_over_draw_y(of.outlook->run, *of.draw, of.draw->tiers_alcohol_before_l); }},
    {"stock_after_over_draw_y", "", Figure::exact_age, "the same with the tiers after the draw",
     [](auto& of) -> Value { return stock_over_draw_y(of.outlook->run, *of.draw, of.draw->tiers_alcohol_after_l); }},
};
constexpr Shape<DrawRow> kAgeOfDraw{
    "age_of_draw", "The age of a draw, with the official quotient, which is not an age.", kAgeOfDrawFields};

Value tank_of(const DrawRow& of) {
  return of.draw->to < 0 ? Value() : Value(of.outlook->scenario.name_of(of.draw->to));
}

constexpr Field<DrawRow> kDrawFields[] = {
    {"", "", Figure::object, "", wine_of, kAlways, nullptr, &kWine},
    {"date", "date", Figure::date, "day of the draw", of_draw<&DrawRecord::date>},
    {"name", "draw", Figure::text, "what `for` says, else the date", of_draw<&DrawRecord::name>},
    {"from", "from", Figure::text, "tier or tank drawn from", where_from},
    {"past", "", Figure::flag, "true: the log holds it; false: forecast", of_draw<&DrawRecord::past>},
    {"use", "", Figure::text, "what becomes of it", [](auto& of) -> Value { return use_text(of.draw->use); }},
    {"to", "", Figure::text, "tank that took it; null: it left the book", tank_of, kOrNull},
    {"age", "", Figure::object, "ages on the day of the draw", [](auto& of) { return object_of(of, kAgeOfDraw); },
     kAlways, nullptr, &kAgeOfDraw},
    {"shares", "", Figure::list, "what it is made of, oldest vintage first", shares_then, kAlways, nullptr, &kShare},
    {"grapes", "", Figure::list, "varieties; what no lot states is left out", grapes_in, kAlways, nullptr,
     &kNamedShare},
    {"grown", "", Figure::list, "origins, likewise", grown_in, kAlways, nullptr, &kNamedShare},
    {"strength_class", "", Figure::text, "between which limits of the law the strength lies", class_of},
    {"bottle_costs", "", Figure::list, "what bottles of 750 mL, 375 mL and its own format have cost", bottle_costs,
     kAlways, nullptr, &kBottleCost},
};

/// What a field of a draw says of the wine that went into bottles.
template <Value (*Of)(const DrawRow&)>
Value bottled(const BottlingRow& row) {
  return Of(row);
}
template <auto Member>
Value of_bottling(const BottlingRow& row) {
  return Value(row.bottling->*Member);
}
Value draws_bottled(const BottlingRow& row) {
  Value::List draws;
  for (const int draw : row.bottling->draws)
    draws.push_back(object_of(row.outlook->run.draws[nth(draw)], kNameAndDate));
  return draws;
}

constexpr Field<BottlingRow> kBottlingFields[] = {
    {"", "", Figure::object, "", bottled<wine_of>, kAlways, nullptr, &kWine},
    {"date", "on", Figure::date, "day of the bottling", bottled<of_draw<&DrawRecord::date>>},
    {"name", "bottled", Figure::text, "its `for`, else the name of what stood in the tank",
     bottled<of_draw<&DrawRecord::name>>},
    {"from", "from", Figure::text, "the tank", bottled<where_from>},
    {"past", "", Figure::flag, "true: the log holds it; false: forecast", bottled<of_draw<&DrawRecord::past>>},
    {"age", "", Figure::object, "ages on the day of the bottling", bottled<age_then>, kAlways, nullptr, &kAge},
    {"shares", "", Figure::list, "what it is made of, oldest vintage first", bottled<shares_then>, kAlways, nullptr,
     &kShare},
    {"grapes", "", Figure::list, "varieties; what no lot states is left out", bottled<grapes_in>, kAlways, nullptr,
     &kNamedShare},
    {"grown", "", Figure::list, "origins, likewise", bottled<grown_in>, kAlways, nullptr, &kNamedShare},
    {"strength_class", "", Figure::text, "between which limits of the law the strength lies", bottled<class_of>},
    {"bottles", "bottles", Figure::count, "bottles filled", of_bottling<&BottlingRecord::bottles>},
    {"bottle_L", "", Figure::litres, "litres in each", of_bottling<&BottlingRecord::bottle_l>},
    {"bottle", "of", Figure::text, "what each holds",
     [](auto& row) -> Value { return bottle_text(row.bottling->bottle_l); }, kOnlyInTables},
    {"loss_L", "lost", Figure::small_litres, "lost in filling", of_bottling<&BottlingRecord::loss_l>},
    {"draws", "", Figure::list, "what stood in the tank", draws_bottled, kAlways, nullptr, &kNameAndDate},
    {"bottle_costs", "", Figure::list, "what bottles of 750 mL, 375 mL and its own format have cost",
     bottled<bottle_costs>, kAlways, nullptr, &kBottleCost},
};

Value is_left_out(const VesselRow& row) {
  const auto& marked = row.place->left_out;
  return std::any_of(marked.begin(), marked.end(), [&](const Reading* reading) {
    return reading->row == row.place->row && nth(reading->vessel) == row.vessel;
  });
}
const Vessel& vessel_of(const VesselRow& row) {
  return row.place->outlook->scenario.tiers[nth(row.place->row)].vessels[row.vessel];
}
Value ullage_of(const VesselRow& row) { return row.capacity_l() - row.level_l(); }
template <Value (*Of)(const PlaceRow&)>
Value of_place(const VesselRow& row) {
  return Of(*row.place);
}
Value date_of(const PlaceRow& row) { return row.stock->date; }
Value name_of(const PlaceRow& row) { return row.name(); }

constexpr Field<VesselRow> kVesselFields[] = {
    {"date", "", Figure::date, "", of_place<date_of>, kOnlyInTables},
    {"tier", "", Figure::text, "", of_place<name_of>, kOnlyInTables},
    {"vessel", "", Figure::text, "its mark; of a tank its name",
     [](auto& row) -> Value { return row.place->is_tank() ? row.place->name() : vessel_of(row).name; }, kOnlyInTables},
    {"name", "", Figure::text, "its mark", [](auto& row) -> Value { return vessel_of(row).name; }},
    {"capacity_L", "capacity", Figure::litres, "litres when full", of<&VesselRow::capacity_l>, kAlways},
    {"volume_L", "holds", Figure::litres, "litres that it holds", of<&VesselRow::level_l>, kAlways},
    {"ullage_L", "ullage", Figure::litres, "capacity less volume", ullage_of, kAlways},
    {"leave_out", "", Figure::flag, "marked to be left out by an analysis of its own", is_left_out},
    {"note", "", Figure::text, "as the file notes it", [](auto& row) -> Value { return vessel_of(row).note; }},
    {"alcohol_pct", "strength", Figure::alcohol_pct, "strength of its tier",
     [](auto& row) -> Value { return row.place->stock->alcohol_pct(row.place->row); }, kOnlyInTables},
    {"sugar_g_L", "sugar", Figure::grams_per_litre, "sugar of its tier",
     [](auto& row) { return per_litre<kSugar>(row.place->now()); }, kOnlyInTables},
    {"so2_total_mg_L", "", Figure::milligrams_per_litre, "total SO2 of its tier",
     [](auto& row) { return per_litre<kSo2Total>(row.place->now()); }, kOnlyInTables},
    {"mean_y", "", Figure::age, "mean age of the wine of its tier",
     [](auto& row) -> Value { return row.place->age.mean_y; }, kOnlyInTables},
};

Value vessels_of(const PlaceRow& row) {
  return row.is_tank() ? Value(Value::List{}) : list_of(vessel_rows(row), kVessel);
}
Value draws_standing(const PlaceRow& row) {
  if (!row.is_tank()) return Value::Absent{};
  Value::List draws;
  if (!row.outlook->run.standing.empty())
    for (const int draw : row.outlook->run.standing.back()[nth(row.row)])
      draws.push_back(object_of(row.outlook->run.draws[nth(draw)], kNameAndDate));
  return draws;
}
template <bool tank>
Value name_if(const PlaceRow& row) {
  return row.is_tank() == tank ? Value(row.name()) : Value(Value::Absent{});
}

constexpr Field<PlaceRow> kPlaceFields[] = {
    {"", "", Figure::object, "", [](auto& row) { return object_of(row.now(), kWine); }, kAlways, nullptr, &kWine},
    {"place", "wine in", Figure::text, "tier or tank", name_of, kOnlyInTables},
    {"date", "", Figure::date, "the day", date_of},
    {"tier", "", Figure::text, "name of the tier", name_if<false>, kOrAbsent},
    {"tank", "", Figure::text, "name of the tank, in place of `tier`", name_if<true>, kOrAbsent},
    {"capacity_L", "", Figure::litres, "litres when all its vessels are full",
     [](auto& row) -> Value { return row.stock->levels.capacity_of(row.row); }, kAlways},
    {"age", "", Figure::object, "ages on that day; null in an empty row",
     [](auto& row) { return object_of(row.age, kAge); }, kAlways, nullptr, &kAge},
    {"shares", "", Figure::list, "what it is made of, oldest vintage first",
     [](auto& row) { return list_of(shares_in(row.now()), kShare); }, kAlways, nullptr, &kShare},
    {"vessels", "", Figure::list, "its vessels; empty for a tank", vessels_of, kAlways, nullptr, &kVessel},
    {"draws", "", Figure::list, "of a tank: draws that stand in it", draws_standing, kOrAbsent, nullptr, &kNameAndDate},
};

}  // namespace

const Shape<WineNow> kWine{"wine", "What is known of a wine. Levels are per litre at 20 °C.", kWineFields};
const Shape<SulfurLevels> kSulfurLevels{"sulfur_levels", "Free and molecular SO2, mg/L.", kSulfurFields};
const Shape<AgeSummary> kAge{
    "age", "Ages in years on the day in question. With wine of unknown age only bounds are sure, the rest is null.",
    kAgeFields};
const Shape<ShareRow> kShare{"share",
                             "One parcel of a wine: a lot; for the clocks entry and wood one day of entry; for the "
                             "clock wood one time in wood.",
                             kShareFields};
const Shape<NamedShare> kNamedShare{"named_share", "A variety or an origin, with its part of the litres.",
                                    kNamedShareFields};
const Shape<DrawRecord> kNameAndDate{"name_and_date", "A draw, by what names it.", kNameAndDateFields};
const Shape<DrawRow> kDraw{"draw", "A draw of the log or of the habit.", kDrawFields};
const Shape<BottlingRow> kBottling{"bottling", "Wine of a tank that went into bottles, as it was on that day.",
                                   kBottlingFields};
const Shape<PlaceRow> kPlace{"row", "A tier or a tank at the end of a day.", kPlaceFields};
const Shape<VesselRow> kVessel{"vessel", "A vessel of a tier.", kVesselFields};

std::vector<ShareRow> shares_in(const WineNow& wine) {
  std::vector<ShareRow> rows;
  for (const Share& share : shares_of(wine.outlook->line, wine.outlook->scenario.clock, *wine.wine, wine.day))
    rows.push_back({share, &wine.outlook->line.parcels[nth(share.parcel)]});
  return rows;
}

std::vector<DrawRow> draw_rows(const Outlook& outlook) {
  std::vector<DrawRow> rows;
  for (const DrawRecord& draw : outlook.run.draws) rows.push_back({&outlook, &draw, bottle_of(outlook, draw)});
  return rows;
}

std::vector<BottlingRow> bottling_rows(const Outlook& outlook) {
  std::vector<BottlingRow> rows;
  for (const BottlingRecord& bottling : outlook.run.bottlings)
    rows.push_back({{&outlook, &bottling.wine, bottling.bottle_l}, &bottling});
  return rows;
}

std::vector<PlaceRow> place_rows(const Outlook& outlook, const Stock& stock) {
  std::vector<PlaceRow> rows;
  for (int row = 0; row < outlook.scenario.rows(); ++row) rows.emplace_back(outlook, stock, row);
  return rows;
}

std::vector<PlaceRow> filled(std::vector<PlaceRow> places) {
  std::erase_if(places, [](const PlaceRow& row) { return !(row.now().volume_l > 0.0); });
  return places;
}

std::vector<VesselRow> vessel_rows(const PlaceRow& place) {
  std::vector<VesselRow> rows;
  const std::size_t count = place.stock->levels.of(place.row).size();
  for (std::size_t i = 0; i < count; ++i)
    if (const VesselRow row{&place, i}; row.capacity_l() > 0.0) rows.push_back(row);
  return rows;
}

}  // namespace tierce
