#include "engine/rules/label_view.h"

#include <algorithm>
#include <map>

#include "engine/run/simulate.h"

namespace tierce {
namespace {

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

void add_to_spans(std::vector<ClaimSpan>& spans, const ClaimOnDraw& judged) {
  for (const Judgement& row : judged.rows) {
    if (row.because == Because::no_rule) continue;
    const std::string by = row.rule != nullptr ? row.rule->id : "";
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
  return any_asks(judge_draw(view.book, view.sets, labelled.facts)) ||
         std::any_of(view.claims.begin(), view.claims.end(), [&](const Claim& claim) {
           return claim_covers(claim, *labelled.draw) &&
                  any_asks(judge_claim(view.book, view.sets, claim, labelled.facts));
         });
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

/// The wines that carry a label, with what the rules ask of each; sugar from a density as the range that it is.
std::vector<LabelledDraw> labelled_draws(const Outlook& outlook, bool name_not_known) {
  std::vector<LabelledDraw> draws;
  for (const DrawRecord* draw : labelled_wines(outlook.run)) {
    draws.push_back({draw, label_facts(outlook.scenario, outlook.line, outlook.run, *draw)});
    draws.back().facts.name_not_known = name_not_known;
  }
  const auto least = with_least_sugar(outlook.line);
  if (!least) return draws;
  const Trajectory run = simulate(outlook.scenario, *least);
  const auto wines = labelled_wines(run);
  for (std::size_t i = 0; i < wines.size() && i < draws.size(); ++i)
    draws[i].facts.sugar_least_g_l = wines[i]->wine.solutes[kSugar] / wines[i]->volume_l;
  return draws;
}

/// The last days of the annual periods that the rules of a book know, beside those of calendar years.
std::vector<DayOfYear> other_year_ends(const RuleBook& book) {
  std::vector<DayOfYear> ends;
  for (const Rule& rule : book.rules)
    for (const DayOfYear& end : rule.year_ends) {
      const auto same = [&](const DayOfYear& other) { return other.month == end.month && other.day == end.day; };
      if (!same({12, 31}) && std::none_of(ends.begin(), ends.end(), same)) ends.push_back(end);
    }
  return ends;
}

OnDay standing_of(const Judgement& row) {
  const bool limit = row.rule->effect == Effect::limit;
  switch (row.verdict) {
    case Verdict::holds: return limit ? OnDay::holds : OnDay::needed;
    case Verdict::fails: return limit ? OnDay::fails : OnDay::not_needed;
    default: return OnDay::open;
  }
}

}  // namespace

std::vector<LossYears> losses_by_period(const Outlook& outlook, const RuleBook& book) {
  if (outlook.run.flows.years.empty()) return {};
  const auto filed = outlook.scenario.filing.inventory;
  std::vector<DayOfYear> ends = filed ? std::vector<DayOfYear>{*filed} : other_year_ends(book);
  std::vector<std::pair<Date, Date>> periods;
  for (const YearFlows& year : outlook.run.flows.years) {
    periods.push_back(period_of({12, 31}, {year.year, 1, 1}));
    for (const DayOfYear& end : ends) periods.push_back(period_of(end, in_year(end, year.year)));
  }
  const int until = outlook.run.flows.years.back().year + 1;  // a period that has begun
  for (const DayOfYear& end : ends) periods.push_back(period_of(end, in_year(end, until)));
  Timeline line = outlook.line;
  count_on(line, days_to_count(periods));
  std::map<int, LossYears> by_year;
  for (LossYear& one : loss_years(line, simulate(outlook.scenario, line), periods)) {
    const bool calendar = one.last.month == 12 && one.last.day == 31;
    one.filed = filed && one.last == in_year(*filed, one.last.year);
    if (calendar && by_year[one.last.year].periods.size() > 0 && one.filed) by_year[one.last.year].periods.clear();
    by_year[one.last.year].year = one.last.year;
    by_year[one.last.year].periods.push_back(one);
  }
  std::vector<LossYears> years;
  for (auto& [year, found] : by_year) years.push_back(std::move(found));
  return years;
}

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
  view.book = std::move(question.book);
  view.sets_by_default = question.sets.empty() && outlook.scenario.rules.empty();
  view.sets = question.sets.empty() ? sets_of(outlook.scenario, view.book, {"us", "eu"}) : question.sets;
  view.claims = outlook.scenario.claims;
  view.claims.insert(view.claims.end(), question.claims.begin(), question.claims.end());
  view.today = question.today;
  const auto name = outlook.scenario.label.find("designation");
  if (name != outlook.scenario.label.end() && is_unknown_name(name->second, view.book))
    view.unknown_name = name->second;
  view.draws = labelled_draws(outlook, !view.unknown_name.empty());
  add_time_in_wood(view, question.span);
  view.losses = losses_by_period(outlook, view.book);
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

std::vector<DrawClass> classes_of_draw(const LabelView& view, const LabelledDraw& labelled) {
  const DrawRecord& draw = *labelled.draw;
  double before_l = 0.0;  // drawn as bottlings in the same calendar year before this draw
  for (const LabelledDraw& other : view.draws) {
    if (other.draw == &draw) break;
    if (other.draw->date.year == draw.date.year) before_l += other.draw->volume_l;
  }
  std::vector<DrawClass> classes;
  for (const TaxClass* of : classes_of(view.book, view.sets, labelled.facts, draw.date))
    classes.push_back({of, taxed_l(*of, draw.volume_l), tax_on(*of, draw.volume_l),
                       is_known(of->rate) ? credit_on(view.book, *of, before_l, draw.volume_l, draw.date) : kUnknown});
  return classes;
}

std::vector<ClassSpan> class_spans(const LabelView& view) {
  std::vector<ClassSpan> spans;
  for (std::size_t d = 0; d < view.draws.size(); ++d) {
    const LabelledDraw& labelled = view.draws[d];
    for (const TaxClass* one : classes_of(view.book, view.sets, labelled.facts, labelled.draw->date)) {
      const auto goes_on = std::find_if(spans.begin(), spans.end(),
                                        [&](const ClassSpan& span) { return span.of == one && span.last + 1 == d; });
      ClassSpan& span = goes_on == spans.end() ? spans.emplace_back(ClassSpan{.of = one, .first = d}) : *goes_on;
      span.last = d;
      ++span.bottlings;
      span.litres += labelled.draw->volume_l;
      span.tax += tax_on(*one, labelled.draw->volume_l);
    }
  }
  return spans;
}

std::vector<ThenAndToday> changed_since(const LabelView& view, const LabelledDraw& labelled) {
  std::vector<ThenAndToday> changes;
  if (!view.today || !labelled.draw->past || *view.today <= labelled.draw->date) return changes;
  const Date& day = labelled.draw->date;
  LabelFacts now = labelled.facts;
  now.date = *view.today;
  const auto add = [&](const std::string& claim, const std::string& by, const InForce& days, OnDay how, bool of_today) {
    if (days.on(day) == days.on(now.date)) return;
    changes.push_back({claim, by, of_today ? OnDay::not_in_force : how, of_today ? how : OnDay::not_in_force});
  };
  const auto compare = [&](const std::string& claim, const auto& judged) {
    for (const bool of_today : {false, true})
      for (const Judgement& row : judged(of_today ? now : labelled.facts))
        if (row.rule != nullptr && row.because != Because::not_in_force)
          add(claim, row.rule->id, row.rule->in_force, standing_of(row), of_today);
  };
  for (const Claim& claim : view.claims)
    if (claim_covers(claim, *labelled.draw))
      compare(claim.written, [&](const LabelFacts& facts) { return judge_claim(view.book, view.sets, claim, facts); });
  compare("", [&](const LabelFacts& facts) { return judge_draw(view.book, view.sets, facts); });
  for (const bool of_today : {false, true})
    for (const TaxClass* of : classes_of(view.book, view.sets, labelled.facts, of_today ? now.date : day))
      add("", of->id, of->in_force, OnDay::in_class, of_today);
  return changes;
}

}  // namespace tierce
