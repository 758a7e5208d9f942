// Everything that `tierce label` says, worked out: verdicts on claims, draws and years, since when and until when.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/rules/verdict.h"
#include "engine/run/outlook.h"

namespace tierce {

/// Annual periods that end in about the same time: the calendar year, and others that rules know or the file states.
struct LossYears {
  int year = 0;
  std::vector<LossYear> periods{};
};

struct LabelledDraw {
  const DrawRecord* draw = nullptr;
  LabelFacts facts;
};

/// One claim about one draw.
struct ClaimOnDraw {
  std::size_t claim = 0;
  std::size_t draw = 0;  // index into LabelView::draws
  std::vector<Judgement> rows;
};

/// For which bottlings a claim holds by one rule (or by its own figure).
struct ClaimSpan {
  std::size_t claim = 0;
  std::string by{};  // rule id, "set: no rule", or empty for the figure
  std::size_t held = 0, of = 0;
  std::size_t first = 0, last = 0;  // draws, if held > 0
};

struct LabelView {
  const Outlook* outlook = nullptr;
  RuleBook book;
  std::vector<std::string> sets;
  bool sets_by_default = false;
  std::vector<Claim> claims;
  std::vector<LabelledDraw> draws;  // every bottling of the run, in order
  std::vector<std::size_t> shown;   // those whose rules, classes and wording are shown
  std::vector<ClaimOnDraw> judged;  // each claim on each draw that it covers, of those asked for
  std::vector<ClaimSpan> spans;     // over all draws that a claim covers
  std::optional<Date> today{};      // a label printed today is judged by the rules of this day too
  std::vector<LossYears> losses;    // of every year of the run
  std::string unknown_name;         // the designation, if no rule knows it
  bool any_fails() const;
};

/// What is asked of it beside the scenario.
struct LabelQuestion {
  RuleBook book;
  std::vector<std::string> sets;  // empty = the scenario's, else us and eu
  std::vector<Claim> claims;      // added to the scenario's
  std::string draw{};             // name or date; empty = every draw, and the last bottling in the log in full
  Span span{};                    // of the run, for another by the clock of wood
  std::optional<Date> today{};
};

LabelView label_view(const Outlook& outlook, LabelQuestion question);

/// The annual periods of a run for rules on losses, by the year in which they end.
std::vector<LossYears> losses_by_period(const Outlook& outlook, const RuleBook& book);

bool claim_covers(const Claim& claim, const DrawRecord& draw);

}  // namespace tierce
