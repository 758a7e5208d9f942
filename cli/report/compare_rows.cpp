#include "cli/report/compare_rows.h"

#include "cli/report/long_run.h"
#include "cli/report/report.h"
#include "cli/report/run_rows.h"
#include "cli/report/so2_text.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

constexpr Field<ComparedYear> kYearFields[] = {
    {"year", "", Figure::whole, "calendar year", of<&ComparedYear::year>, kAlways},
    {"planned", "", Figure::flag, "true: it ends after the book", of<&ComparedYear::planned>},
    {"drawn_L", "drawn", Figure::litres, "by all draws of the year", of<&ComparedYear::drawn_l>},
    {"new_wine_L", "wine to make", Figure::litres, "that came in", of<&ComparedYear::new_wine_l>},
    {"evaporated_L", "evaporated", Figure::litres, "lost by evaporation", of<&ComparedYear::evaporated_l>},
    {"closing_L", "held at its end", Figure::litres, "held at its end", of<&ComparedYear::closing_l>},
    {"closing_alcohol_pct", "", Figure::alcohol_pct, "strength of that, %vol", of<&ComparedYear::closing_pct>},
    {"mean_age_y", "", Figure::age, "of the year's draws, by volume", [](auto& of) -> Value { return of.ages.mean_y; }},
    {"mean_age_at_least_y", "", Figure::age, "the same where part of the wine is of unknown age: at least",
     [](auto& of) -> Value { return of.ages.mean_at_least_y; }},
    {"youngest_y", "", Figure::age, "of the year's draws", [](auto& of) -> Value { return of.ages.youngest_y; }},
    {"cost_per_L", "", Figure::money_by_volume, "what a litre of the year's draws has cost",
     of<&ComparedYear::cost_per_l>},
};
constexpr Shape<ComparedYear> kComparedYear{"compared_year", "One year of a variant.", kYearFields};

struct DrawRow : ComparedDraw {
  double bottle_l = 0.0;
};

constexpr Field<DrawRow> kDrawFields[] = {
    {"name", "", Figure::text, "what `for` says, else the date", of<&ComparedDraw::name>},
    {"date", "", Figure::date, "day of the draw", of<&ComparedDraw::date>},
    {"volume_L", "", Figure::litres, "litres", of<&ComparedDraw::volume_l>},
    {"bottles", "", Figure::exact_number, "the same in bottles",
     [](auto& of) -> Value { return of.volume_l / of.bottle_l; }},
    {"mean_age_y", "mean age", Figure::age, "mean age", [](auto& of) -> Value { return of.age.mean_y; }},
    {"mean_age_at_least_y", "", Figure::age, "the same where part of the wine is of unknown age: at least",
     [](auto& of) -> Value { return of.age.mean_at_least_y; }},
    {"youngest_y", "youngest", Figure::age, "age of the youngest wine",
     [](auto& of) -> Value { return of.age.youngest_y; }},
    {"alcohol_pct", "strength", Figure::alcohol_pct, "strength, %vol", of<&ComparedDraw::alcohol_pct>},
    {"sugar_g_L", "sugar", Figure::grams_per_litre, "glucose and fructose", of<&ComparedDraw::sugar_g_l>},
    {"so2_total_mg_L", "SO2 total", Figure::milligrams_per_litre, "total SO2",
     [](auto& of) -> Value { return of.so2.total_mg_l; }},
    {"so2_free_mg_L", "", Figure::milligrams_per_litre,
     "free SO2 as doses are planned with, or as measured that day: an estimate",
     [](auto& of) -> Value { return of.so2.free_mg_l.planned; }},
    {"so2_free_low_mg_L", "", Figure::milligrams_per_litre, "free SO2, at the least",
     [](auto& of) -> Value { return of.so2.free_mg_l.low; }},
    {"so2_free_high_mg_L", "", Figure::milligrams_per_litre, "free SO2, at the most",
     [](auto& of) -> Value { return of.so2.free_mg_l.high; }},
    {"so2_molecular_mg_L", "", Figure::fine_milligrams_per_litre, "molecular SO2: an estimate",
     [](auto& of) -> Value { return of.so2_molecular_mg_l.planned; }},
    {"so2_molecular_low_mg_L", "", Figure::fine_milligrams_per_litre, "molecular SO2, at the least",
     [](auto& of) -> Value { return of.so2_molecular_mg_l.low; }},
    {"so2_molecular_high_mg_L", "", Figure::fine_milligrams_per_litre, "molecular SO2, at the most",
     [](auto& of) -> Value { return of.so2_molecular_mg_l.high; }},
    {"cost_per_L", "cost of a litre", Figure::money_by_volume,
     "what a litre has cost, evaporation and interest counted", of<&ComparedDraw::cost_per_l>},
    {"cost_per_bottle", "of a bottle", Figure::money, "the same for a bottle",
     [](auto& of) -> Value { return of.cost_per_l * of.bottle_l; }},
};
constexpr Shape<DrawRow> kComparedDraw{"compared_draw", "What is compared of a draw.", kDrawFields};

