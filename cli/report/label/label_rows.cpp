#include "cli/report/label/label_rows.h"

#include "cli/read/quantity_text.h"
#include "cli/read/read_rules.h"
#include "cli/report/head.h"
#include "cli/report/label/label_wording.h"
#include "cli/report/label/label_words.h"
#include "engine/rules/strength.h"

namespace tierce {
namespace {

Value or_null(const std::string& text) { return text.empty() ? Value() : Value(text); }

constexpr Field<LabelReading> kLabelReadingFields[] = {
    {"low", "", Figure::exact_number, "lower bound; null if there is none", of<&LabelReading::low>},
    {"high", "", Figure::exact_number, "upper bound; equal to `low` if it is known", of<&LabelReading::high>},
    {"how", "", Figure::text, "the way of reckoning; may be empty", of<&LabelReading::how>},
};
constexpr Shape<LabelReading> kLabelReading{"reading_of_a_label", "A figure, or the bounds between which it lies.",
                                            kLabelReadingFields};

template <auto Member>
Value of_row(const VerdictRow& v) {
  return Value(v.row.*Member);
}
template <auto Member>
Value of_source(const VerdictRow& v) {
  return v.row.rule != nullptr ? Value(v.row.rule->source.*Member) : Value();
}

constexpr Field<VerdictRow> kLabelVerdictFields[] = {
    {"rule", "rule", Figure::text, "id of the rule; null for the claim's own figure, and where a set has no rule",
     [](auto& v) -> Value { return v.row.rule != nullptr ? Value(v.row.rule->id) : Value(); }, kOrNull},
    {"set", "", Figure::text, "the rule set", [](auto& v) -> Value { return or_null(v.row.set); }, kOrNull},
    {"quantity", "on", Figure::text, "what is held against the limit",
     [](auto& v) -> Value { return or_null(v.row.quantity); }, kOrNull},
    {"value", "", Figure::exact_number, "the figure, in `unit`; null where it is not known exactly",
     of_row<&Judgement::value>},
    {"readings", "", Figure::list, "the ways to reckon it",
     [](auto& v) -> Value { return list_of(v.row.readings, kLabelReading); }, kAlways, nullptr, &kLabelReading},
    {"operator", "", Figure::text, "at least, above, at most, below, exactly, same side, multiple of",
     [](auto& v) -> Value { return is_known(v.row.limit) ? Value(operator_word(v.row.op)) : Value(); }, kOrNull},
    {"limit", "", Figure::exact_number, "the limit, in `unit`", of_row<&Judgement::limit>},
    {"unit", "", Figure::text, "of value, limit, margin and error; empty for a plain number; shares in %",
     of_row<&Judgement::unit>},
    {"margin", "", Figure::exact_number, "above zero within the limit, below zero beyond it",
     of_row<&Judgement::margin>},
    {"error", "", Figure::exact_number, "of a usual measurement, or as the claim states it", of_row<&Judgement::error>},
    {"within_error", "", Figure::flag, "the margin is no larger than the error", of_row<&Judgement::within_error>},
    {"source", "", Figure::text, "where the text stands", of_source<&Citation::where>, kOrNull},
    {"text", "", Figure::text, "date of the text that was seen", of_source<&Citation::text_of>, kOrNull},
    {"known", "", Figure::text, "read, second hand or memory",
     [](auto& v) -> Value { return v.row.rule != nullptr ? Value(known_word(v.row.rule->source.known)) : Value(); },
     kOrNull},
    {"from", "", Figure::date, "first day of the rule; null where the text seen has none",
     [](auto& v) -> Value { return v.row.rule != nullptr ? Value(v.row.rule->in_force.from) : Value(); }, kOrNull},
    {"until", "", Figure::date, "last day of the rule; null where the text seen has none",
     [](auto& v) -> Value { return v.row.rule != nullptr ? Value(v.row.rule->in_force.until) : Value(); }, kOrNull},
    {"why", "", Figure::text, "the reason, and what to know of the rule; may be empty",
     [](auto& v) -> Value { return with_plain_spaces(why_text(v.row, v.facts)); }},
};
constexpr Shape<VerdictRow> kLabelVerdict{"label_verdict", "What a figure comes to against a limit.",
                                          kLabelVerdictFields};

/// The number of the law, without the further places where it says the same.
Value law_of(const VerdictRow& v) {
  if (v.row.rule == nullptr) return "  " + by_text(v.row);
  const std::string delegated = "Deleg. ";  // the number tells it, and the line is short
  std::string where = v.row.rule->source.where;
  if (where.starts_with(delegated)) where.erase(0, delegated.size());
  return "  " + where.substr(0, where.find_first_of(",;"));
}
Value verdict_of(const VerdictRow& v) { return object_of(v, kLabelVerdict); }
Value word_of_verdict(const VerdictRow& v) { return verdict_word(v.row.verdict); }
Value about(const VerdictRow& v) { return v.row.rule->about; }
constexpr const char* kLabelVerdicts = "holds|fails|open";

constexpr Field<VerdictRow> kLabelClaimFields[] = {
    {"", "", Figure::object, "", verdict_of, kAlways, nullptr, &kLabelVerdict},
    {"say", "", Figure::text, "what is claimed", [](auto& v) -> Value { return word_of(v.claim->say); }},
    {"claim", "", Figure::text, "the claim in words", [](auto& v) -> Value { return v.claim->written; }},
    {"subject", "", Figure::text, "name of the draw", of<&VerdictRow::subject>},
    {"date", "", Figure::date, "day of the draw", of<&VerdictRow::date>},
    {"past", "", Figure::flag, "the draw is in the log", of<&VerdictRow::past>},
    {"verdict", "", Figure::word, "never better than open for a rule from memory", word_of_verdict, kAlways,
     kLabelVerdicts},
};
constexpr Shape<VerdictRow> kLabelClaim{"label_claim", "One claim on one draw by one rule.", kLabelClaimFields};

constexpr Field<VerdictRow> kLabelRuleFields[] = {
    {"", "", Figure::object, "", verdict_of, kAlways, nullptr, &kLabelVerdict},
    {"subject", "", Figure::text, "name of the draw, or the year", of<&VerdictRow::subject>},
    {"date", "", Figure::date, "day of the draw, or of the year's close", of<&VerdictRow::date>},
    {"about", "", Figure::text, "what the rule asks", about},
    {"verdict", "", Figure::word, "as for claims", word_of_verdict, kAlways, kLabelVerdicts},
};
constexpr Shape<VerdictRow> kLabelRule{"label_rule", "One rule that every draw, or year, is held against.",
                                       kLabelRuleFields};

constexpr Field<VerdictRow> kLabelStatementFields[] = {
    {"", "", Figure::object, "", verdict_of, kAlways, nullptr, &kLabelVerdict},
    {"subject", "", Figure::text, "name of the draw, or the year", of<&VerdictRow::subject>},
    {"date", "", Figure::date, "day of the draw, or of the year's close", of<&VerdictRow::date>},
    {"about", "", Figure::text, "what the rule asks", about},
    {"needed", "", Figure::word, "whether it is needed", [](auto& v) -> Value { return needed_word(v.row.verdict); },
     kAlways, "yes|no|open"},
    {"statement", "", Figure::text, "what is to be stated", [](auto& v) -> Value { return v.row.rule->statement; }},
};
constexpr Shape<VerdictRow> kLabelStatement{
    "label_statement", "Something that has to be stated or claimed where a figure stands so.", kLabelStatementFields};

constexpr Field<VerdictRow> kShownVerdictFields[] = {
    {"", "", Figure::object, "", verdict_of, kAlways, nullptr, &kLabelVerdict},
    {"subject", "", Figure::text, "", of<&VerdictRow::subject>},
    {"date", "", Figure::date, "", of<&VerdictRow::date>},
    {"claim", "", Figure::text, "", [](auto& v) -> Value { return v.claim->written; }},
    {"law", "", Figure::text, "", law_of},
    {"by", "claim, by", Figure::text, "", [](auto& v) -> Value { return "  " + by_text(v.row); }},
    {"verdict", "verdict", Figure::word, "", word_of_verdict},
    {"found", "found", Figure::text, "", [](auto& v) -> Value { return value_text(v.row); }},
    {"asks", "limit", Figure::text, "", [](auto& v) -> Value { return limit_text(v.row); }},
    {"margin_shown", "margin", Figure::text, "", [](auto& v) -> Value { return margin_text(v.row); }},
};

struct ClassRow {
  const LabelledDraw& labelled;
  DrawClass found;
};

constexpr Field<ClassRow> kLabelClassFields[] = {
    {"subject", "", Figure::text, "name of the draw", [](auto& c) -> Value { return c.labelled.draw->name; }},
    {"date", "", Figure::date, "day of the draw", [](auto& c) -> Value { return c.labelled.draw->date; }},
    {"class", "", Figure::text, "id of the class", [](auto& c) -> Value { return c.found.of->id; }},
    {"name", "", Figure::text, "the class in words", [](auto& c) -> Value { return c.found.of->name; }},
    {"alcohol_pct", "", Figure::exact_number, "strength of the draw, %vol",
     [](auto& c) -> Value { return c.labelled.facts.wine.alcohol_pct; }},
    {"class_alcohol_pct", "", Figure::exact_number, "strength on the scale of the class",
     [](auto& c) -> Value { return strength_on_scale(c.labelled.facts.wine.alcohol_pct, c.found.of->strength_at_c); }},
    {"rate", "", Figure::exact_number, "tax for each unit of volume",
     [](auto& c) -> Value { return c.found.of->rate; }},
    {"currency", "", Figure::text, "of rate, tax and credit",
     [](auto& c) -> Value { return or_null(c.found.of->currency); }, kOrNull},
    {"per", "", Figure::text, "the unit of volume",
     [](auto& c) -> Value { return or_null(is_known(c.found.of->rate) ? c.found.of->unit : ""); }, kOrNull},
    {"taxed_L", "", Figure::exact_number, "the volume that is taxed, as the law rounds it",
     [](auto& c) -> Value { return c.found.taxed_l; }},
    {"tax", "", Figure::exact_number, "on the whole draw", [](auto& c) -> Value { return c.found.tax; }},
    {"credit", "", Figure::exact_number, "up to this, if nothing else leaves the producer that year",
     [](auto& c) -> Value { return c.found.credit; }},
    {"source", "", Figure::text, "where the text stands", [](auto& c) -> Value { return c.found.of->source.where; }},
    {"text", "", Figure::text, "date of the text", [](auto& c) -> Value { return c.found.of->source.text_of; }},
    {"known", "", Figure::text, "read, second hand or memory",
     [](auto& c) -> Value { return known_word(c.found.of->source.known); }},
};
constexpr Shape<ClassRow> kLabelClass{"label_class", "A class by strength, and the tax on the draw.",
                                      kLabelClassFields};

struct SpanRow {
  const LabelView& view;
  const ClaimSpan& span;

