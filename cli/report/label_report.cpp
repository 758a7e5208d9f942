#include "cli/report/label_report.h"

#include <algorithm>
#include <cctype>

#include "cli/read/suggest.h"
#include "cli/report/label_change.h"
#include "cli/report/label_classes.h"
#include "cli/report/label_dates.h"
#include "cli/report/label_evidence.h"
#include "cli/report/label_wording.h"
#include "cli/report/label_words.h"
#include "cli/report/report.h"
#include "cli/write/write.h"
#include "engine/rules/strength.h"

namespace tierce {
namespace {

void paragraph(Report& report, const std::string& text, std::size_t indent = 0) {
  report.parts.push_back(Paragraph{text, indent});
}

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

void opening_lines(Report& report, const LabelView& view, const LabelledDraw& labelled, Units units) {
  const DrawRecord& draw = *labelled.draw;
  const Scenario& scenario = view.outlook->scenario;
  paragraph(report, scenario.reserve + ": what may be said of " + draw.name + ", " +
                        figure_text(draw.volume_l, Figure::litres, units) + " drawn from " +
                        scenario.name_of(draw.row) + " on " + day_text(draw.date) +
                        (draw.past ? "" : " (forecast, not done)"));
  if (!view.unknown_name.empty())
    paragraph(report, "No rule file knows the designation '" + view.unknown_name +
                          "': every rule on a name is open, since it may be another way of writing one of theirs.");
  paragraph(report, "Rule sets: " + set_text(view) + (view.sets_by_default ? ", by default" : "") + ". Taken as " +
                        labelled.facts.words.at("product") +
                        (labelled.facts.product_stated ? ", as stated" : ", by its strength and spirit") + "." +
                        scale_text(view, labelled.facts));
}

/// A rule that is open only because nobody knows the name on the label: one sentence says it of all of them.
bool open_by_name(const Judgement& row) {
  return row.verdict == Verdict::open && row.because == Because::condition_unknown && row.of == "designation";
}

/// Rules of one family that all hold are one row: that of the least margin.
std::vector<const Judgement*> gathered(const std::vector<Judgement>& rows) {
  std::vector<const Judgement*> kept;
  for (const Judgement& row : rows) {
    if (open_by_name(row)) continue;
    const bool plain = row.rule != nullptr && row.verdict == Verdict::holds && !row.rule->family.empty();
    const auto kin = std::find_if(kept.begin(), kept.end(), [&](const Judgement* other) {
      return plain && other->rule != nullptr && other->verdict == Verdict::holds &&
             other->rule->family == row.rule->family;
    });
    if (kin == kept.end()) kept.push_back(&row);
    else if (row.margin < (*kin)->margin) *kin = &row;
  }
  return kept;
}

/// The claims shown with a draw: those that cover it, and of the others the first draw that they cover.
std::vector<const ClaimOnDraw*> claims_beside(const LabelView& view, std::size_t shown) {
  std::vector<const ClaimOnDraw*> result;
  for (std::size_t c = 0; c < view.claims.size(); ++c) {
    const ClaimOnDraw* best = nullptr;
    for (const ClaimOnDraw& one : view.judged) {
      if (one.claim != c) continue;
      if (one.draw == shown) best = &one;
      else if (best == nullptr && one.draw > shown) best = &one;
    }
    if (best != nullptr) result.push_back(best);
  }
  return result;
}

/// "fails under US-VIN-AVA (one harvest year ...). Both readings say so ... 27 CFR 4.27(a)(1) (text: ...)."
std::string why_in_full(const Judgement& row, const LabelFacts& facts) {
  std::string text = row.verdict == Verdict::open ? "is open" : verdict_word(row.verdict);
  text += (row.rule != nullptr ? " under " : " by ") + by_text(row);
  if (row.rule != nullptr) text += " (" + row.rule->about + ")";
  if (std::string why = why_text(row, facts); !why.empty()) {
    why.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(why.front())));
    text += ". " + why;
  }
  return text + (row.rule != nullptr ? ". " + source_text(*row.rule) : "") + ".";
}

