// Everything that is said of labels, worked out: verdicts on claims, draws and years, since when and until when.
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
  std::string by{};  // rule id; empty for the claim's own figure
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

/// A class of a draw by its strength, and the tax on it.
struct DrawClass {
  const TaxClass* of = nullptr;
  double taxed_l = 0.0, tax = kUnknown;
  double credit = kUnknown;  // if this reserve's bottlings are all that the producer takes out that year
};
std::vector<DrawClass> classes_of_draw(const LabelView& view, const LabelledDraw& labelled);

/// Bottlings of one class that follow one another.
struct ClassSpan {
  const TaxClass* of = nullptr;
  std::size_t first = 0, last = 0;  // draws
  std::size_t bottlings = 0;
  double litres = 0.0;
  double tax = 0.0;  // each bottling is rounded by itself, as each is a removal
};
std::vector<ClassSpan> class_spans(const LabelView& view);

/// How a rule or a class stands to a wine on one day.
enum class OnDay { not_in_force, holds, fails, open, needed, not_needed, in_class };

/// One rule or class that is in force on one of the two days only: that of the draw, and today.
struct ThenAndToday {
  std::string claim{};  // as written; empty for what every draw is held against
  std::string by{};     // rule or class
  OnDay then = OnDay::not_in_force, today = OnDay::not_in_force;
};
/// What a label printed today meets that the draw did not meet on its day, or no longer. Of a draw in the book; nothing
/// where today is not known or all is the same.
std::vector<ThenAndToday> changed_since(const LabelView& view, const LabelledDraw& labelled);

}  // namespace tierce
