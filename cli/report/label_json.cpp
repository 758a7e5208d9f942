#include <algorithm>
#include <cmath>

#include "cli/read/read_rules.h"
#include "cli/report/json_number.h"
#include "cli/report/json_report.h"
#include "cli/report/label_change.h"
#include "cli/report/label_classes.h"
#include "cli/report/label_dates.h"
#include "cli/report/label_evidence.h"
#include "cli/report/label_report.h"
#include "cli/report/label_wording.h"
#include "cli/report/label_words.h"
#include "engine/rules/strength.h"

namespace tierce {
namespace {

using nlohmann::json;

json text_or_null(const std::string& text) { return text.empty() ? json(nullptr) : json(text); }

json date_or_null(const std::optional<Date>& date) { return date ? json(iso_text(*date)) : json(nullptr); }

std::string plain(std::string text) {
  for (auto at = text.find("\xC2\xA0"); at != std::string::npos; at = text.find("\xC2\xA0")) text.replace(at, 2, " ");
  return text;
}

json readings_array(const Judgement& row) {
  json list = json::array();
  for (const LabelReading& reading : row.readings)
    list.push_back({{"low", json_number(reading.low)}, {"high", json_number(reading.high)}, {"how", reading.how}});
  return list;
}

/// What every verdict has, whatever it is about.
json verdict_object(const Judgement& row, const LabelFacts& facts) {
  const Rule* rule = row.rule;
  return {{"rule", rule != nullptr ? json(rule->id) : json(nullptr)},
          {"set", text_or_null(row.set)},
          {"quantity", text_or_null(row.quantity)},
          {"value", json_number(row.value)},
          {"readings", readings_array(row)},
          {"operator", is_known(row.limit) ? json(operator_word(row.op)) : json(nullptr)},
          {"limit", json_number(row.limit)},
          {"unit", row.unit},
          {"margin", json_number(row.margin)},
          {"error", json_number(row.error)},
          {"within_error", row.within_error},
          {"source", rule != nullptr ? json(rule->source.where) : json(nullptr)},
          {"text", rule != nullptr ? json(rule->source.text_of) : json(nullptr)},
          {"known", rule != nullptr ? json(known_word(rule->source.known)) : json(nullptr)},
          {"from", rule != nullptr ? date_or_null(rule->in_force.from) : json(nullptr)},
          {"until", rule != nullptr ? date_or_null(rule->in_force.until) : json(nullptr)},
          {"why", plain(why_text(row, facts))}};
}

json claims_array(const LabelView& view) {
  json list = json::array();
  for (const ClaimOnDraw& one : view.judged)
    for (const Judgement& row : one.rows) {
      const LabelledDraw& labelled = view.draws[one.draw];
      const Claim& claim = view.claims[one.claim];
      json object = verdict_object(row, labelled.facts);
      object["verdict"] = verdict_word(row.verdict);
      object["say"] = word_of(claim.say);
      object["claim"] = claim.written;
      object["subject"] = labelled.draw->name;
      object["date"] = iso_text(labelled.draw->date);
      object["past"] = labelled.draw->past;
      list.push_back(object);
    }
  return list;
}

const char* needed_word(Verdict verdict) {
  return verdict == Verdict::holds ? "yes" : verdict == Verdict::fails ? "no" : "open";
}

void add_rules(json& rules, json& statements, const std::vector<Judgement>& rows, const std::string& subject,
               const Date& date, const LabelFacts& facts) {
  for (const Judgement& row : rows) {
    json object = verdict_object(row, facts);
    object["subject"] = subject;
    object["date"] = iso_text(date);
    object["about"] = row.rule->about;
    if (row.rule->effect == Effect::limit) {
      object["verdict"] = verdict_word(row.verdict);
      rules.push_back(object);
    } else {
      object["needed"] = needed_word(row.verdict);
      object["statement"] = row.rule->statement;
      statements.push_back(object);
    }
  }
}

void list_classes(json& list, const LabelView& view, const LabelledDraw& labelled) {
  const DrawRecord& draw = *labelled.draw;
  for (const TaxClass* one : classes_of(view.book, view.sets, labelled.facts, draw.date))
    list.push_back(
        {{"subject", draw.name},
         {"date", iso_text(draw.date)},
         {"class", one->id},
         {"name", one->name},
         {"alcohol_pct", json_number(labelled.facts.wine.alcohol_pct)},
         {"rate", json_number(one->rate)},
         {"currency", text_or_null(one->currency)},
         {"per", text_or_null(is_known(one->rate) ? one->unit : "")},
         {"tax", json_number(tax_on(*one, draw.volume_l))},
         {"taxed_L", json_number(taxed_l(*one, draw.volume_l))},
         {"class_alcohol_pct", json_number(strength_on_scale(labelled.facts.wine.alcohol_pct, one->strength_at_c))},
         {"credit", is_known(one->rate) ? json_number(credit_on(view.book, *one, drawn_before_l(view, labelled),
                                                                draw.volume_l, draw.date))
                                        : json(nullptr)},
         {"source", one->source.where},
         {"text", one->source.text_of},
         {"known", known_word(one->source.known)}});
}

/// Rules that are in force on the day of a draw, or today, but not on both.
void list_changed(json& list, const LabelView& view, const LabelledDraw& labelled) {
  for (const ThenAndToday& one : changed_since(view, labelled))
    list.push_back({{"subject", labelled.draw->name},
                    {"date", iso_text(labelled.draw->date)},
                    {"today_is", iso_text(*view.today)},
                    {"claim", text_or_null(one.claim)},
                    {"by", one.by},
                    {"then", one.then},
                    {"today", one.today}});
}

json spans_array(const LabelView& view) {
  json list = json::array();
  for (const ClaimSpan& span : view.spans) {
    const bool held = span.held > 0;
    list.push_back({{"claim", view.claims[span.claim].written},
                    {"rule", text_or_null(span.by)},
                    {"holds_for", span.held},
                    {"of", span.of},
                    {"first", held ? json(view.draws[span.first].draw->name) : json(nullptr)},
                    {"last", held ? json(view.draws[span.last].draw->name) : json(nullptr)}});
  }
  return list;
}

json wording_array(const LabelView& view, const LabelledDraw& labelled) {
  json list = json::array();
  for (const Wording& one : wording_for(view, labelled))
    list.push_back({{"subject", labelled.draw->name},
                    {"place", one.place},
                    {"text", plain(one.text)},
                    {"verdict", verdict_word(one.verdict)},
                    {"refused", one.refused},
                    {"because", one.because}});
  return list;
}

json evidence_object(const LabelView& view, const LabelledDraw& labelled, const Source& source) {
  json parts = json::array(), lines = json::array();
  for (const WinePart& part : labelled.facts.parts)
    parts.push_back({{"lot", part.name},
                     {"harvested", part.lot != nullptr ? json(iso_text(part.lot->harvested)) : json(nullptr)},
                     {"litres", json_number(part.litres)},
                     {"fraction", json_number(part.litres / labelled.facts.litres)},
                     {"spirit_fraction", json_number(part.spirit_share)},
                     {"age_y", json_number(part.age_y)}});
  for (const auto& [line, text] : log_lines_behind(view, *labelled.draw, source))
    lines.push_back({{"line", line}, {"entry", text}});
  return {{"subject", labelled.draw->name},
          {"date", iso_text(labelled.draw->date)},
          {"volume_L", json_number(labelled.draw->volume_l)},
          {"parts", parts},
          {"log", lines}};
}

json sets_array(const LabelView& view) {
  json list = json::array();
  for (const std::string& name : view.sets)
    for (const RuleSet& set : view.book.sets)
      if (set.name == name) list.push_back({{"set", name}, {"title", set.title}, {"noted", set.noted}});
  return list;
}

}  // namespace

json label_json(const LabelView& view, const Source* source) {
  json object = report_head(*view.outlook);
  for (const char* list : {"rules", "statements", "classes", "today", "wording", "changes"})
    object[list] = json::array();
  object["claims"] = claims_array(view);
  object["spans"] = spans_array(view);
  object["sets"] = sets_array(view);
  object["cautions"] = label_cautions();
  for (const auto& [claim, change] : changes_wanted(view, Units::metric))
    object["changes"].push_back({{"claim", view.claims[claim].written}, {"change", plain(change)}});
  if (source != nullptr) object["evidence"] = json::array();
  for (const std::size_t shown : view.shown) {
    const LabelledDraw& labelled = view.draws[shown];
    add_rules(object["rules"], object["statements"], judge_draw(view.book, view.sets, labelled.facts),
              labelled.draw->name, labelled.draw->date, labelled.facts);
    list_changed(object["today"], view, labelled);
    for (const json& sentence : wording_array(view, labelled)) object["wording"].push_back(sentence);
    if (source != nullptr) object["evidence"].push_back(evidence_object(view, labelled, *source));
  }
  for (const LabelledDraw& labelled : view.draws) list_classes(object["classes"], view, labelled);
  const LabelFacts facts = view.shown.empty() ? LabelFacts{} : view.draws[view.shown.front()].facts;
  for (const LossYears& years : view.losses)
    for (const Judgement& row : judge_years(view.book, view.sets, years.periods, facts))
      add_rules(object["rules"], object["statements"], {row}, period_text(*row.year), row.year->last, facts);
  object["unknown_name"] = text_or_null(view.unknown_name);
  return object;
}

}  // namespace tierce