void claim_part(Report& report, const LabelView& view, std::size_t shown) {
  const auto claims = claims_beside(view, shown);
  if (claims.empty()) {
    add_heading(report, "No claim is made of it. State claims in the file, or with --claim; see docs/label.md.");
    return;
  }
  add_heading(report, "Claims");
  Table table{{{"claim, by"}, {"verdict"}, {"found"}, {"limit"}, {"margin"}}, {}};
  for (const ClaimOnDraw* one : claims) {
    const bool other = one->draw != shown;
    table.rows.push_back(
        {view.claims[one->claim].written + (other ? " (" + view.draws[one->draw].draw->name + ")" : "")});
    for (const Judgement* row : gathered(one->rows))
      table.rows.push_back(
          {"  " + by_text(*row), verdict_word(row->verdict), value_text(*row), limit_text(*row), margin_text(*row)});
  }
  report.parts.push_back(table);
  bool first = true;
  for (const ClaimOnDraw* one : claims)
    for (const Judgement* row : gathered(one->rows)) {
      const LabelFacts& facts = view.draws[one->draw].facts;
      if (!needs_why(*row, facts)) continue;
      if (first) paragraph(report, "");
      first = false;
      paragraph(report, '"' + view.claims[one->claim].written + "\" " + why_in_full(*row, facts));
    }
}

void span_part(Report& report, const LabelView& view, Units units) {
  if (view.spans.empty()) return;
  add_heading(report, "Since when, until when (every bottling of the book and the forecast that a claim covers)");
  Table table{{{"claim, by"}, {"holds for", Figure::whole}, {"of", Figure::whole}, {"first"}, {"last"}}, {}};
  std::size_t before = view.claims.size();
  for (const ClaimSpan& span : view.spans) {
    const bool held = span.held > 0;
    if (span.claim != before) table.rows.push_back({view.claims[span.claim].written});
    before = span.claim;
    table.rows.push_back({"  " + (span.by.empty() ? std::string("the figure") : span.by),
                          static_cast<double>(span.held), static_cast<double>(span.of),
                          held ? view.draws[span.first].draw->name : std::string("-"),
                          held ? view.draws[span.last].draw->name : std::string("-")});
  }
  report.parts.push_back(table);
  const auto changes = changes_wanted(view, units);
  if (changes.empty()) return;
  add_heading(report, "What would have to change");
  for (const auto& [claim, change] : changes) paragraph(report, view.claims[claim].written + ": " + change + ".");
}

void rule_part(Report& report, const LabelView& view, const LabelledDraw& labelled) {
  auto rows = judge_draw(view.book, view.sets, labelled.facts);
  std::erase_if(rows, open_by_name);
  Table table{{{"rule"}, {"on"}, {"verdict"}, {"found"}, {"limit"}, {"margin"}}, {}};
  for (const Judgement& row : rows)
    if (row.rule->effect == Effect::limit)
      table.rows.push_back(
          {row.rule->id, row.quantity, verdict_word(row.verdict), value_text(row), limit_text(row), margin_text(row)});
  if (!table.rows.empty()) {
    add_heading(report, "Every draw is held against");
    report.parts.push_back(table);
  }
  bool first = true;
  for (const Judgement& row : rows) {
    if (row.rule->effect != Effect::limit || (row.verdict == Verdict::holds && !row.within_error)) continue;
    if (first) paragraph(report, "");
    first = false;
    paragraph(report, row.quantity + ' ' + why_in_full(row, labelled.facts));
  }
  first = true;
  for (const Judgement& row : rows) {
    if (row.rule->effect != Effect::statement) continue;
    if (first) add_heading(report, "Statements that the label needs");
    first = false;
    const char* needed = row.verdict == Verdict::holds ? "yes" : row.verdict == Verdict::fails ? "no" : "open";
    add_hanging(report, row.rule->id,
                std::string(needed) + ": " + row.rule->statement + "; " + row.quantity + ' ' + value_text(row) +
                    ", needed " + limit_text(row) + ". " + source_text(*row.rule) + ".",
                14);
  }
}

/// The rules of the tables above that nothing more was said of: what each asks, and where it stands.
void source_part(Report& report, const LabelView& view, std::size_t shown) {
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
  bool first = true;
  for (const Rule* rule : others) {
    if (std::find(told.begin(), told.end(), rule) != told.end()) continue;
    if (first) add_heading(report, "What the other rules above ask, and where they stand");
    first = false;
    add_hanging(report, rule->id, rule->about + ". " + source_text(*rule) + ".", 17);
  }
}

/// A draw is judged by the rules of its day, a label printed today by those of today.
void today_part(Report& report, const LabelView& view, const LabelledDraw& labelled) {
  const auto changes = changed_since(view, labelled);
  if (changes.empty()) return;
  add_heading(report, "The draw is judged by the rules of its day. By those of today, " + day_text(*view.today) +
                          ", a label printed now meets others");
  Table table{{{"rule"}, {"claim"}, {"on " + iso_text(labelled.draw->date)}, {"today"}}, {}};
  for (const ThenAndToday& one : changes)
    table.rows.push_back({one.by, one.claim.empty() ? std::string("-") : one.claim, one.then, one.today});
  report.parts.push_back(table);
}

