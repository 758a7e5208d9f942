#include "cli/label.h"

#include <algorithm>

#include "cli/read_rules.h"

namespace tierce {
namespace {

std::vector<std::string> chosen_sets(const Scenario& scenario, const LabelQuestion& question, bool& by_default) {
  std::vector<std::string> sets = question.sets;
  if (sets.empty())
    for (const auto& [name, at] : scenario.rules) sets.push_back(name);
  by_default = sets.empty();
  if (by_default) sets = {"us", "eu"};
  for (const RuleSet& set : question.book.sets)
    if (set.added && std::find(sets.begin(), sets.end(), set.name) == sets.end()) sets.push_back(set.name);
  return sets;
}

/// The draw shown in full: the one asked for, the last bottling in the log, or the first of the habit.
std::vector<std::size_t> shown_draws(const LabelView& view, const std::string& asked) {
  std::vector<std::size_t> shown;
  for (std::size_t i = 0; i < view.draws.size(); ++i) {
    const DrawRecord& draw = *view.draws[i].draw;
    if (!asked.empty() && (draw.name == asked || iso_text(draw.date) == asked)) shown.push_back(i);
    if (asked.empty() && draw.past) shown = {i};
  }
  if (asked.empty() && shown.empty() && !view.draws.empty()) shown.push_back(0);
  return shown;
}

std::string by_of(const Judgement& row) {
  return row.rule != nullptr ? row.rule->id : row.because == Because::no_rule ? row.set + ": no rule" : "";
}

void add_to_spans(std::vector<ClaimSpan>& spans, const ClaimOnDraw& judged) {
  for (const Judgement& row : judged.rows) {
    if (row.because == Because::no_rule) continue;
    const std::string by = by_of(row);
    const auto found = std::find_if(spans.begin(), spans.end(),
                                    [&](const ClaimSpan& span) { return span.claim == judged.claim && span.by == by; });
    ClaimSpan& span = found == spans.end() ? spans.emplace_back(ClaimSpan{.claim = judged.claim, .by = by}) : *found;
    ++span.of;
    if (row.verdict != Verdict::holds) continue;
    if (span.held == 0) span.first = judged.draw;
    span.last = judged.draw;
    ++span.held;
  }
}

bool any_asks(const std::vector<Judgement>& rows) {
  return std::any_of(rows.begin(), rows.end(), [](const Judgement& row) { return asks_for_wood(row.quantity); });
}

bool a_rule_asks(const LabelView& view, const LabelledDraw& labelled) {
  const auto asks = [&](const Claim& claim) {
    return claim_covers(claim, *labelled.draw) && any_asks(judge_claim(view.book, view.sets, claim, labelled.facts));
  };
  return any_asks(judge_draw(view.book, view.sets, labelled.facts)) ||
         std::any_of(view.claims.begin(), view.claims.end(), asks);
}

/// Another run, by the clock of wood, made only where a rule asks for what it knows.
void add_time_in_wood(LabelView& view, const Span& span) {
  if (std::none_of(view.draws.begin(), view.draws.end(),
                   [&](const LabelledDraw& labelled) { return a_rule_asks(view, labelled); }))
    return;
  const Scenario& scenario = view.outlook->scenario;
  const bool own = scenario.clock == Clock::wood;
  const Outlook other = own ? Outlook{} : run_scenario(by_the_wood(scenario), span);
  const Outlook& wood = own ? *view.outlook : other;
  const auto wines = labelled_wines(wood.run);
  for (std::size_t d = 0; d < std::min(wines.size(), view.draws.size()); ++d)
    view.draws[d].facts.wood = time_in_wood(wood.line, *wines[d]);
}

/// A figure is stated in any unit of its rule's measure; it is kept in that of the rule.
void settle_units(std::vector<Claim>& claims, const RuleBook& book) {
  for (Claim& claim : claims) {
    const Rule* rule = claim.say == Say::figure ? book.find(claim.rule) : nullptr;
    if (rule == nullptr) continue;
    const auto value = read_in_unit(claim.measured_text, rule->unit);
    if (const double* figure = std::get_if<double>(&value)) claim.measured = *figure;
  }
}

}  // namespace

bool LabelView::any_fails() const {
  return std::any_of(judged.begin(), judged.end(),
                     [](const ClaimOnDraw& one) { return worst(one.rows) == Verdict::fails; });
}

bool claim_covers(const Claim& claim, const DrawRecord& draw) {
  if (!claim.draw.empty() && claim.draw != draw.name && claim.draw != iso_text(draw.date)) return false;
  return claim.since == 0 || draw.date.year >= claim.since;
}

LabelView label_view(const Outlook& outlook, LabelQuestion question) {
  LabelView view;
  view.outlook = &outlook;
  view.sets = chosen_sets(outlook.scenario, question, view.sets_by_default);
  view.book = std::move(question.book);
  view.claims = outlook.scenario.claims;
  view.claims.insert(view.claims.end(), question.claims.begin(), question.claims.end());
  settle_units(view.claims, view.book);
  for (const DrawRecord* draw : labelled_wines(outlook.run))
    view.draws.push_back({draw, label_facts(outlook.scenario, outlook.line, outlook.run, *draw)});
  add_time_in_wood(view, question.span);
  view.today = question.today;
  view.shown = shown_draws(view, question.draw);
  for (std::size_t c = 0; c < view.claims.size(); ++c)
    for (std::size_t d = 0; d < view.draws.size(); ++d) {
      if (!claim_covers(view.claims[c], *view.draws[d].draw)) continue;
      ClaimOnDraw judged{c, d, judge_claim(view.book, view.sets, view.claims[c], view.draws[d].facts)};
      add_to_spans(view.spans, judged);
      const bool asked =
          question.draw.empty() || std::find(view.shown.begin(), view.shown.end(), d) != view.shown.end();
      if (asked) view.judged.push_back(std::move(judged));
    }
  return view;
}

}  // namespace tierce
