#include "cli/report/refresh/refresh_rows.h"

#include <algorithm>

#include "cli/report/head.h"
#include "cli/report/refresh/refresh_entries.h"
#include "cli/report/refresh/refresh_words.h"
#include "cli/report/report.h"
#include "cli/report/run_rows.h"
#include "cli/write/parts.h"
#include "engine/wine/units.h"

namespace tierce {
namespace {

constexpr Figure kLitres = Figure::litres, kSmallLitres = Figure::small_litres;
constexpr Figure kGrams = Figure::ph;  // two decimals and no unit: headings name it

Value text_or_null(const std::string& text) { return text.empty() ? Value() : Value(text); }

// Tiers.

using InTier = InRefresh<TierDay>;
template <auto Member>
Value in_tier(const InTier& of) {
  return of.part->*Member;
}
NewestVintage newest_in(const InTier& of) {
  const Stock& stock = of.refresh->plan.after.stock();
  return newest_vintage(of.refresh->after, part_of(stock, of.part->row, 1.0), stock.day);
}
Value vintage_or_null(const NewestVintage& newest) { return newest.vintage > 0 ? Value(newest.vintage) : Value(); }

constexpr Field<InTier> kTierFields[] = {
    {"tier", "tier", Figure::text, "its name", of<&InTier::tier>},
    {"expected_L", "expected", kLitres, "just before the first act of the day", in_tier<&TierDay::expected_l>, kAlways},
    {"expected_low_L", "at least", kLitres, "the same less the error of a gauge", in_tier<&TierDay::low_l>, kAlways},
    {"expected_high_L", "at most", kLitres, "the same plus the error of a gauge", in_tier<&TierDay::high_l>, kAlways},
    {"drawn_L", "draw", kLitres, "drawn for bottling or sale", in_tier<&TierDay::drawn_l>, kAlways},
    {"passed_on_L", "passed on", kLitres, "moved to an older tier", in_tier<&TierDay::passed_on_l>, kAlways},
    {"taken_in_L", "taken in", kLitres, "moved in from a younger tier", in_tier<&TierDay::taken_in_l>, kAlways},
    {"new_wine_L", "new wine", kLitres, "new wine put in", in_tier<&TierDay::new_wine_l>, kAlways},
    {"after_L", "then", kLitres, "at the end of the day", in_tier<&TierDay::after_l>, kAlways},
    {"newest_vintage", "", Figure::year, "in the tier at the end of the day",
     [](auto& of) { return vintage_or_null(newest_in(of)); }, kOrNull},
    {"newest_vintage_fraction", "", Figure::share, "of the litres at the end of the day",
     [](auto& of) -> Value { return newest_in(of).share; }},
};

constexpr Field<BottleCount> kBottleFields[] = {
    {"size_L", "", kLitres, "of one bottle", of<&BottleCount::size_l>, kAlways},
    {"bottles", "", Figure::count, "full ones", of<&BottleCount::bottles>, kAlways},
    {"left_L", "", kLitres, "what is left over", of<&BottleCount::left_l>, kAlways},
    {"own", "", Figure::flag, "the reserve's own size: as stated, or of the habit, or of the log",
     of<&BottleCount::own>},
};
constexpr Shape<BottleCount> kBottleCount{
    "bottle_count", "How many bottles of a size the draw fills, after what bottling loses.", kBottleFields};

// Vessels.

template <auto Member>
Value in_vessel(const PlannedVessel& of) {
  return of.vessel->*Member;
}
Value tier_at_the_first(const PlannedVessel& of) {
  return of.vessel == &of.part->vessels.front() ? of.tier() : std::string();
}
const char* takes_the_rest(const PlannedVessel& of) {
  return of.vessel->after_l <= 0.0 ? "stays empty" : of.vessel->part_full ? "last: takes the rest" : "";
}

constexpr Field<PlannedVessel> kVesselFields[] = {
    {"date", "", Figure::date, "the day", [](auto& of) -> Value { return of.refresh->plan.date; }, kOnlyInTables},
    {"tier", "", Figure::text, "its tier", [](auto& of) -> Value { return of.tier(); }},
    {"in_tier", "tier", Figure::text, "its tier, beside the first", tier_at_the_first, kOnlyInTables},
    {"name", "vessel", Figure::text, "its mark", in_vessel<&VesselDay::name>},
    {"capacity_L", "capacity", kLitres, "what it holds when full", in_vessel<&VesselDay::capacity_l>, kAlways},
    {"expected_L", "expected", kLitres, "in it just before the day's acts", in_vessel<&VesselDay::expected_l>, kAlways},
    {"take_out_L", "take out", kLitres, "drawn or moved on, if it is worked where it stands",
     in_vessel<&VesselDay::out_l>, kAlways},
    {"put_in_L", "put in", kLitres, "filled in, if it is worked where it stands", in_vessel<&VesselDay::in_l>, kAlways},
    {"volume_L", "then\nholds", kLitres, "in it at the end of the day", in_vessel<&VesselDay::after_l>, kAlways},
    {"ullage_L", "\nullage", kLitres, "capacity less volume",
     [](auto& of) -> Value { return of.vessel->capacity_l - of.vessel->after_l; }, kAlways},
    {"part_full", "", Figure::flag, "with `--level \"full first\"`: it takes what the full ones leave",
     in_vessel<&VesselDay::part_full>},
    {"soakage_L", "wood\ndrinks", kSmallLitres, "what its new wood will drink, as stated; not in the book",
     in_vessel<&VesselDay::soakage_l>, kAlways},
    {"so2_g", "", kGrams, "its part of the day's doses", in_vessel<&VesselDay::so2_g>, kAlways},
    {"metabisulfite_g", "\nsalt, g", kGrams, "the same as potassium metabisulfite",
     [](auto& of) -> Value { return salt_of(*of.refresh, of.vessel->so2_g); }, kAlways},
    {"takes_the_rest", "", Figure::text, "which one is last", of<takes_the_rest>, kOnlyInTables},
};

// Wines.

NewestVintage newest_of(const WineThen& of) { return newest_vintage(*of.outlook, of.wine, of.day); }
Value newest_text(const WineThen& of) {
  const int vintage = newest_of(of).vintage;
  return vintage > 0 ? std::to_string(vintage) : "-";
}

constexpr Field<WineThen> kWineThenFields[] = {
    {"what", "wine", Figure::text, "which", of<&WineThen::what>},
    all_of<WineThen>(kWine, [](auto& of) { return object_of(of.now(), kWine); }),
    object<WineThen>("age", "ages then", kAge, [](auto& of) { return object_of(of.now().age(), kAge); }),
    {"newest_vintage", "newest\nvintage", Figure::text, "in it", newest_text},
    {"newest_vintage_fraction", "\nshare", Figure::share, "of the litres",
     [](auto& of) -> Value { return newest_of(of).share; }},
};

// What may be found.

using InCase = InRefresh<GaugeCase>;
Value moves_then(const InCase& of) { return list_of(move_rows(of.refresh->plan.base, of.part->then.moves), kMove); }
Value doses_in(const Refresh& refresh, const std::vector<DoseRecord>& doses) {
  Value::List rows;
  for (const DoseRecord& dose : doses) rows.push_back(object_of({&refresh.plan.base, &dose}, kDose));
  return rows;
}
Value why_not(const InCase& of) { return of.part->then.fault ? Value(of.part->then.fault->what) : Value(); }

constexpr Field<InCase> kCaseFields[] = {
    {"tier", "", Figure::text, "the tier", of<&InCase::tier>},
    {"gauge_L", "", kLitres, "what it is found to hold", [](auto& of) -> Value { return of.part->found_l; }, kAlways},
    {"drawn_L", "", kLitres, "draws of the day", [](auto& of) -> Value { return of.part->then.drawn_l; }, kAlways},
    {"new_wine_L", "", kLitres, "new wine of the day", [](auto& of) -> Value { return of.part->then.new_wine_l; },
     kAlways},
    list<InCase>("moves", "in the order in which they are done", kMove, moves_then),
    list<InCase>("doses", "in the order in which they are done", kDose,
                 [](auto& of) { return doses_in(*of.refresh, of.part->then.doses); }),
    {"why_not", "", Figure::text, "why the day cannot be done then", why_not, kOrNull},
};
const Shape<InCase> kGaugeCase{
    "gauge_case", "What the day comes to if one tier is found to hold something else; the others as expected.",
    kCaseFields};

// The order.

double cost_of(const WineOrder& wine) { return wine.needed_l * wine.cost.per_litre; }
Value cost_or_dash(const WineOrder& wine) {
  return is_known(cost_of(wine)) ? money_text(cost_of(wine), wine.cost.currency) : std::string("-");
}

constexpr Field<WineOrder> kWineOrderFields[] = {
    {"lot", "new wine", Figure::text, "its name", of<&WineOrder::lot>},
    {"stated", "", Figure::flag, "the file states this lot; else it is one that the habit brings",
     of<&WineOrder::stated>},
    {"goes_in_L", "goes in", kSmallLitres, "into the youngest tier", of<&WineOrder::goes_in_l>, kAlways},
    {"soakage_L", "wood\ndrinks", kSmallLitres, "for topping up new wood later", of<&WineOrder::soakage_l>, kAlways},
    {"lees_L", "\nlees", kSmallLitres, "left behind with the lees", of<&WineOrder::lees_l>, kAlways},
    {"filter_L", "\nfilter", kSmallLitres, "lost in the filter", of<&WineOrder::filter_l>, kAlways},
    {"needed_L", "needed", kSmallLitres, "all of that", of<&WineOrder::needed_l>, kAlways},
    {"alcohol_pct", "strength", Figure::alcohol_pct, "its strength", at<&WineOrder::wine, &Composition::alcohol_pct>},
    {"sugar_g_L", "sugar", Figure::grams_per_litre, "its sugar", at<&WineOrder::wine, &Composition::sugar_g_l>},
    {"cost", "", Figure::money, "of what is needed", of<cost_of>},
    {"currency", "", Figure::text, "of the cost", [](auto& of) { return text_or_null(of.cost.currency); }, kOrNull},
    {"cost_or_dash", "cost", Figure::text, "of what is needed", cost_or_dash, kOnlyInTables},
};

using Making = MakingOrder;
template <auto Member>
Value spirit(const Making& of) {
  return Value(std::invoke(Member, of.spirit));
}
constexpr Field<Making> kMakingFields[] = {
    {"lot", "", Figure::text, "the lot that it becomes", of<&Making::lot>},
    {"volume_L", "", kLitres, "of wine", of<&Making::wine_l>, kAlways},
    {"must_L", "", kLitres, "of must", [](auto& of) -> Value { return of.plan.must.volume_l; }, kAlways},
    {"must_sugar_g_L", "", Figure::grams_per_litre, "of the must before it ferments",
     [](auto& of) -> Value { return of.plan.must.sugar_g_l; }, kAlways},
    {"fruit_kg", "", Figure::exact_number, "by the yield that was stated; null if must is bought",
     of<&Making::fruit_kg>},
    {"fruit_t", "", Figure::exact_number, "the same in tonnes", [](auto& of) -> Value { return of.fruit_kg / 1000.0; }},
    {"fruit_us_tons", "", Figure::exact_number, "the same in tons of 2000 lb",
     [](auto& of) -> Value { return of.fruit_kg / kKgPerShortTon; }},
    {"fruit_cost", "", Figure::money, "of the fruit", of<&Making::fruit_cost>},
    {"fruit_currency", "", Figure::text, "of that cost", [](auto& of) { return text_or_null(of.fruit_currency); },
     kOrNull},
    {"arrest_alcohol_pct", "", Figure::alcohol_pct, "made when the spirit goes in",
     [](auto& of) -> Value { return of.plan.arrest.alcohol_pct; }, kAlways},
    {"arrest_sugar_g_L", "", Figure::grams_per_litre, "left when the spirit goes in",
     [](auto& of) -> Value { return of.plan.arrest.sugar_g_l; }, kAlways},
    {"arrest_sg_20C", "", Figure::exact_number, "density of the must then, SG at 20 °C; an estimate",
     [](auto& of) -> Value { return of.plan.arrest_sg_20c; }},
    {"spirit", "", Figure::text, "its name in the file", [](auto& of) { return text_or_null(of.spirit.name); },
     kOrNull},
    {"spirit_strength_pct", "", Figure::alcohol_pct, "its strength", spirit<&SpiritNeed::strength_pct>, kAlways},
    {"spirit_L", "", kLitres, "needed", spirit<&SpiritNeed::needed_l>, kAlways},
    {"spirit_held_L", "", kLitres, "what its account holds; null without an account", spirit<&SpiritNeed::held_l>},
    {"spirit_order_L", "", kLitres, "to buy", spirit<&SpiritNeed::order_l>, kAlways},
    {"spirit_order_pure_L", "", Figure::pure_alcohol, "the same in pure alcohol", spirit<&SpiritNeed::pure_l>, kAlways},
    {"spirit_order_proof_gal", "", Figure::proof_gallons, "the same in US proof gallons",
     spirit<&SpiritNeed::proof_gallons>},
    {"spirit_cost", "", Figure::money, "of what is to buy",
     [](auto& of) -> Value { return of.spirit.order_l() * of.spirit.cost.per_litre; }},
    {"spirit_currency", "", Figure::text, "of that cost",
     [](auto& of) { return text_or_null(of.spirit.cost.currency); }, kOrNull},
};
constexpr Shape<Making> kMakingOrder{
    "making_order", "New wine still to be made, through the same reckoning as tierce fortify.", kMakingFields};

Value chosen_by(const Refresh& of) { return of.choice ? Value(of.choice->by_cost ? "cost" : "age") : Value(); }

constexpr Field<Refresh> kOrderFields[] = {
    list<Refresh>("wines", "new wine, lot by lot", kWineOrder, [](auto& of) { return list_of(of.wines, kWineOrder); }),
    list<Refresh>("making", "with `--sugar`: what the wine is made from", kMakingOrder,
                  [](auto& of) { return list_of(of.makings, kMakingOrder); }),
    {"chosen_by", "", Figure::text, "with `--lots`: `cost`, the cheapest choice, or `age`, oldest first", chosen_by,
     kOrNull},
};
const Shape<Refresh> kRefreshOrder{"refresh_order", "What a refresh orders.", kOrderFields};

constexpr Field<SpiritSum> kSpiritSumFields[] = {
    {"spirit", "", Figure::text, "its name", [](auto& of) { return text_or_null(of.name); }, kOrNull},
    {"strength_pct", "", Figure::alcohol_pct, "its strength", of<&SpiritSum::strength_pct>, kAlways},
    {"needed_L", "", kSmallLitres, "needed", of<&SpiritSum::needed_l>, kAlways},
    {"order_L", "", kSmallLitres, "to buy; each file's account counts for that file", of<&SpiritSum::order_l>, kAlways},
    {"pure_L", "", Figure::pure_alcohol, "of what is to buy, in pure alcohol", of<&SpiritSum::pure_l>, kAlways},
    {"proof_gal", "", Figure::proof_gallons, "the same in US proof gallons", of<&SpiritSum::proof_gallons>},
};

using CostSum = std::pair<std::string, double>;
constexpr Field<CostSum> kCostSumFields[] = {
    {"currency", "", Figure::text, "the currency", of<&CostSum::first>},
    {"cost", "", Figure::money, "the sum", of<&CostSum::second>, kAlways},
};
constexpr Shape<CostSum> kCostSum{"cost_sum", "Costs in one currency.", kCostSumFields};

constexpr Field<OrderSum> kOrderSumFields[] = {
    {"new_wine_L", "", kSmallLitres, "new wine", of<&OrderSum::new_wine_l>, kAlways},
    {"must_L", "", kSmallLitres, "must", of<&OrderSum::must_l>, kAlways},
    {"fruit_kg", "", Figure::exact_number, "fruit", of<&OrderSum::fruit_kg>, kAlways},
    {"fruit_us_tons", "", Figure::exact_number, "the same in tons of 2000 lb",
     [](auto& of) -> Value { return of.fruit_kg / kKgPerShortTon; }, kAlways},
    list<OrderSum>("spirits", "by name and strength", kSpiritSum,
                   [](auto& of) { return list_of(of.spirits, kSpiritSum); }),
    list<OrderSum>("costs", "by currency, of what has a cost", kCostSum,
                   [](auto& of) { return list_of(of.costs, kCostSum); }),
    {"some_cost_unknown", "", Figure::flag, "something has no cost stated", of<&OrderSum::some_cost_unknown>},
    {"so2_g", "", Figure::tenths, "of all doses", of<&OrderSum::so2_g>, kAlways},
    {"metabisulfite_g", "", Figure::tenths, "the same as potassium metabisulfite", of<&OrderSum::metabisulfite_g>,
     kAlways},
};

// All of it.

Value draws_then(const Refresh& of) {
  Value::List draws;
  for (const DrawRecord* draw : draws_of_day(of.plan))
    draws.push_back(object_of(DrawRow{&of.after, draw, bottle_of(of.after, *draw)}, kDraw));
  return draws;
}
Value refreshes_then(const Refresh& of) {
  Value::List refreshes;
  if (const RefreshRecord* record = refresh_of_day(of.plan))
    refreshes.push_back(object_of({&of.after.scenario, record}, kRefresh));
  return refreshes;
}
Value places(const Outlook& outlook, const Ran& ran) {
  return ran.holds_wine() ? list_of(place_rows(outlook, ran.stock()), kPlace) : Value(Value::List{});
}

constexpr Field<Refresh> kOutputFields[] = {
    all_of<Refresh>(kHead, part<kHead, &Refresh::after>),
    {"date", "", Figure::date, "the day planned", at<&Refresh::plan, &RefreshPlan::date>},
    {"book_end", "", Figure::date, "date of the last entry of the log",
     [](auto& of) { return of.plan.book_end.year > 0 ? Value(of.plan.book_end) : Value(); }, kOrNull},
    {"gauge_error_fraction", "", Figure::share, "the error of a gauge that the bounds stand for",
     at<&Refresh::options, &RefreshOptions::error_part>, kAlways},
    list<Refresh>("tiers", "youngest first", kPlannedTier,
                  [](auto& of) { return list_of(parts_in(of, of.tiers), kPlannedTier); }),
    list<Refresh>("draws", "of the day", kDraw, draws_then),
    {"to_bottle_L", "", kLitres, "the draws less what bottling loses", of<&Refresh::to_bottle_l>, kAlways},
    list<Refresh>("bottles", "750, 500, 375 mL and the reserve's own", kBottleCount,
                  [](auto& of) { return list_of(of.bottles, kBottleCount); }),
    list<Refresh>("refreshes", "the refill of the day: one or none", kRefresh, refreshes_then),
    list<Refresh>("doses", "of the day", kDose, [](auto& of) { return doses_in(of, doses_of(of)); }),
    object<Refresh>("order", "what to order", kRefreshOrder, part<kRefreshOrder>),
    list<Refresh>("vessels", "of the tiers that take part", kPlannedVessel,
                  [](auto& of) { return list_of(planned_vessels(of), kPlannedVessel); }),
    list<Refresh>("if_gauged", "readings around the expected one, for each tier", kGaugeCase,
                  [](auto& of) { return list_of(parts_in(of, of.cases), kGaugeCase); }),
    list<Refresh>("expected", "tiers and tanks just before the first act", kPlace,
                  [](auto& of) { return places(of.before, of.plan.before); }),
    list<Refresh>("stock", "tiers and tanks at the end of the day", kPlace,
                  [](auto& of) { return places(of.after, of.plan.after); }),
    {"lot_lines", "", Figure::texts, "lines for `lots` of the file",
     [](auto& of) -> Value { return lot_lines(of.plan); }},
    {"log_lines", "", Figure::texts, "lines for `log` of the file",
     [](auto& of) -> Value { return log_lines(of.plan); }},
    object<Refresh>("balance", "balances up to that day", kBalances,
                    [](auto& of) { return object_of(of.plan.after.run, kBalances); }),
};

}  // namespace

const Shape<InRefresh<TierDay>> kPlannedTier{
    "planned_tier", "What a tier is expected to hold on the day, and what each act changes.", kTierFields};
const Shape<PlannedVessel> kPlannedVessel{
    "planned_vessel", "What one vessel gives and takes. Vessels stand in the order in which they are filled.",
    kVesselFields};
const Shape<WineThen> kWineThen{"wine_then", "A wine before or after the day, or drawn that day.", kWineThenFields};
const Shape<WineOrder> kWineOrder{"wine_order", "New wine of one lot, with what is lost before it goes in.",
                                  kWineOrderFields};
const Shape<SpiritSum> kSpiritSum{"spirit_sum", "Spirit of one name and strength that several reserves order.",
                                  kSpiritSumFields};
const Shape<OrderSum> kOrderSum{"order_sum", "What several reserves order together.", kOrderSumFields};
const Shape<Refresh> kRefreshOutput{
    "refresh",
    "The plan of the next refresh. With several files: an object with `plans`, a list of these, and `order`, an "
    "order_sum.",
    kOutputFields};

std::vector<PlannedVessel> planned_vessels(const Refresh& refresh) {
  std::vector<PlannedVessel> vessels;
  for (const TierVessels& tier : refresh.vessels)
    for (const VesselDay& vessel : tier.vessels) vessels.push_back({{&refresh, &tier}, &vessel});
  return vessels;
}

std::vector<WineThen> wines_of_day(const Refresh& refresh) {
  std::vector<WineThen> wines;
  const auto add = [&](const Outlook& outlook, const Stock& stock, const char* when) {
    for (int row = 0; row < outlook.scenario.tier_count(); ++row)
      if (stock.volume[row] > 0.0)
        wines.push_back({outlook.scenario.name_of(row) + when, &outlook, part_of(stock, row, 1.0), stock.volume[row],
                         stock.ph(row), stock.day});
  };
  if (refresh.plan.before.holds_wine()) add(refresh.before, refresh.plan.before.stock(), ", before");
  for (const DrawRecord* draw : draws_of_day(refresh.plan))
    wines.push_back({"drawn: " + draw->name, &refresh.after, draw->wine, draw->volume_l, draw->ph, draw->day});
  add(refresh.after, refresh.plan.after.stock(), ", after");
  return wines;
}

}  // namespace tierce
