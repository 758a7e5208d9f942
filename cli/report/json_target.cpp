#include <cmath>

#include "cli/report/json_number.h"
#include "cli/report/json_report.h"
#include "cli/report/target.h"
#include "engine/plan/long_run.h"

namespace tierce {
namespace {

using nlohmann::json;

/// The figures of a draw that keeps an age; unknown where none does.
json draw_figures(const ShareTrial& trial, bool known) {
  const auto figure = [&](double value) { return json_number(known ? value : kUnknown); };
  return {{"fraction_of_held", figure(trial.share)},
          {"drawn_L_y", figure(trial.drawn_l_y)},
          {"fraction_of_full_stock", figure(trial.part_of_full())},
          {"new_wine_L_y", figure(trial.new_wine_l_y)}};
}

const char* limit_name(LargestShare::Limit limit) {
  constexpr const char* kNames[] = {"age", "wine", "never", "unknown"};
  return kNames[static_cast<int>(limit)];
}

json largest_object(const LargestShare& found, AgeKind kind, bool least) {
  const bool known = found.limit == LargestShare::Limit::age || found.limit == LargestShare::Limit::wine;
  json object = draw_figures(found.at, known);
  object["limited_by"] = limit_name(found.limit);
  object["age_y"] = json_number((least ? found.at.least : found.at.last)[kind]);
  object["why_not"] = found.why_not;
  return object;
}

json dated_object(const AgedDraw& draw, AgeKind kind) {
  return {{"date", iso_text(draw.date)},
          {"name", draw.name},
          {"past", draw.past},
          {"age_y", json_number(draw.age[kind])},
          {"at_least", draw.at_least}};
}

const char* weighting_name(AgeKind kind) {
  if (kind == AgeKind::by_alcohol) return "alcohol";
  return kind == AgeKind::by_solids ? "solids" : "volume";
}

json target_object(const TargetAnswer& answer, const AgeTarget& target) {
  json object = {{"age", target.kind == AgeKind::youngest ? "youngest" : "mean"},
                 {"weighted_by", weighting_name(target.kind)},
                 {"wanted_y", json_number(target.wanted_y)},
                 {"asked_by", target.asked_by},
                 {"in_the_long_run", largest_object(target.in_the_long_run, target.kind, false)},
                 {"at_the_last_draw", largest_object(target.at_the_last, target.kind, false)},
                 {"at_every_draw", largest_object(target.at_every, target.kind, true)},
                 {"long_run_y", json_number(target.long_run_y)},
                 {"ceiling_y", json_number(target.ceiling_y)},
                 {"looked_until", target.dates.looked_until},
                 {"impossible", target.impossible()},
                 {"evaporation_part", json_number(target.evaporation_part)},
                 {"why_never", target.impossible() ? why_never(answer, target) : ""},
                 {"what_would", target.impossible() ? what_would(answer, target) : ""}};
  if (target.dates.reached) object["reached"] = dated_object(*target.dates.reached, target.kind);
  if (target.dates.kept_from) object["kept_from"] = dated_object(*target.dates.kept_from, target.kind);
  if (target.dates.near) object["near_from"] = dated_object(*target.dates.near, target.kind);
  if (target.dates.lost) object["lost"] = dated_object(*target.dates.lost, target.kind);
  return object;
}

json check_object(const TargetAnswer& answer) {
  const LongRunCheck& check = answer.check;
  return {{"years", check.years},
          {"mean_y", json_number(check.mean_y)},
          {"mean_by_solids_y", json_number(check.mean_by_solids_y)},
          {"mean_difference_y", json_number(std::abs(check.mean_y - answer.long_run.mean_y))},
          {"memory_years", check.memory_years},
          {"left_by_run", json_number(check.left_by_run)},
          {"left_by_matrix", json_number(check.left_by_matrix)},
          {"why_not", check.why_not}};
}

json fresh_wine(const FreshWine& wine) {
  return {{"volume_L", json_number(wine.volume_l)},
          {"mean_y", json_number(wine.mean_y)},
          {"youngest_y", json_number(wine.youngest_y)},
          {"alcohol_pct", json_number(wine.alcohol_pct)},
          {"sugar_g_L", json_number(wine.sugar_g_l)},
          {"acidity_g_L", json_number(wine.acidity_g_l)},
          {"va_g_L", json_number(wine.va_g_l)},
          {"so2_total_mg_L", json_number(wine.so2_total_mg_l)},
          {"so2_free_mg_L", json_number(wine.so2_free_mg_l.planned)},
          {"so2_free_low_mg_L", json_number(wine.so2_free_mg_l.low)},
          {"so2_free_high_mg_L", json_number(wine.so2_free_mg_l.high)}};
}

json freshening_object(const FreshenAnswer& fresh) {
  json values = json::array();
  constexpr const char* kNames[] = {"mean", "alcohol", "sugar", "va"};
  for (const Freshening& one : fresh.values)
    values.push_back({{"value", kNames[static_cast<int>(one.bring.what)]},
                      {"wanted", json_number(one.bring.wanted)},
                      {"new_wine_L", json_number(one.new_wine_l)},
                      {"drawn_first_L", json_number(one.drawn_first_l)},
                      {"before", fresh_wine(one.before)},
                      {"after", fresh_wine(one.after)},
                      {"nearest", json_number(one.nearest)},
                      {"why_not", one.why_not},
                      {"possible", one.possible}});
  return {{"date", iso_text(fresh.date)},
          {"tier", fresh.tier},
          {"lot", fresh.lot},
          {"lot_age_y", json_number(fresh.lot_age_y)},
          {"room_L", json_number(fresh.room_l)},
          {"values", values}};
}

}  // namespace

json target_json(const TargetAnswer& answer, const std::optional<FreshenAnswer>& fresh) {
  json object = report_head(answer.outlook);
  object["last_year"] = answer.last_year;
  object["long_run"] = json_parts::long_run(answer.long_run);
  object["check"] = check_object(answer);
  for (const char* list : {"targets", "ages"}) object[list] = json::array();
  for (const AgeTarget& target : answer.targets) object["targets"].push_back(target_object(answer, target));
  for (const AgeRow& row : answer.ages) {
    object["ages"].push_back(draw_figures(row.at, true));
    object["ages"].back()["mean_y"] = json_number(row.mean_y);
  }
  if (is_known(answer.most_y)) {
    object["most"] = draw_figures(answer.most, true);
    object["most"]["mean_y"] = json_number(answer.most_y);
  }
  if (fresh) object["freshening"] = freshening_object(*fresh);
  object["balance"] = json_parts::balances(answer.outlook.run);
  return object;
}

}  // namespace tierce
