#include "cli/report/label/label.h"

#include <algorithm>

#include "cli/read/suggest.h"
#include "cli/report/foot.h"
#include "cli/report/label/label_answer.h"
#include "cli/report/label/label_rows.h"
#include "cli/report/label/label_wording.h"
#include "cli/report/label/label_words.h"
#include "cli/report/report.h"
#include "cli/write/write.h"
#include "engine/rules/strength.h"

namespace tierce {
namespace {

std::string set_text(const LabelView& view) {
  std::string text;
  for (const std::string& name : view.sets)
    for (const RuleSet& set : view.book.sets)
      if (set.name == name)
        text += (text.empty() ? "" : "; ") + name + " (" + set.title + (set.added ? ", your own file" : "") +
                ", noted " + set.noted + ")";
  return text;
}

/// That some rules have strengths on another scale than the book, and what the wine's is there.
std::string scale_text(const LabelView& view, const LabelFacts& facts) {
  const double pct = facts.wine.alcohol_pct;
  for (const Rule& rule : view.book.rules) {
    if (rule.strength_at_c == kStrengthC || !is_known(pct)) continue;
    if (std::find(view.sets.begin(), view.sets.end(), rule.set) == view.sets.end()) continue;
    return " Strengths of " + rule.set + " rules are at 60 °F, the scale of that law: " + decimal_text(pct, 2, false) +
           " %vol at 20 °C is " + decimal_text(strength_on_scale(pct, rule.strength_at_c), 2, false) + " there.";
  }
  return "";
}

void opening_lines(Document& document, const LabelView& view, const LabelledDraw& labelled, Units units) {
  const DrawRecord& draw = *labelled.draw;
  const Scenario& scenario = view.outlook->scenario;
  const std::string about = scenario.reserve + ": what may be said of " + draw.name + ", " +
                            figure_text(draw.volume_l, Figure::litres, units) + " drawn from " +
                            scenario.name_of(draw.row) + " on " + day_text(draw.date) +
                            (draw.past ? "" : " (forecast, not done)");
  document.head(about);
  document.note("Rule sets: " + set_text(view) + (view.sets_by_default ? ", by default" : "") + ". Taken as " +
                labelled.facts.words.at("product") +
                (labelled.facts.product_stated ? ", as stated" : ", by its strength and spirit") + "." +
                scale_text(view, labelled.facts));
}

/// The reasons of what does not fail.
void claim_part(Document& document, const LabelView& view, std::size_t shown) {
  for (const ClaimOnDraw* one : claims_beside(view, shown))
    for (const Judgement* row : gathered(one->rows)) {
      const LabelFacts& facts = view.draws[one->draw].facts;
      if (row->verdict != Verdict::fails && needs_why(*row, facts))
        document.say('"' + view.claims[one->claim].written + "\" " + why_in_full(*row, facts));
    }
}

void span_part(Document& document, const LabelView& view) {
  if (view.spans.empty()) return;
  document.head("Since when, until when (every bottling of the book and the forecast that a claim covers)");
  Table table{{{"claim, by"}, {"holds for", Figure::whole}, {"of", Figure::whole}, {"first"}, {"last"}}, {}};
  std::size_t before = view.claims.size();
  for (const ClaimSpan& span : view.spans) {
    const bool held = span.held > 0;
    if (span.claim != before) table.rows.push_back({view.claims[span.claim].written});
    before = span.claim;
    table.rows.push_back({"  " + (span.by.empty() ? std::string("the figure") : span.by),
                          static_cast<double>(span.held), static_cast<double>(span.of),
                          held ? view.draws[span.first].draw->name : "-",
                          held ? view.draws[span.last].draw->name : "-"});
  }
  document.add(table);
}

void rule_part(Document& document, const LabelView& view, const LabelledDraw& labelled) {
  std::vector<VerdictRow> limits;
  std::vector<Judgement> statements;
  for (Judgement& row : judge_draw(view.book, view.sets, labelled.facts))
    if (open_by_name(row)) continue;
    else if (row.rule->effect == Effect::statement) statements.push_back(std::move(row));
    else limits.push_back({std::move(row), labelled.facts, labelled.draw->name, labelled.draw->date});
  if (!limits.empty()) {
    document.head("Every draw is held against");
    document.add(table_of(limits, kShownVerdict, {"rule", "quantity", "verdict", "found", "asks", "margin_shown"}));
  }
  for (const VerdictRow& one : limits)
    if (one.row.verdict != Verdict::holds || one.row.within_error)
      document.say(one.row.quantity + ' ' + why_in_full(one.row, labelled.facts));
  if (!statements.empty()) document.head("Statements that the label needs");
  for (const Judgement& row : statements)
    document.term(row.rule->id,
                  std::string(needed_word(row.verdict)) + ": " + row.rule->statement + "; " + row.quantity + ' ' +
                      value_text(row) + ", needed " + limit_text(row) + ". " + source_text(*row.rule) + ".",
                  14);
}

std::string money_of(double amount, const TaxClass& of) { return decimal_text(amount, 2, false) + ' ' + of.currency; }

std::string tax_text(const DrawClass& found) {
  const TaxClass& of = *found.of;
  if (!is_known(of.rate)) return "";
  std::string text = ", " + decimal_text(of.rate, 3, false) + ' ' + of.currency + '/' + of.unit + ": " +
                     decimal_text(found.taxed_l / of.unit_l, 1, false) + ' ' + of.unit + " come to " +
                     money_of(found.tax, of);
  if (!is_known(found.credit)) text += "; what credit there was that year was not read";
  if (found.credit > 0.0)
    text += ", less a credit of up to " + decimal_text(found.credit, 2, false) +
            " if this reserve's bottlings are all that the producer takes out that year";
  return text;
}

/// The classes of one draw, with the tax on it and the credit against that tax.
void class_part(Document& document, const LabelView& view, const LabelledDraw& labelled) {
  constexpr std::size_t kIds = 17;  // characters for the ids of classes
  const auto classes = classes_of_draw(view, labelled);
  if (classes.empty()) return;
  const double pct = labelled.facts.wine.alcohol_pct;
  std::string scales;
  for (const DrawClass& one : classes)
    if (one.of->strength_at_c != kStrengthC && scales.empty())
      scales = ", which is " + decimal_text(strength_on_scale(pct, one.of->strength_at_c), 2, false) + " at 60 °F";
  document.head("Class and tax, at " + decimal_text(pct, 2, false) + " %vol" + scales + " (" +
                (labelled.facts.strength_measured ? "measured" : "computed") + ")");
  for (const DrawClass& one : classes)
    document.term(one.of->id,
                  one.of->name + tax_text(one) + ". " + citation_text(one.of->source, one.of->in_force) +
                      (one.of->source.note.empty() ? "" : "; " + one.of->source.note) + ".",
                  kIds);
}

/// From which bottling to which each class lasts; nothing for a single bottling.
void class_span_part(Document& document, const LabelView& view) {
  const auto spans = class_spans(view);
  if (view.draws.size() < 2 || spans.empty()) return;
  document.head("Class and tax of every bottling, before any credit");
  Table table{{{"class"}, {"from"}, {"to"}, {"bottlings", Figure::whole}, {"volume", Figure::litres}, {"tax"}}, {}};
  for (const ClassSpan& span : spans)
    table.rows.push_back({span.of->id, view.draws[span.first].draw->name, view.draws[span.last].draw->name,
                          static_cast<double>(span.bottlings), span.litres,
                          is_known(span.of->rate) ? money_of(span.tax, *span.of) : ""});
  document.add(table);
}

/// The rules of the tables above that nothing more was said of: what each asks, and where it stands.
void source_part(Document& document, const LabelView& view, std::size_t shown) {
  std::vector<const Rule*> told, others;
  const auto take = [&](const Judgement& row, bool explained) {
    if (row.rule == nullptr) return;
    auto& list = explained ? told : others;
    if (std::find(list.begin(), list.end(), row.rule) == list.end()) list.push_back(row.rule);
  };
  for (const ClaimOnDraw* one : claims_beside(view, shown))
    for (const Judgement* row : gathered(one->rows)) take(*row, needs_why(*row, view.draws[one->draw].facts));
  for (const Judgement& row : judge_draw(view.book, view.sets, view.draws[shown].facts))
    if (!open_by_name(row))
      take(row, row.rule->effect != Effect::limit || row.verdict != Verdict::holds || row.within_error);
  std::erase_if(others, [&](const Rule* rule) { return std::find(told.begin(), told.end(), rule) != told.end(); });
  if (!others.empty()) document.head("What the other rules above ask, and where they stand");
  for (const Rule* rule : others) document.term(rule->id, rule->about + ". " + source_text(*rule) + ".", 17);
}

/// A draw is judged by the rules of its day, a label printed today by those of today.
void today_part(Document& document, const LabelView& view, const LabelledDraw& labelled) {
  const auto rows = rows_of_today(view, labelled);
  if (rows.empty()) return;
  document.head("The draw is judged by the rules of its day. By those of today, " + day_text(*view.today) +
                ", a label printed now meets others");
  const std::string then = "on " + iso_text(labelled.draw->date);
  document.add(with_dashes(table_of(rows, kLabelToday, {"by", "claim", {"then", then.c_str()}, "today"})));
}

/// Losses of the two years of the draw that is shown: that in which it falls and the one before.
void loss_part(Document& document, const LabelView& view, const LabelledDraw& labelled) {
  Table table{{{"losses of"}, {"rule"}, {"found"}, {"limit"}, {"verdict"}}, {}};
  std::string about, why;
  const auto once = [](std::string& text, const std::string& line) {
    if (text.find(line) == std::string::npos) text += (text.empty() ? "" : " ") + line;
  };
  for (const LossYears& years : view.losses) {
    if (years.year != labelled.draw->date.year && years.year != labelled.draw->date.year - 1) continue;
    for (const Judgement& row : judge_years(view.book, view.sets, years.periods, labelled.facts)) {
      if (is_idle(row)) continue;
      table.rows.push_back({loss_row_name(*row.year), row.rule->id, value_text(row), limit_text(row), claim_word(row)});
      once(about, row.rule->id + ": " + row.rule->about + ", " + source_text(*row.rule) + ".");
      if (row.verdict == Verdict::open) once(why, "Open: " + why_text(row, labelled.facts) + ".");
    }
  }
  if (table.rows.empty()) return;
  document.head("Loss allowances");
  document.add(table);
  document.note(why);
  if (why.find("received in bond") != std::string::npos)
    document.note("State `came: made here`, `in bond` or `tax paid` of the lots to settle it.");
  document.note(about);
}

void wording_part(Document& document, const LabelView& view, const LabelledDraw& labelled) {
  const auto sentences = wording_for(view, labelled);
  document.head("Wording that the figures bear out; whether it may stand, the rules beside it say");
  for (const Wording& one : sentences)
    if (!one.refused)
      document.term(one.place,
                    one.text + (one.text.ends_with('.') ? "" : ".") +
                        (one.because.empty() ? " Holds." : " [" + listed(one.because) + "]"),
                    7);
  if (std::any_of(sentences.begin(), sentences.end(), [](const Wording& one) { return one.refused; }))
    document.head("Not to be said");
  for (const Wording& one : sentences)
    if (one.refused) document.term(one.place, one.text + " [" + listed(one.because) + "]", 7);
}

/// All that is known of a bottling beside the answer.
void detail_part(Document& document, const LabelView& view, std::size_t shown, Units units) {
  const LabelledDraw& labelled = view.draws[shown];
  opening_lines(document, view, labelled, units);
  claim_part(document, view, shown);
  if (shown == view.shown.front()) span_part(document, view);
  rule_part(document, view, labelled);
  class_part(document, view, labelled);
  if (shown == view.shown.front()) class_span_part(document, view);
  today_part(document, view, labelled);
  loss_part(document, view, labelled);
  wording_part(document, view, labelled);
  source_part(document, view, shown);
}

}  // namespace

Document label_report(const LabelView& view, const Source* source, Units units) {
  Document document, detail;
  if (view.shown.size() > 1)
    document.title = std::to_string(view.shown.size()) + " bottlings go by this name or day; each is told below.";
  for (const std::size_t shown : view.shown) {
    const LabelledDraw& labelled = view.draws[shown];
    if (document.title.empty()) document.title = answer_text(view, shown, units) + ".";
    else document.head(answer_text(view, shown, units));
    if (!view.unknown_name.empty())
      document.say("No rule file knows the designation '" + view.unknown_name +
                   "': every rule on a name is open, since it may be another way of writing one of theirs.");
    if (view.judged.empty()) document.say("State claims in the file, or with --claim; see docs/label.md.");
    answer_part(document, view, shown);
    limit_part(document, view, shown);
    if (shown == view.shown.front()) change_part(document, view, units);
    detail_part(detail, view, shown, units);
    if (source != nullptr) say_evidence(document, view, labelled, *source, units);
  }
  document.more = std::move(detail.blocks);
  document.head("Before you print");
  for (const std::string& caution : label_cautions()) document.say(caution);
  document.note("Every rule, class, tax, wording and source: --all.");
  close_report(document, *view.outlook, units, kAllFigures, view.draws[view.shown.back()].draw->date);
  document.csv = table_of(rows_on_claims(view), kShownVerdict,
                          {"subject", "date", "claim", "rule", "set", "verdict", "found", "unit", "asks", "margin",
                           "known", "text", "source", "why"});
  return document;
}

}  // namespace tierce
