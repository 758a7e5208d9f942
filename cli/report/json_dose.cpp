// The JSON of the sulfur dioxide schedule.
#include <algorithm>
#include <cmath>

#include "cli/report/dose.h"
#include "cli/report/json_number.h"
#include "cli/report/json_report.h"
#include "cli/report/json_sulfur.h"
#include "cli/report/label_words.h"

namespace tierce {
namespace {

using nlohmann::json;

json moment_object(const Scenario& scenario, const SulfurMoment& moment) {
  json object = {{"so2_bound_mg_L", json_number(moment.bound_mg_l())},
                 {"so2_total_mg_L", json_number(moment.now.total_mg_l)},
                 {"so2_molecular_other_pk_mg_L", json_number(moment.molecular_other_mg_l.planned)},
                 {"acetaldehyde_mg_L", json_number(moment.now.acetaldehyde_mg_l)},
                 {"pH", json_number(moment.now.ph)},
                 {"alcohol_pct", json_number(moment.now.alcohol_pct)},
                 {"sugar_g_L", json_number(moment.now.sugar_g_l)},
                 {"sulfate_g_L", json_number(moment.now.sulfate_g_l)}};
  object.update(sulfur_object(scenario, moment.now));
  return object;
}

json dated(const Scenario& scenario, const SulfurMoment& moment, const std::string& name) {
  json object = moment_object(scenario, moment);
  object["date"] = iso_text(moment.date);
  object["name"] = name;
  return object;
}

json asked_object(const Dose& dose) {
  const char* const kinds[] = {"so2", "metabisulfite", "free", "molecular"};
  return {{"what", kinds[static_cast<std::size_t>(dose.kind)]},
          {"value", json_number(dose.value)},
          {"unit", dose.kind == Dose::Kind::metabisulfite ? "g" : "mg/L"},
          {"at_most_total_mg_L", json_number(dose.at_most_total_mg_l)}};
}

json tablets_object(double so2_g, double tablet_g) {
  const Tablets tablets = whole_tablets(so2_g, tablet_g);
  return {{"count", tablets.count}, {"over_g", json_number(tablets.overshoot_g)}};
}

/// What brings so much SO2.
json products(const Outlook& outlook, double so2_g) {
  const double salt_g = metabisulfite_grams(so2_g, outlook.scenario.metabisulfite_yield);
  return {{"so2_g", json_number(so2_g)},
          {"metabisulfite_g", json_number(salt_g)},
          {"so2_solution_5_pct_mL", json_number(solution_ml(so2_g, 5.0))},
          {"so2_solution_6_pct_mL", json_number(solution_ml(so2_g, 6.0))},
          {"metabisulfite_solution_10_pct_mL", json_number(solution_ml(salt_g, 10.0))}};
}

json vessels_array(const Outlook& outlook, const PlannedDose& dose) {
  json list = json::array();
  for (const VesselDose& vessel : dose.vessels) {
    json object = products(outlook, vessel.so2_g);
    object["name"] = vessel.name;
    object["volume_L"] = json_number(vessel.litres);
    object["tablets_2_g"] = tablets_object(vessel.so2_g, 2.0);
    object["tablets_5_g"] = tablets_object(vessel.so2_g, 5.0);
    list.push_back(object);
  }
  return list;
}

/// What is left to each limit just after the dose and, where the wine is drawn from here, at the draw.
json headroom_array(const Outlook& outlook, const PlannedDose& dose) {
  json list = json::array();
  for (const SulfurLimit& limit :
       sulfur_limits_for(outlook.scenario, dose.after.now.sugar_g_l, dose.after.now.alcohol_pct)) {
    const auto room = [&](const SulfurMoment& moment) {
      return json_number(limit.limit_mg_l() - (limit.of_free() ? moment.now.free_mg_l.planned : moment.now.total_mg_l));
    };
    const bool drawn = dose.next && dose.next->from_this_row;
    list.push_back({{"limit", limit.rule->id},
                    {"just_after_mg_L", room(dose.after)},
                    {"at_draw_mg_L", drawn ? room(dose.next->wine) : json(nullptr)}});
  }
  return list;
}

json shortfalls_array(const Outlook& outlook, const PlannedDose& dose) {
  json list = json::array();
  for (const SulfurLimit& limit :
       sulfur_limits_for(outlook.scenario, dose.after.now.sugar_g_l, dose.after.now.alcohol_pct)) {
    const auto shortfall = limit.of_free() ? std::nullopt : shortfall_under(outlook.scenario, dose, limit.limit_mg_l());
    if (!shortfall) continue;
    list.push_back({{"limit", limit.rule->id},
                    {"limit_mg_L", json_number(limit.limit_mg_l())},
                    {"wanted_total_mg_L", json_number(shortfall->wanted_total_mg_l.planned)},
                    {"perhaps", shortfall->perhaps},
                    {"acetaldehyde_binds_mg_L", json_number(shortfall->acetaldehyde_binds_mg_l)},
                    {"full_before", shortfall->full_before},
                    {"best", moment_object(outlook.scenario, shortfall->best)}});
  }
  return list;
}

json dose_object(const Outlook& outlook, const PlannedDose& dose) {
  const DoseRecord& record = dose.record;
  json object = products(outlook, so2_grams(record.dose_mg_l, record.litres));
  object["tier"] = outlook.scenario.name_of(record.row);
  object["asked"] = asked_object(dose.asked);
  object["volume_L"] = json_number(record.litres);
  object["dose_mg_L"] = json_number(record.dose_mg_l);
  object["dose_low_end_mg_L"] = json_number(record.low_end_mg_l);
  object["wanted_mg_L"] = json_number(record.wanted_mg_l.planned);
  object["held_down"] = record.dose_mg_l < record.wanted_mg_l.planned;
  object["before"] = moment_object(outlook.scenario, dose.before);
  object["just_after"] = moment_object(outlook.scenario, dose.after);
  if (dose.next) object["next_draw"] = dated(outlook.scenario, dose.next->wine, dose.next->name);
  if (dose.next && dose.next->from_this_row) object["bottling"] = object["next_draw"];
  object["vessels"] = vessels_array(outlook, dose);
  object["headroom"] = headroom_array(outlook, dose);
  object["not_reachable"] = shortfalls_array(outlook, dose);
  object["oxygen_estimate"] = {{"air_low_mg_L", json_number(dose.oxygen.air_low_mg_l)},
                               {"air_high_mg_L", json_number(dose.oxygen.air_high_mg_l)},
                               {"wood_low_mg_L", json_number(dose.oxygen.wood_low_mg_l)},
                               {"wood_high_mg_L", json_number(dose.oxygen.wood_high_mg_l)}};
  return object;
}

/// The wine that a day with doses brought and moved; nothing where it only dosed.
json refresh_object(const Outlook& outlook, const RefreshRecord& refresh) {
  json lots = json::array(), moves = json::array();
  for (const auto& [name, litres] : refresh.lots) lots.push_back({{"lot", name}, {"volume_L", json_number(litres)}});
  for (const Pour& pour : refresh.moves)
    moves.push_back({{"from", outlook.scenario.name_of(pour.from)},
                     {"to", outlook.scenario.name_of(pour.to)},
                     {"volume_L", json_number(pour.litres)}});
  return {{"new_wine_L", json_number(refresh.new_wine_l)},
          {"lot", refresh.lots.empty() ? json(nullptr) : json(refresh.lots.front().first)},
          {"lots", lots},
          {"moves", moves},
          {"doses", json::array()}};
}

/// One object for each day with doses.
json refreshes_array(const Outlook& outlook, const DoseSchedule& schedule) {
  json list = json::array();
  for (const PlannedDose& dose : schedule.doses) {
    const std::string date = iso_text(dose.record.date);
    if (list.empty() || list.back().at("date") != date) {
      const auto& refreshes = outlook.run.refreshes;
      const auto refresh = std::find_if(refreshes.begin(), refreshes.end(),
                                        [&](const RefreshRecord& record) { return record.date == dose.record.date; });
      list.push_back(refresh_object(outlook, refresh == refreshes.end() ? RefreshRecord{} : *refresh));
      list.back()["date"] = date;
      list.back()["past"] = dose.record.past;
    }
    list.back()["doses"].push_back(dose_object(outlook, dose));
  }
  return list;
}

json tested_object(const Outlook& outlook, const TestedMoment& moment) {
  return {{"date", iso_text(moment.date)},
          {"tier", outlook.scenario.name_of(moment.row)},
          {"moment", moment.at_draw ? "draw" : "just after the dose"},
          {"so2_free_mg_L", json_number(moment.free_mg_l)},
          {"so2_total_mg_L", json_number(moment.total_mg_l)},
          {"sulfate_g_L", json_number(moment.sulfate_g_l)},
          {"dose_mg_L", moment.at_draw ? json(nullptr) : json_number(moment.dose_mg_l)}};
}

/// A moment that there may not be is left out.
void put(json& object, const char* name, const Outlook& outlook, const std::optional<TestedMoment>& moment) {
  if (moment) object[name] = tested_object(outlook, *moment);
}

json limit_object(const Outlook& outlook, const SulfurVerdict& verdict) {
  const SulfurLimit& limit = verdict.limit;
  const auto room = [&](const std::optional<TestedMoment>& highest) {
    return highest ? json_number(limit.limit_mg_l() - sulfur_level_of(limit, *highest)) : json(nullptr);
  };
  const double dose = verdict.largest_dose_mg_l;
  json object = {{"id", limit.rule->id},
                 {"set", limit.rule->set},
                 {"name", limit.rule->about},
                 {"applies_to", limit.applies_to()},
                 {"limit_mg_L", limit.limit_mg_l()},
                 {"of", limit.of_free() ? "free" : "total"},
                 {"source", limit.rule->source.where},
                 {"text_of", limit.rule->source.text_of},
                 {"known", known_word(limit.rule->source.known)},
                 {"note", limit.rule->source.note},
                 {"headroom_just_after_mg_L", room(verdict.highest_after)},
                 {"headroom_at_draw_mg_L", room(verdict.highest_at_draw)},
                 {"passed_later", verdict.passed_later},
                 {"passed_without_dose", dose < 0.0},
                 {"largest_dose_mg_L", dose < 0.0 ? json(nullptr) : json_number(dose)}};
  put(object, "highest_just_after", outlook, verdict.highest_after);
  put(object, "highest_at_draw", outlook, verdict.highest_at_draw);
  put(object, "passed", outlook, verdict.passed);
  return object;
}

json long_run_object(const Outlook& outlook, const DoseSchedule& schedule) {
  const SulfurLongRun& long_run = schedule.long_run;
  json steady = json::array();
  for (const TestedMoment& moment : long_run.steady) steady.push_back(tested_object(outlook, moment));
  auto sulfate = sulfate_passed(outlook.scenario, schedule.moments);
  if (!sulfate && long_run.why_not.empty()) sulfate = sulfate_passed(outlook.scenario, long_run.moments);
  json object = {
      {"why_not", long_run.why_not},
      {"settled_year", long_run.steady.empty() ? json(nullptr) : json(long_run.settled_year)},
      {"steady", steady},
      {"closed_form_total_mg_L", json_number(long_run.closed_form_mg_l)},
      {"sulfate_limit_g_L", json_number(sulfate_limit_g_l(outlook.scenario, schedule.moments.back().alcohol_pct))}};
  put(object, "sulfate_passed", outlook, sulfate);
  return object;
}

}  // namespace

json dose_json(const Outlook& outlook) {
  const DoseSchedule schedule = dose_schedule(outlook);
  json object = report_head(outlook);
  object["cautions"] = sulfur_cautions();
  object["metabisulfite_yield"] = outlook.scenario.metabisulfite_yield;
  object["refreshes"] = refreshes_array(outlook, schedule);
  object["limits"] = json::array();
  for (const SulfurVerdict& verdict : schedule.limits) object["limits"].push_back(limit_object(outlook, verdict));
  if (outlook.run.stopped)
    object["stopped"] = {{"date", iso_text(outlook.run.stopped->date)},
                         {"tier", outlook.scenario.name_of(outlook.run.stopped->row)},
                         {"short_L", json_number(outlook.run.stopped->short_l)},
                         {"why", outlook.run.stopped->problem.what}};
  if (!schedule.doses.empty()) object["long_run"] = long_run_object(outlook, schedule);
  return object;
}

}  // namespace tierce
