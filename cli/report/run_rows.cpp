#include "cli/report/run_rows.h"

#include "cli/read/quantity_text.h"
#include "cli/report/report.h"
#include "engine/measure/money.h"
#include "engine/wine/sulfur.h"

namespace tierce {
namespace {

template <Flow flow>
Value flowed(const Balance& balance) {
  return balance.flow[flow];
}

constexpr Field<Balance> kBalanceFields[] = {
    {"opening", "", Figure::exact_number, "held when the book began", flowed<kOpening>},
    {"in", "", Figure::exact_number, "came in with new wine", flowed<kIn>},
    {"dosed", "", Figure::exact_number, "came in with doses (SO2)", flowed<kDosed>},
    {"water", "", Figure::exact_number, "came in as water", flowed<kWater>},
    {"drawn", "", Figure::exact_number, "left with draws", flowed<kDrawn>},
    {"bottled", "", Figure::exact_number, "left tanks in bottles", flowed<kBottled>},
    {"evaporated", "", Figure::exact_number, "left by evaporation", flowed<kEvaporated>},
    {"gauge", "", Figure::exact_number, "found missing by gauges; negative: found in excess", flowed<kGauged>},
    {"lost", "", Figure::exact_number, "left with losses of known cause", flowed<kLost>},
    {"contraction", "", Figure::exact_number, "vanished on mixing with spirit or water; negative: the mixture grew",
     flowed<kContracted>},
    {"analysed", "", Figure::exact_number, "by which analyses changed the book", flowed<kAnalysed>},
    {"gained", "", Figure::exact_number, "formed in the wine less oxidised", flowed<kGained>},
    {"held", "", Figure::exact_number, "held at the end of the run", of<&Balance::held>},
    {"gap", "", Figure::exact_number, "what does not balance; about 0", of<&Balance::gap>},
};

template <Solute solute>
Value balance_in(const Trajectory& run) {
  return object_of(balance_of(run, solute), kBalance);
}

constexpr Field<Trajectory> kBalancesFields[] = {
    {"volume_L", "", Figure::object, "wine, litres",
     [](auto& run) { return object_of(balance_of_volume(run), kBalance); }, kAlways, nullptr, &kBalance},
    {"alcohol_L", "", Figure::object, "pure alcohol, litres",
     [](auto& run) { return object_of(balance_of_alcohol(run), kBalance); }, kAlways, nullptr, &kBalance},
    {"sugar_g", "", Figure::object, "sugar, grams", balance_in<kSugar>, kAlways, nullptr, &kBalance},
    {"so2_mg", "", Figure::object, "total SO2, milligrams", balance_in<kSo2Total>, kAlways, nullptr, &kBalance},
    {"money", "", Figure::object, "what the wine has cost; `gained` is interest", balance_in<kMoney>, kAlways, nullptr,
     &kBalance},
    {"largest_lot_gap_L", "", Figure::exact_number, "largest gap of any single lot, litres",
     [](auto& run) -> Value { return largest_parcel_gap_l(run); }, kAlways},
};

template <auto Member>
Value read(const ReadingRow& row) {
  return Value(row.reading->*Member);
}
Value place_of(const ReadingRow& row) { return place_name(*row.scenario, row.reading->row, row.reading->vessel); }
Value method_of(const ReadingRow& row) { return row.reading->method.empty() ? Value() : Value(row.reading->method); }

constexpr Field<ReadingRow> kReadingFields[] = {
    {"date", "", Figure::date, "day of the reading", read<&Reading::date>},
    {"place", "", Figure::text, "tier, vessel or tank", place_of},
    {"quantity", "", Figure::word,
     "what was read: L for volume, %vol for alcohol, mg/L for SO2 and acetaldehyde, else g/L", read<&Reading::quantity>,
     kAlways,
     "volume|alcohol|sugar|acidity|va|sulfate|so2 total|so2 free|acetaldehyde|pyruvic|oxoglutaric|galacturonic|pH"},
    {"measured", "", Figure::exact_number, "the reading; volumes at 20 °C", read<&Reading::measured>, kAlways},
    {"book", "", Figure::exact_number, "what the book had just before", read<&Reading::book>},
    {"error_L", "", Figure::small_litres, "of a gauge: its error as stated", read<&Reading::error_l>},
    {"method", "", Figure::text, "how it was measured, if an analysis says so", method_of, kOrNull},
    {"use", "", Figure::word, "`set`: the book took it over; `keep`: only filed",
     [](auto& row) -> Value { return row.reading->kept_only ? "keep" : "set"; }, kAlways, "set|keep"},
};

constexpr Field<MoveRow> kMoveFields[] = {
    {"from", "", Figure::text, "tier that gave", [](auto& of) -> Value { return of.scenario->name_of(of.pour.from); }},
    {"to", "", Figure::text, "tier that took", [](auto& of) -> Value { return of.scenario->name_of(of.pour.to); }},
    {"volume_L", "", Figure::litres, "litres", [](auto& of) -> Value { return of.pour.litres; }, kAlways},
};

constexpr Field<NewWine> kNewWineFields[] = {
    {"lot", "", Figure::text, "name of the lot", of<&NewWine::first>},
    {"volume_L", "", Figure::litres, "litres", of<&NewWine::second>, kAlways},
};

double grams_of(const DoseRow& row) { return so2_grams(row.dose->dose_mg_l, row.dose->litres); }
Value metabisulfite_of(const DoseRow& row) {
  return metabisulfite_grams(grams_of(row), row.scenario->metabisulfite_yield);
}

constexpr Field<DoseRow> kDoseFields[] = {
    {"tier", "", Figure::text, "tier or tank", [](auto& row) -> Value { return row.scenario->name_of(row.dose->row); }},
    {"dose_mg_L", "", Figure::milligrams_per_litre, "SO2 added, mg per litre of its wine",
     [](auto& row) -> Value { return row.dose->dose_mg_l; }, kAlways},
    {"dose_low_end_mg_L", "", Figure::milligrams_per_litre, "SO2 that the low reckoning would take",
     [](auto& row) -> Value { return row.dose->low_end_mg_l; }},
    {"so2_g", "", Figure::tenths, "SO2, grams in all", [](auto& row) -> Value { return grams_of(row); }, kAlways},
    {"metabisulfite_g", "", Figure::tenths, "potassium metabisulfite that brings it, grams, at the scenario's yield",
     metabisulfite_of, kAlways},
};

constexpr Field<DoseRow> kDatedDoseFields[] = {
    {"", "", Figure::object, "", [](auto& row) { return object_of(row, kDose); }, kAlways, nullptr, &kDose},
    {"date", "", Figure::date, "day of the dose", [](auto& row) -> Value { return row.dose->date; }},
    {"past", "", Figure::flag, "true: the log holds it; false: forecast",
     [](auto& row) -> Value { return row.dose->past; }},
};

Value first_lot(const RefreshRow& of) { return of.refresh->lots.empty() ? Value() : of.refresh->lots.front().first; }
Value doses_of(const RefreshRow& of) {
  Value::List doses;
  for (const DoseRecord& dose : of.refresh->doses) doses.push_back(object_of({of.scenario, &dose}, kDose));
  return doses;
}

constexpr Field<RefreshRow> kRefreshFields[] = {
    {"date", "", Figure::date, "the day", [](auto& of) -> Value { return of.refresh->date; }},
    {"past", "", Figure::flag, "true: the log holds it; false: forecast",
     [](auto& of) -> Value { return of.refresh->past; }},
    {"new_wine_L", "", Figure::litres, "new wine in all", [](auto& of) -> Value { return of.refresh->new_wine_l; },
     kAlways},
    {"lot", "", Figure::text, "the first lot of new wine; null if none was needed", first_lot, kOrNull},
    {"lots", "", Figure::list, "new wine, lot by lot", [](auto& of) { return list_of(of.refresh->lots, kNewWine); },
     kAlways, nullptr, &kNewWine},
    {"moves", "", Figure::list, "wine moved from tier to tier, in the order done",
     [](auto& of) { return list_of(move_rows(*of.scenario, of.refresh->moves), kMove); }, kAlways, nullptr, &kMove},
    {"doses", "", Figure::list, "doses of that day after the refill", doses_of, kAlways, nullptr, &kDose},
};

template <Flow flow>
Value litres(const YearRow& row) {
  return row.year->litres[flow];
}
template <Flow flow>
Value alcohol(const YearRow& row) {
  return row.year->alcohol[flow];
}
template <auto Member>
Value of_year(const YearRow& row) {
  return Value(row.year->*Member);
}
/// Grams in a litre of what is held at the close.
template <double YearFlows::*grams>
Value closing_g_l(const YearRow& row) {
  return row.year->closing_l > 0.0 ? row.year->*grams / row.year->closing_l : kUnknown;
}
Value drawn_or_bottled(const YearRow& row) { return row.year->litres[kDrawn] + row.year->litres[kBottled]; }
Value proof_gallons_held(const YearRow& row) {
  return proof_gallons_of(row.year->closing_l, row.year->closing_alcohol_l);
}
/// Whether a year stands in the book, in the plan, or in both.
Value origin_of(const YearRow& row) {
  const Date& end = row.outlook->line.log_end;
  if (row.year->year > end.year) return "plan";
  return row.year->closed <= end || row.year->year < end.year ? "book" : "both";
}
Value cell_value(const Cell& cell) {
  if (const auto* text = std::get_if<std::string>(&cell)) return *text;
  return std::get<double>(cell);
}
Value mean_of_draws(const YearRow& row) { return cell_value(age_cell(row.ages.mean_y, row.ages.mean_at_least_y)); }
Value youngest_of_draws(const YearRow& row) {
  return cell_value(age_cell(row.ages.youngest_y, row.ages.youngest_at_least_y));
}

constexpr Field<YearRow> kYearFields[] = {
    {"year", "year", Figure::year, "calendar year", of_year<&YearFlows::year>},
    {"from", "from", Figure::text, "book, plan or both", origin_of, kOnlyInTables},
    {"closed", "", Figure::date, "day on which the row ends: 31 December, or the last day of the run",
     of_year<&YearFlows::closed>},
    {"opening_L", "opening", Figure::litres, "held when the year began, and stock the book opened with",
     litres<kOpening>, kAlways},
    {"in_L", "in", Figure::litres, "new wine", litres<kIn>, kAlways},
    {"drawn_L", "drawn", Figure::litres, "draws", litres<kDrawn>, kAlways},
    {"drawn_or_bottled_L", "drawn", Figure::litres, "draws, and what left tanks in bottles", drawn_or_bottled,
     kOnlyInTables},
    {"bottled_L", "bottled", Figure::litres, "left tanks in bottles", litres<kBottled>},
    {"evaporated_L", "evap.", Figure::litres, "evaporation", litres<kEvaporated>, kAlways},
    {"gauge_L", "gauge", Figure::litres, "found missing by gauges; negative: found in excess", litres<kGauged>,
     kAlways},
    {"lost_L", "lost", Figure::litres, "losses of known cause", litres<kLost>, kAlways},
    {"water_L", "", Figure::litres, "water put in", litres<kWater>, kAlways},
    {"contraction_L", "", Figure::litres, "vanished on mixing with spirit or water; negative: the mixture grew",
     litres<kContracted>, kAlways},
    {"closing_L", "closing", Figure::litres, "held at the close, summed over the lots", of_year<&YearFlows::closing_l>,
     kAlways},
    {"closing_alcohol_L", "pure alcohol\nheld", Figure::pure_alcohol, "pure alcohol held at the close",
     of_year<&YearFlows::closing_alcohol_l>},
    {"gap_L", "", Figure::litres, "what does not balance; about 0",
     [](auto& row) -> Value { return row.year->gap_l(); }, kAlways},
    {"alcohol_pct", "strength", Figure::alcohol_pct, "strength of all held at the close", of<&YearRow::closing_pct>,
     kOnlyInTables},
    {"change_pct", "change", Figure::alcohol_change, "the same less that of the year before",
     [](auto& row) -> Value { return row.closing_pct() - row.before_pct; }, kOnlyInTables},
    {"sugar_g_L", "sugar", Figure::grams_per_litre, "sugar of all held at the close", closing_g_l<&YearFlows::sugar_g>,
     kOnlyInTables},
    {"acidity_g_L", "acid", Figure::fine_grams_per_litre, "total acidity, likewise", closing_g_l<&YearFlows::acid_g>,
     kOnlyInTables},
    {"volatile_g_L", "volatile", Figure::fine_grams_per_litre, "volatile acidity, likewise",
     closing_g_l<&YearFlows::volatile_acid_g>, kOnlyInTables},
    {"mean_y", "mean\nage", Figure::age, "mean age of the year's draws, or its bound", mean_of_draws, kOnlyInTables},
    {"youngest_y", "youngest", Figure::age, "youngest part of the year's draws, or its bound", youngest_of_draws,
     kOnlyInTables},
    {"held_proof_gal", "held", Figure::proof_gallons, "proof gallons held at the close", proof_gallons_held,
     kOnlyInTables},
    {"drawn_alcohol_L", "pure alcohol\ndrawn", Figure::pure_alcohol, "in the year's draws", alcohol<kDrawn>,
     kOnlyInTables},
    {"evaporated_alcohol_L", "pure alcohol\nevaporated", Figure::pure_alcohol, "in what evaporated",
     alcohol<kEvaporated>, kOnlyInTables},
};

constexpr Field<StopRow> kStopFields[] = {
    {"date", "", Figure::date, "day of the act that cannot be done", [](auto& of) -> Value { return of.stop->date; }},
    {"tier", "", Figure::text, "tier or tank concerned",
     [](auto& of) -> Value { return of.scenario->name_of(of.stop->row); }},
    {"short_L", "", Figure::litres,
     "litres wanted and not there; negative: litres over the capacity; 0: another reason",
     [](auto& of) -> Value { return of.stop->short_l; }, kAlways},
    {"why", "", Figure::text, "what cannot be done", [](auto& of) -> Value { return of.stop->problem.what; }},
};

Value currency_in(const Outlook& of) {
  const std::string currency = currency_of(of.scenario);
  return currency.empty() ? Value() : Value(currency);
}

constexpr Field<Outlook> kCostFields[] = {
    {"currency", "", Figure::text, "of all money; null: the file states no cost", currency_in, kOrNull},
    {"interest_per_year", "", Figure::exact_number, "on what the wine has cost; 0.08 for 8 %/yr",
     [](auto& of) -> Value { return of.scenario.interest_per_year; }, kAlways},
    {"without_cost", "", Figure::texts, "what came in without a cost: wine mixed with it has none either",
     [](auto& of) -> Value { return without_cost(of.scenario, of.line, of.run); }},
};

Value text_or_null(const std::string& text) { return text.empty() ? Value() : Value(with_plain_spaces(text)); }

constexpr Field<Problem> kObstacleFields[] = {
    {"line", "", Figure::whole, "the line of the file, if it is one of its lines",
     [](auto& of) { return of.at.line > 0 ? Value(of.at.line) : Value(); }, kOrNull},
    {"what", "", Figure::text, "what cannot be done", [](auto& of) -> Value { return with_plain_spaces(of.what); }},
    {"possible", "", Figure::text, "what can be done instead", [](auto& of) { return text_or_null(of.allowed); },
     kOrNull},
    {"hint", "", Figure::text, "where it is changed", [](auto& of) { return text_or_null(of.hint); }, kOrNull},
};
constexpr Shape<Problem> kObstacle{"obstacle", "One thing that makes a report impossible.", kObstacleFields};

constexpr Field<Impossible> kImpossibleFields[] = {
    {"file", "", Figure::text, "the file, as given; null: the command reads none",
     [](auto& of) { return text_or_null(of.file); }, kOrNull},
    {"impossible", "", Figure::list, "what stands in the way", [](auto& of) { return list_of(of.why, kObstacle); },
     kAlways, nullptr, &kObstacle},
};

}  // namespace

const Shape<Balance> kBalance{
    "balance", "One balance over the whole run: what opened, came in and formed, against what is held and what left.",
    kBalanceFields};
const Shape<Trajectory> kBalances{
    "balances", "The balances of a run. A figure is null where the file does not state what it needs.",
    kBalancesFields};
const Shape<ReadingRow> kReading{"reading", "A gauge or an analysis beside what the book had.", kReadingFields};
const Shape<MoveRow> kMove{"move", "Wine moved from one tier to the next by a refill.", kMoveFields};
const Shape<NewWine> kNewWine{"new_wine", "New wine of a refresh.", kNewWineFields};
const Shape<DoseRow> kDose{"dose", "Sulfur dioxide put into a tier or tank.", kDoseFields};
const Shape<DoseRow> kDatedDose{"dated_dose", "A dose with its day.", kDatedDoseFields};
const Shape<RefreshRow> kRefresh{"refresh", "A day with a refill.", kRefreshFields};
const Shape<YearRow> kYear{"year", "One calendar year of the whole reserve, tanks included, in litres.", kYearFields};
const Shape<StopRow> kStop{"stop", "Why a forecast ended before its time.", kStopFields};
const Shape<Outlook> kCost{"cost", "How costs are counted.", kCostFields};
const Shape<Impossible> kImpossiblePlan{
    "impossible_plan",
    "What stands in place of a report that is impossible (exit status 1) of refresh, target --bring, fortify, and of a "
    "book that with --as-known-on does not hold together.",
    kImpossibleFields};

double YearRow::closing_pct() const {
  return year->closing_l > 0.0 ? 100.0 * year->closing_alcohol_l / year->closing_l : kUnknown;
}

std::vector<ReadingRow> reading_rows(const Outlook& outlook) {
  std::vector<ReadingRow> rows;
  for (const Reading& reading : outlook.run.readings) rows.push_back({&outlook.scenario, &reading});
  return rows;
}

std::vector<MoveRow> move_rows(const Scenario& scenario, const std::vector<Pour>& moves) {
  std::vector<MoveRow> rows;
  for (const Pour& pour : moves) rows.push_back({&scenario, pour});
  return rows;
}

std::vector<YearRow> year_rows(const Outlook& outlook) {
  std::vector<YearRow> rows;
  for (const YearFlows& year : outlook.run.flows.years)
    rows.push_back(
        {&outlook, &year, rows.empty() ? kUnknown : rows.back().closing_pct(), ages_of_year(outlook, year.year)});
  return rows;
}

}  // namespace tierce