/// The two years of the draw that is shown: that in which it falls and the one before.
std::vector<const LossYears*> years_beside(const LabelView& view, const LabelledDraw& labelled) {
  std::vector<const LossYears*> found;
  for (const LossYears& years : view.losses)
    if (years.year == labelled.draw->date.year || years.year == labelled.draw->date.year - 1) found.push_back(&years);
  return found;
}

void loss_part(Report& report, const LabelView& view, const LabelledDraw& labelled) {
  Table table{{{"losses of"}, {"rule"}, {"found"}, {"limit"}, {"verdict"}}, {}};
  std::string about, why;
  const auto once = [](std::string& text, const std::string& line) {
    if (text.find(line) == std::string::npos) text += (text.empty() ? "" : " ") + line;
  };
  for (const LossYears* years : years_beside(view, labelled))
    for (const Judgement& row : judge_years(view.book, view.sets, years->periods, labelled.facts)) {
      if (is_idle(row)) continue;
      table.rows.push_back({loss_row_name(*row.year), row.rule->id, value_text(row), limit_text(row), claim_word(row)});
      once(about, row.rule->id + ": " + row.rule->about + ", " + source_text(*row.rule) + ".");
      if (row.verdict == Verdict::open) once(why, "Open: " + why_text(row, labelled.facts) + ".");
    }
  if (table.rows.empty()) return;
  add_heading(report, "Loss allowances");
  report.parts.push_back(table);
  if (!why.empty()) paragraph(report, why);
  if (why.find("received in bond") != std::string::npos)
    paragraph(report, "State `came: made here`, `in bond` or `tax paid` of the lots to settle it.");
  paragraph(report, about);
}

void wording_part(Report& report, const LabelView& view, const LabelledDraw& labelled) {
  const auto sentences = wording_for(view, labelled);
  add_heading(report, "Wording that the figures bear out; whether it may stand, the rules beside it say");
  for (const Wording& one : sentences) {
    if (one.refused) continue;
    add_hanging(report, one.place,
                one.text + (one.text.ends_with('.') ? "" : ".") +
                    (one.because.empty() ? " Holds." : " [" + listed(one.because) + "]"),
                7);
  }
  bool first = true;
  for (const Wording& one : sentences) {
    if (!one.refused) continue;
    if (first) add_heading(report, "Not to be said");
    first = false;
    add_hanging(report, one.place, one.text + " [" + listed(one.because) + "]", 7);
  }
}

/// One row for each claim, draw and rule.
Table csv_table(const LabelView& view) {
  Table table{{{"draw"},
               {"date"},
               {"claim"},
               {"rule"},
               {"set"},
               {"verdict"},
               {"value"},
               {"unit"},
               {"limit"},
               {"margin", Figure::exact_number},
               {"known"},
               {"text"},
               {"source"},
               {"why"}},
              {}};
  for (const ClaimOnDraw& one : view.judged)
    for (const Judgement& row : one.rows) {
      const LabelledDraw& labelled = view.draws[one.draw];
      table.rows.push_back({labelled.draw->name, iso_text(labelled.draw->date), view.claims[one.claim].written,
                            row.rule != nullptr ? row.rule->id : std::string(), row.set, verdict_word(row.verdict),
                            value_text(row), row.unit, limit_text(row), row.margin,
                            row.rule != nullptr ? std::string(known_word(row.rule->source.known)) : std::string(),
                            row.rule != nullptr ? row.rule->source.text_of : std::string(),
                            row.rule != nullptr ? row.rule->source.where : std::string(),
                            why_text(row, labelled.facts)});
    }
  return table;
}

}  // namespace

Report label_report(const LabelView& view, const Source* source, Units units) {
  Report report;
  if (view.shown.size() > 1) {
    paragraph(report, std::to_string(view.shown.size()) + " bottlings go by this name or day; each is told below.");
    paragraph(report, "");
  }
  for (const std::size_t shown : view.shown) {
    const LabelledDraw& labelled = view.draws[shown];
    if (shown != view.shown.front()) paragraph(report, "");
    opening_lines(report, view, labelled, units);
    claim_part(report, view, shown);
    if (shown == view.shown.front()) span_part(report, view, units);
    rule_part(report, view, labelled);
    add_classes(report, view, labelled);
    if (shown == view.shown.front()) add_classes_of_all(report, view);
    today_part(report, view, labelled);
    loss_part(report, view, labelled);
    wording_part(report, view, labelled);
    source_part(report, view, shown);
    if (source != nullptr) add_evidence(report, view, labelled, *source, units);
  }
  add_heading(report, "Before you print");
  for (const std::string& caution : label_cautions()) paragraph(report, caution);
  close_report(report, *view.outlook, units);
  report.csv = csv_table(view);
  return report;
}

}  // namespace tierce
