// Verdicts in words, with their figures.
#pragma once

#include <string>
#include <vector>

#include "cli/write/table.h"
#include "engine/plan/label_change.h"
#include "engine/rules/label_view.h"

namespace tierce {

/// "2025", "Jul 2024 to Jun 2025"
std::string period_text(const LossYear& year);

/// The same, with the months that the book covers of it.
std::string loss_row_name(const LossYear& year);
/// True where the book has no base for the rule, or but a few days of the period: reports leave such rows out.
bool is_idle(const Judgement& row);
/// A verdict on losses: whether a claim for them is needed.
std::string claim_word(const Judgement& row);

const char* verdict_word(Verdict verdict);
const char* needed_word(Verdict verdict);  // of a rule on what has to be stated: "yes", "no", "open"
const char* known_word(Known known);

/// What the figure is: a value, a bound ("at least 4.1 years"), two readings, or "not known".
std::string value_text(const Judgement& row);
std::string limit_text(const Judgement& row);   // "at least 85 %"
std::string margin_text(const Judgement& row);  // "+0.40 %"
/// "US-VIN-AVA", "the figure", "eu: no rule"
std::string by_text(const Judgement& row);
/// The reason of a verdict in a sentence without its end, with what a reader should know of the rule.
std::string why_text(const Judgement& row, const LabelFacts& facts);
/// True where the sentence says more than the table.
bool needs_why(const Judgement& row, const LabelFacts& facts);
/// "27 CFR 4.27(a)(1) (text: ...; second hand; from 2006-06-01)"
std::string citation_text(const Citation& source, const InForce& days);
std::string source_text(const Rule& rule);  // that of a rule

/// What would have to change for a claim to hold, a sentence without its end.
std::string change_text(const LabelView& view, const LabelChange& change, Units units);

/// Of a table that shows text which may be missing.
Table with_dashes(Table table);

/// What stands under every list of verdicts.
std::vector<std::string> label_cautions();

}  // namespace tierce
