// The rows of `tierce label`: verdicts, what is in force on one day only, what a draw is made of.
#pragma once

#include <string>
#include <vector>

#include "cli/report/label/label.h"

namespace tierce {

/// A verdict and what it is about: a draw, or a year.
struct VerdictRow {
  Judgement row;
  const LabelFacts& facts;
  std::string subject;
  Date date;
  bool past = false;
  const Claim* claim = nullptr;  // of a claim
};
std::vector<VerdictRow> rows_on_claims(const LabelView& view);
/// With the words that tables have beside the figures.
extern const Shape<VerdictRow> kShownVerdict;

struct TodayRow {
  const LabelView& view;
  const LabelledDraw& labelled;
  ThenAndToday one;
};
std::vector<TodayRow> rows_of_today(const LabelView& view, const LabelledDraw& labelled);
extern const Shape<TodayRow> kLabelToday;

/// What another person needs to redo the figures of a draw.
struct EvidenceRow {
  const LabelView& view;
  const LabelledDraw& labelled;
  const Source& source;
};
extern const Shape<EvidenceRow> kLabelEvidence;
void say_evidence(Document& document, const LabelView& view, const LabelledDraw& labelled, const Source& source,
                  Units units);

}  // namespace tierce
