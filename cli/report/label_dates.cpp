#include "cli/report/label_dates.h"

#include <algorithm>

#include "cli/report/label_words.h"

namespace tierce {
namespace {

const std::string kNotInForce = "not in force";

std::string verdict_of(const Judgement& row) {
  if (row.rule->effect == Effect::limit) return verdict_word(row.verdict);
  return row.verdict == Verdict::holds ? "needed" : row.verdict == Verdict::fails ? "not needed" : "open";
}

bool only_on_one_day(const InForce& days, const Date& one, const Date& other) { return days.on(one) != days.on(other); }

/// Rows of rules that are in force on one of the two days only; each row names its rule.
void compare(const std::vector<Judgement>& then, const std::vector<Judgement>& today, const Date& day, const Date& now,
             const std::string& claim, std::vector<ThenAndToday>& changes) {
  const auto take = [&](const Judgement& row, bool of_today) {
    if (row.rule == nullptr || row.because == Because::not_in_force) return;
    if (!only_on_one_day(row.rule->in_force, day, now)) return;
    const std::string verdict = verdict_of(row);
    changes.push_back({claim, row.rule->id, of_today ? kNotInForce : verdict, of_today ? verdict : kNotInForce});
  };
  for (const Judgement& row : then) take(row, false);
  for (const Judgement& row : today) take(row, true);
}

void compare_classes(const LabelView& view, const LabelledDraw& labelled, const Date& now,
                     std::vector<ThenAndToday>& changes) {
  const Date& day = labelled.draw->date;
  for (const Date& one : {day, now})
    for (const TaxClass* of : classes_of(view.book, view.sets, labelled.facts, one)) {
      if (!only_on_one_day(of->in_force, day, now)) continue;
      const bool of_today = one == now;
      changes.push_back(
          {"", of->id, of_today ? kNotInForce : "in this class", of_today ? "in this class" : kNotInForce});
    }
}

}  // namespace

std::vector<ThenAndToday> changed_since(const LabelView& view, const LabelledDraw& labelled) {
  std::vector<ThenAndToday> changes;
  if (!view.today || !labelled.draw->past || *view.today <= labelled.draw->date) return changes;
  const Date& day = labelled.draw->date;
  LabelFacts now = labelled.facts;
  now.date = *view.today;
  for (const Claim& claim : view.claims)
    if (claim_covers(claim, *labelled.draw))
      compare(judge_claim(view.book, view.sets, claim, labelled.facts), judge_claim(view.book, view.sets, claim, now),
              day, now.date, claim.written, changes);
  compare(judge_draw(view.book, view.sets, labelled.facts), judge_draw(view.book, view.sets, now), day, now.date, "",
          changes);
  compare_classes(view, labelled, now.date, changes);
  return changes;
}

}  // namespace tierce