  Value name_of(std::size_t draw) const { return span.held > 0 ? Value(view.draws[draw].draw->name) : Value(); }
};

constexpr Field<SpanRow> kLabelSpanFields[] = {
    {"claim", "", Figure::text, "the claim in words",
     [](auto& s) -> Value { return s.view.claims[s.span.claim].written; }},
    {"rule", "", Figure::text, "id of the rule; null for the claim's own figure",
     [](auto& s) -> Value { return or_null(s.span.by); }, kOrNull},
    {"holds_for", "", Figure::whole, "bottlings for which it holds", [](auto& s) -> Value { return s.span.held; }},
    {"of", "", Figure::whole, "bottlings that it covers", [](auto& s) -> Value { return s.span.of; }},
    {"first", "", Figure::text, "first bottling for which it holds",
     [](auto& s) -> Value { return s.name_of(s.span.first); }, kOrNull},
    {"last", "", Figure::text, "last one", [](auto& s) -> Value { return s.name_of(s.span.last); }, kOrNull},
};
constexpr Shape<SpanRow> kLabelSpan{"label_span", "For which bottlings a claim holds by one rule.", kLabelSpanFields};

using ChangeRow = std::pair<std::string, std::string>;
constexpr Field<ChangeRow> kLabelChangeFields[] = {
    {"claim", "", Figure::text, "the claim in words", of<&ChangeRow::first>},
    {"change", "", Figure::text, "one sentence", of<&ChangeRow::second>},
};
constexpr Shape<ChangeRow> kLabelChange{"label_change", "What would have to change for a claim to hold.",
                                        kLabelChangeFields};

const char* day_word(OnDay how) {
  constexpr const char* kWords[] = {"not in force", "holds", "fails", "open", "needed", "not needed", "in this class"};
  return kWords[static_cast<int>(how)];
}

constexpr Field<TodayRow> kLabelTodayFields[] = {
    {"subject", "", Figure::text, "name of the draw", [](auto& t) -> Value { return t.labelled.draw->name; }},
    {"date", "", Figure::date, "day of the draw", [](auto& t) -> Value { return t.labelled.draw->date; }},
    {"today_is", "", Figure::date, "what counts as today", [](auto& t) -> Value { return *t.view.today; }},
    {"by", "rule", Figure::text, "id of the rule or class", [](auto& t) -> Value { return t.one.by; }},
    {"claim", "claim", Figure::text, "the claim in words; null for what every draw is held against",
     [](auto& t) -> Value { return or_null(t.one.claim); }, kOrNull},
    {"then", "", Figure::text,
     "on the day of the draw: holds, fails, open, needed, not needed, in this class, not in force",
     [](auto& t) -> Value { return day_word(t.one.then); }},
    {"today", "today", Figure::text, "the same today", [](auto& t) -> Value { return day_word(t.one.today); }},
};

struct WordingRow {
  const LabelledDraw& labelled;
  Wording wording;
};

constexpr Field<WordingRow> kLabelWordingFields[] = {
    {"subject", "", Figure::text, "name of the draw", [](auto& w) -> Value { return w.labelled.draw->name; }},
    {"place", "", Figure::word, "where it would stand", [](auto& w) -> Value { return w.wording.place; }, kAlways,
     "front|back|sheet"},
    {"text", "", Figure::text, "the sentence", [](auto& w) -> Value { return with_plain_spaces(w.wording.text); }},
    {"verdict", "", Figure::word, "the worst over the rule sets",
     [](auto& w) -> Value { return verdict_word(w.wording.verdict); }, kAlways, kLabelVerdicts},
    {"refused", "", Figure::flag, "not to be said", [](auto& w) -> Value { return w.wording.refused; }},
    {"because", "", Figure::texts, "the rules that fail or are open, or the reason",
     [](auto& w) -> Value { return w.wording.because; }},
};
constexpr Shape<WordingRow> kLabelWording{
    "label_wording", "A sentence that the figures bear out, or one that is refused.", kLabelWordingFields};

constexpr Field<RuleSet> kLabelSetFields[] = {
    {"set", "", Figure::text, "its name", of<&RuleSet::name>},
    {"title", "", Figure::text, "whose rules they are", of<&RuleSet::title>},
    {"noted", "", Figure::date, "the day on which they were noted down", of<&RuleSet::noted>},
};
constexpr Shape<RuleSet> kLabelSet{"label_set", "A rule set that was used.", kLabelSetFields};

/// The rules of one kind that the draws shown, and every year, are held against.
std::vector<VerdictRow> rows_on_rules(const LabelView& view, Effect effect) {
  std::vector<VerdictRow> rows;
  for (const std::size_t shown : view.shown) {
    const LabelledDraw& labelled = view.draws[shown];
    for (const Judgement& row : judge_draw(view.book, view.sets, labelled.facts))
      if (row.rule->effect == effect) rows.push_back({row, labelled.facts, labelled.draw->name, labelled.draw->date});
  }
  static const LabelFacts kNone;
  const LabelFacts& facts = view.shown.empty() ? kNone : view.draws[view.shown.front()].facts;
  for (const LossYears& years : view.losses)
    for (const Judgement& row : judge_years(view.book, view.sets, years.periods, facts))
      if (row.rule->effect == effect) rows.push_back({row, facts, period_text(*row.year), row.year->last});
  return rows;
}

/// Of each draw shown, what `rows_of` finds, as one list.
template <class Row, class RowsOf>
Value of_all_shown(const LabelView& view, const Shape<Row>& shape, const RowsOf& rows_of) {
  Value::List list;
  for (const std::size_t shown : view.shown)
    for (const Row& row : rows_of(view.draws[shown])) list.push_back(object_of(row, shape));
  return list;
}

Value sets_of_view(const LabelOutput& of) {
  Value::List list;
  for (const std::string& name : of.view.sets)
    for (const RuleSet& set : of.view.book.sets)
      if (set.name == name) list.push_back(object_of(set, kLabelSet));
  return list;
}

Value spans(const LabelOutput& of) {
  Value::List list;
  for (const ClaimSpan& span : of.view.spans) list.push_back(object_of(SpanRow{of.view, span}, kLabelSpan));
  return list;
}

Value changes(const LabelOutput& of) {
  std::vector<ChangeRow> rows;
  for (const LabelChange& one : label_changes(of.view))
    rows.emplace_back(of.view.claims[one.claim].written, with_plain_spaces(change_text(of.view, one, Units::metric)));
  return list_of(rows, kLabelChange);
}

Value classes(const LabelOutput& of) {
  Value::List list;
  for (const LabelledDraw& labelled : of.view.draws)
    for (const DrawClass& one : classes_of_draw(of.view, labelled))
      list.push_back(object_of(ClassRow{labelled, one}, kLabelClass));
  return list;
}

Value todays(const LabelOutput& of) {
  return of_all_shown(of.view, kLabelToday, [&](const LabelledDraw& one) { return rows_of_today(of.view, one); });
}

Value wordings(const LabelOutput& of) {
  return of_all_shown(of.view, kLabelWording, [&](const LabelledDraw& labelled) {
    std::vector<WordingRow> rows;
    for (const Wording& one : wording_for(of.view, labelled)) rows.push_back({labelled, one});
    return rows;
  });
}

Value evidence(const LabelOutput& of) {
  if (of.source == nullptr) return Value::Absent{};
  return of_all_shown(of.view, kLabelEvidence, [&](const LabelledDraw& labelled) {
    return std::vector<EvidenceRow>{{of.view, labelled, *of.source}};
  });
}

constexpr Field<LabelOutput> kLabelOutputFields[] = {
    {"", "", Figure::object, "", [](auto& of) -> Value { return object_of(*of.view.outlook, kHead); }, kAlways, nullptr,
     &kHead},
    {"claims", "", Figure::list, "every claim on every draw that it covers, by each rule",
     [](auto& of) -> Value { return list_of(rows_on_claims(of.view), kLabelClaim); }, kAlways, nullptr, &kLabelClaim},
    {"spans", "", Figure::list, "since when and until when", spans, kAlways, nullptr, &kLabelSpan},
    {"changes", "", Figure::list, "for claims that fail", changes, kAlways, nullptr, &kLabelChange},
    {"rules", "", Figure::list, "rules that the draw shown, and every year, is held against",
     [](auto& of) -> Value { return list_of(rows_on_rules(of.view, Effect::limit), kLabelRule); }, kAlways, nullptr,
     &kLabelRule},
    {"statements", "", Figure::list, "what has to be stated",
     [](auto& of) -> Value { return list_of(rows_on_rules(of.view, Effect::statement), kLabelStatement); }, kAlways,
     nullptr, &kLabelStatement},
    {"classes", "", Figure::list, "classes and taxes of every bottling", classes, kAlways, nullptr, &kLabelClass},
    {"today", "", Figure::list, "rules in force on the draw's day or today, not on both", todays, kAlways, nullptr,
     &kLabelToday},
    {"wording", "", Figure::list, "sentences for the draw shown", wordings, kAlways, nullptr, &kLabelWording},
    {"sets", "", Figure::list, "the rule sets", sets_of_view, kAlways, nullptr, &kLabelSet},
    {"cautions", "", Figure::texts, "what to take care of", [](auto&) -> Value { return label_cautions(); }},
    {"evidence", "", Figure::list, "only with --evidence", evidence, kOrAbsent, nullptr, &kLabelEvidence},
    {"unknown_name", "", Figure::text, "the designation, if no rule file knows it: rules on names are then open",
     [](auto& of) -> Value { return or_null(of.view.unknown_name); }, kOrNull},
};

}  // namespace

const Shape<VerdictRow> kShownVerdict{"", "", kShownVerdictFields};
const Shape<TodayRow> kLabelToday{"label_today",
                                  "A rule or class that is in force on the day of a draw or today, but not on both.",
                                  kLabelTodayFields};
const Shape<LabelOutput> kLabelOutput{"label", "What may be said on the label.", kLabelOutputFields};

std::vector<VerdictRow> rows_on_claims(const LabelView& view) {
  std::vector<VerdictRow> rows;
  for (const ClaimOnDraw& one : view.judged)
    for (const Judgement& row : one.rows) {
      const auto& [draw, facts] = view.draws[one.draw];
      rows.push_back({row, facts, draw->name, draw->date, draw->past, &view.claims[one.claim]});
    }
  return rows;
}

std::vector<TodayRow> rows_of_today(const LabelView& view, const LabelledDraw& labelled) {
  std::vector<TodayRow> rows;
  for (const ThenAndToday& one : changed_since(view, labelled)) rows.push_back({view, labelled, one});
  return rows;
}

}  // namespace tierce
