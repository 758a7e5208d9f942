#include "cli/report/compare.h"
#include "cli/report/json_number.h"
#include "cli/report/json_report.h"

namespace tierce {
namespace {

using nlohmann::json;

json year_object(const ComparedYear& year) {
  return {{"year", year.year},
          {"planned", year.planned},
          {"drawn_L", json_number(year.drawn_l)},
          {"new_wine_L", json_number(year.new_wine_l)},
          {"evaporated_L", json_number(year.evaporated_l)},
          {"closing_L", json_number(year.closing_l)},
          {"closing_alcohol_pct", json_number(year.closing_pct)},
          {"mean_age_y", json_number(year.ages.mean_y)},
          {"mean_age_at_least_y", json_number(year.ages.mean_at_least_y)},
          {"youngest_y", json_number(year.ages.youngest_y)},
          {"cost_per_L", json_number(year.cost_per_l)}};
}

json draw_object(const ComparedDraw& draw, double bottle_l) {
  return {{"name", draw.name},
          {"date", iso_text(draw.date)},
          {"volume_L", json_number(draw.volume_l)},
          {"bottles", json_number(draw.volume_l / bottle_l)},
          {"mean_age_y", json_number(draw.age.mean_y)},
          {"mean_age_at_least_y", json_number(draw.age.mean_at_least_y)},
          {"youngest_y", json_number(draw.age.youngest_y)},
          {"alcohol_pct", json_number(draw.alcohol_pct)},
          {"sugar_g_L", json_number(draw.sugar_g_l)},
          {"so2_total_mg_L", json_number(draw.so2.total_mg_l)},
          {"so2_free_mg_L", json_number(draw.so2.free_mg_l.planned)},
          {"so2_free_low_mg_L", json_number(draw.so2.free_mg_l.low)},
          {"so2_free_high_mg_L", json_number(draw.so2.free_mg_l.high)},
          {"so2_molecular_mg_L", json_number(draw.so2_molecular_mg_l.planned)},
          {"so2_molecular_low_mg_L", json_number(draw.so2_molecular_mg_l.low)},
          {"so2_molecular_high_mg_L", json_number(draw.so2_molecular_mg_l.high)},
          {"cost_per_L", json_number(draw.cost_per_l)},
          {"cost_per_bottle", json_number(draw.cost_per_l * bottle_l)}};
}

json variant_object(const ComparedVariant& one, double bottle_l) {
  json changes = json::array(), years = json::array();
  for (const auto& [path, value] : one.changes) changes.push_back({{"path", path}, {"value", value}});
  for (const ComparedYear& year : one.years) years.push_back(year_object(year));
  json object = {{"name", one.name},
                 {"changes", changes},
                 {"drawn_L", json_number(one.drawn_l)},
                 {"bottles", json_number(one.drawn_l / bottle_l)},
                 {"new_wine_L", json_number(one.new_wine_l)},
                 {"long_run", json_parts::long_run(one.long_run)},
                 {"years", years}};
  if (one.last_draw) object["last_draw"] = draw_object(*one.last_draw, bottle_l);
  if (one.stopped) object["stopped"] = json_parts::stopped(*one.stopped, one.stopped_at);
  return object;
}

}  // namespace

json compare_json(const Comparison& comparison) {
  json object = report_head(comparison.base);
  object["bottle_L"] = comparison.bottle_l;
  object["currency"] = comparison.currency.empty() ? json(nullptr) : json(comparison.currency);
  object["variants"] = json::array();
  for (const ComparedVariant& one : comparison.variants)
    object["variants"].push_back(variant_object(one, comparison.bottle_l));
  return object;
}

}  // namespace tierce