Value draw_of(const ComparedDraw* draw, double bottle_l) {
  return draw == nullptr ? Value(Value::Absent{}) : object_of({*draw, bottle_l}, kComparedDraw);
}

using Change = std::pair<std::string, std::string>;
constexpr Field<Change> kChangeFields[] = {
    {"path", "", Figure::text, "keys and names from the top of the file", of<&Change::first>},
    {"value", "", Figure::text, "as written", of<&Change::second>},
};
constexpr Shape<Change> kChangedValue{"changed_value", "A value that takes the place of one in the file.",
                                      kChangeFields};

Value stop_of(const VariantRow& row) {
  const auto& stop = row.variant.stopped;
  if (!stop) return Value::Absent{};
  return object_of({&row.variant.scenario, &*stop}, kStop);
}

constexpr Field<VariantRow> kFigureFields[] = {
    {"stopped", "", Figure::object, "only if the plan cannot be kept (exit status 1)", stop_of, kOrAbsent, nullptr,
     &kStop},
    {"last_draw", "", Figure::object, "the last draw that the plan reaches, if any",
     [](auto& of) { return draw_of(of.variant.last_draw ? &*of.variant.last_draw : nullptr, of.bottle_l); }, kOrAbsent,
     nullptr, &kComparedDraw},
    {"drawn_L", "", Figure::litres, "by all draws that are planned and not done yet",
     [](auto& of) -> Value { return of.variant.drawn_l; }},
    {"bottles", "", Figure::exact_number, "the same in bottles",
     [](auto& of) -> Value { return of.variant.drawn_l / of.bottle_l; }},
    {"new_wine_L", "", Figure::litres, "wine to make for all refills that are planned and not done yet",
     [](auto& of) -> Value { return of.variant.new_wine_l; }},
    {"long_run", "", Figure::object, "where the habit leads if it goes on without exceptions",
     [](auto& of) { return object_of(of.variant.long_run, kLongRun); }, kAlways, nullptr, &kLongRun},
    {"years", "", Figure::list, "every year of the run",
     [](auto& of) { return list_of(of.variant.years, kComparedYear); }, kAlways, nullptr, &kComparedYear},
};

constexpr Field<VariantRow> kVariantFields[] = {
    {"name", "", Figure::text, "as given; of the file `the file`", [](auto& of) -> Value { return of.variant.name; }},
    {"changes", "", Figure::list, "what takes the place of values of the file",
     [](auto& of) { return list_of(of.variant.changes, kChangedValue); }, kAlways, nullptr, &kChangedValue},
    {"", "", Figure::object, "", [](auto& of) { return object_of(of, kVariantFigures); }, kAlways, nullptr,
     &kVariantFigures},
};

template <auto Member>
Value of_last_year(const VariantRow& row) {
  const ComparedYear* year = row.variant.kept_year();
  return year == nullptr ? Value() : of<Member>(*year);
}

/// Of a plan that is kept.
template <auto Member>
Value of_all_years(const VariantRow& row) {
  return row.variant.stopped ? Value() : of<Member>(row.variant);
}

Value in_bottles(const Value& litres, double bottle_l) {
  const auto* known = std::get_if<double>(&litres.is);
  return known == nullptr ? Value() : Value(*known / bottle_l);
}

Value stops_in(const VariantRow& row) {
  const auto& stop = row.variant.stopped;
  return stop ? Value(std::to_string(stop->date.year)) : Value("-");
}

/// The day without its year, which stands above it.
Value stops_on(const VariantRow& row) {
  const auto& stop = row.variant.stopped;
  if (!stop) return "-";
  const std::string day = day_text(stop->date);
  return day.substr(0, day.size() - std::to_string(stop->date.year).size() - 2);
}

Value mean_age(const VariantRow& row) {
  const ComparedDraw* draw = row.variant.kept_draw();
  return draw == nullptr ? "-" : shown_age(draw->age.mean_y, draw->age.mean_at_least_y);
}

Value youngest(const VariantRow& row) {
  const ComparedDraw* draw = row.variant.kept_draw();
  return draw == nullptr ? "-" : shown_age(draw->age.youngest_y, draw->age.youngest_at_least_y);
}

Value molecular(const VariantRow& row) {
  const ComparedDraw* draw = row.variant.kept_draw();
  return draw == nullptr ? "-" : molecular_text(row.variant.scenario, draw->so2);
}

constexpr Field<VariantRow> kShownFields[] = {
    {"variant", "", Figure::text, "", [](auto& of) -> Value { return of.variant.name; }},
    {"stops_on", "", Figure::date, "",
     [](auto& of) { return of.variant.stopped ? Value(of.variant.stopped->date) : Value(); }},
    {"stop_year", "in", Figure::text, "", stops_in},
    {"stop_day", "on", Figure::text, "", stops_on},
    {"last_draw", "", Figure::object, "", [](auto& of) { return draw_of(of.variant.kept_draw(), of.bottle_l); },
     kOrAbsent, nullptr, &kComparedDraw},
    {"mean_age", "mean age, years", Figure::text, "", mean_age},
    {"youngest", "youngest, years", Figure::text, "", youngest},
    {"molecular", "SO2 molec., mg/L", Figure::text, "", molecular},
    {"last_year_drawn_L", "drawn", Figure::litres, "", of_last_year<&ComparedYear::drawn_l>},
    {"last_year_bottles", "bottles", Figure::whole, "",
     [](auto& of) { return in_bottles(of_last_year<&ComparedYear::drawn_l>(of), of.bottle_l); }},
    {"last_year_new_wine_L", "wine to make", Figure::litres, "", of_last_year<&ComparedYear::new_wine_l>},
    {"last_year_evaporated_L", "evaporated", Figure::litres, "", of_last_year<&ComparedYear::evaporated_l>},
    {"closing_L", "held at its end", Figure::litres, "", of_last_year<&ComparedYear::closing_l>},
    {"drawn_L", "drawn", Figure::litres, "", of_all_years<&ComparedVariant::drawn_l>},
    {"bottles", "bottles", Figure::whole, "",
     [](auto& of) { return in_bottles(of_all_years<&ComparedVariant::drawn_l>(of), of.bottle_l); }},
    {"new_wine_L", "wine to make", Figure::litres, "", of_all_years<&ComparedVariant::new_wine_l>},
    {"long_run_mean_y", "mean age", Figure::age, "", [](auto& of) -> Value { return of.variant.long_run.mean_y; }},
    {"half_life_y", "wine halves every", Figure::age, "",
     [](auto& of) -> Value { return of.variant.long_run.half_life_y; }},
};

}  // namespace

const Shape<VariantRow> kComparedVariant{"compared_variant", "One column of a comparison.", kVariantFields};
const Shape<VariantRow> kVariantFigures{"variant_figures", "What a variant comes to.", kFigureFields};
const Shape<VariantRow> kShownVariant{"", "", kShownFields};

std::string shown_age(double age_y, double at_least_y) {
  const Cell cell = age_cell(age_y, at_least_y);
  const auto* years = std::get_if<double>(&cell);
  return years != nullptr ? number_text(*years, Figure::age, Units::metric) : std::get<std::string>(cell);
}

}  // namespace tierce
