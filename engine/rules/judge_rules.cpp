// What each rule says of a claim, a draw or a year.
#include <algorithm>
#include <numeric>

#include "engine/rules/rule_covers.h"

namespace tierce {
namespace {

void settle(Judgement& judgement, const Rule& rule, Covers how, const std::string& fact) {
  if (how == Covers::no) {
    judgement.verdict = Verdict::open;
    judgement.because = fact == kOtherDay ? Because::not_in_force : Because::not_covered;
    judgement.of = fact;
  } else if (how == Covers::not_known &&
             judgement.by_figure != (rule.effect == Effect::limit ? Verdict::holds : Verdict::fails)) {
    judgement.verdict = Verdict::open;
    if (judgement.because == Because::figure) {
      judgement.because = Because::condition_unknown;
      judgement.of = fact;
    }
  }
  if (how == Covers::no) return;
  if (rule.source.known == Known::memory) {
    judgement.verdict = Verdict::open;
    judgement.because = judgement.because == Because::not_known ? Because::not_known : Because::memory;
  } else if (!rule.open_point.empty() && !is_known(rule.open_to) && judgement.because == Because::figure) {
    judgement.verdict = Verdict::open;
    judgement.because = Because::open_point;
  }
}

Judgement judge_rule(const Rule& rule, const LabelCase& of, Covers how, const std::string& fact) {
  Judgement judgement = judge({rule.quantity, rule.op, rule.limit, rule.spirit, rule.open_at_limit, rule.strength_at_c,
                               rule.unit, rule.open_to},
                              of);
  judgement.rule = &rule;
  judgement.set = rule.set;
  judgement.unit = rule.unit;
  settle(judgement, rule, how, fact);
  return judgement;
}

bool stands_for(const Rule& rule, const std::string& name) { return rule.id == name || rule.family == name; }

/// Rules of a family of which one must speak, though it is not known which: where all fail, all fail.
void settle_families(std::vector<Judgement>& rows) {
  for (Judgement& row : rows) {
    if (row.because != Because::condition_unknown || row.rule->family.empty()) continue;
    const auto is_kin = [&](const Judgement& other) { return other.rule && other.rule->family == row.rule->family; };
    const auto kin = std::count_if(rows.begin(), rows.end(), is_kin);
    const bool all_fail = std::all_of(rows.begin(), rows.end(), [&](const Judgement& other) {
      return !is_kin(other) || other.by_figure == Verdict::fails;
    });
    if (kin > 1 && all_fail) row.verdict = Verdict::fails;
  }
  for (Judgement& row : rows)
    if (row.verdict == Verdict::fails && row.because == Because::condition_unknown) row.because = Because::figure;
}

bool does_not_speak(const Judgement& row) {
  return row.because == Because::not_covered || row.because == Because::not_in_force;
}

/// A tolerance does not reach across the limits that it gives way to.
void settle_precedence(std::vector<Judgement>& rows) {
  for (Judgement& row : rows) {
    if (row.rule == nullptr || row.verdict == Verdict::fails || does_not_speak(row)) continue;
    for (const Judgement& other : rows) {
      if (other.rule == nullptr || other.rule == row.rule || other.verdict == Verdict::holds) continue;
      const bool over = std::any_of(row.rule->gives_way_to.begin(), row.rule->gives_way_to.end(),
                                    [&](const std::string& name) { return stands_for(*other.rule, name); });
      if (!over || row.verdict == other.verdict) continue;
      row.verdict = other.verdict;
      row.because = Because::gives_way;
      row.of = other.rule->id;
      if (is_known(other.margin) && other.margin < row.margin) row.margin = other.margin;
      if (row.verdict == Verdict::fails) break;
    }
  }
}

/// The claim's own bounds, before any law.
std::vector<Bound> own_bounds(const Claim& claim) {
  static const std::vector<std::pair<Say, const char*>> kFigures = {
      {Say::mean_age, "mean age"},     {Say::youngest, "youngest age"},
      {Say::oldest, "oldest age"},     {Say::oldest_share, "share of old harvests"},
      {Say::vintage, "vintage share"}, {Say::variety, "variety share"},
      {Say::origin, "origin share"},   {Say::alcohol, "strength"},
      {Say::sweetness, "sugar"},       {Say::quotient, "official quotient"},
      {Say::harvests, "harvests"}};
  if (claim.say == Say::no_added_sulfites) return {{"sulfites added", Operator::at_most, 0.0}};
  if (claim.say == Say::started) return {{"first year", Operator::exactly, static_cast<double>(claim.year)}};
  std::vector<Bound> bounds;
  if (claim.of.size() > 1) bounds.push_back({"least named share", Operator::above, 0.0, SpiritIn::left_out});
  for (const auto& [say, quantity] : kFigures) {
    if (say != claim.say) continue;
    const SpiritIn spirit = SpiritIn::unsettled;
    if (is_known(claim.at_least)) bounds.push_back({quantity, Operator::at_least, claim.at_least, spirit});
    if (is_known(claim.at_most)) bounds.push_back({quantity, Operator::at_most, claim.at_most, spirit});
    if (is_known(claim.stated) && claim.say == Say::harvests)
      bounds.push_back({quantity, Operator::exactly, claim.stated, spirit});
  }
  return bounds;
}

void judge_named(const RuleBook& book, const LabelCase& of, std::vector<Judgement>& rows) {
  const Rule* named = book.find(of.claim->rule);
  if (named == nullptr) return;
  const auto [how, fact] = covers(*named, of, true);
  rows.push_back(judge_rule(*named, of, how, fact));
  if (of.claim->say == Say::figure) return;
  for (const Rule& rule : book.rules) {
    if (&rule == named || rule.set != named->set) continue;
    const bool over = std::any_of(named->gives_way_to.begin(), named->gives_way_to.end(),
                                  [&](const std::string& name) { return stands_for(rule, name); });
    const bool sibling = how != Covers::yes && !named->family.empty() && rule.family == named->family;
    if (!over && !sibling) continue;
    const auto [other, why] = covers(rule, of, over);
    if (other != Covers::no) rows.push_back(judge_rule(rule, of, other, why));
  }
}

void judge_set(const RuleBook& book, const std::string& set, const LabelCase& of, const std::string& word,
               std::vector<Judgement>& rows) {
  for (const Rule& rule : book.rules) {
    if (rule.set != set || !contains(rule.judges, word)) continue;
    const auto [how, fact] = covers(rule, of, false);
    if (how != Covers::no) rows.push_back(judge_rule(rule, of, how, fact));
  }
}

void settle_all(std::vector<Judgement>& rows) {
  settle_families(rows);
  settle_precedence(rows);
}

/// A rule is on calendar years; where its text knows other annual periods, on those, or on the one that is filed.
bool knows_year(const Rule& rule, const LossYear& year, const std::vector<LossYear>& years) {
  if (rule.year_ends.empty()) return year.last.month == 12 && year.last.day == 31;
  if (std::any_of(years.begin(), years.end(), [](const LossYear& one) { return one.filed; })) return year.filed;
  return std::any_of(rule.year_ends.begin(), rule.year_ends.end(),
                     [&](const DayOfYear& end) { return end.month == year.last.month && end.day == year.last.day; });
}

void leave_open(Judgement& row, Because because) {
  row.verdict = Verdict::open;
  row.because = because;
}

/// Limits of one family on a year are joined by "or" in the text, which does not say whether both have to be passed, or
/// what they allow together: one verdict only where it is the same in each way. What they allow together is the sum of
/// limit x base, which is (limit / value) x the loss.
void settle_limits(std::vector<Judgement>& rows) {
  for (const Judgement& first : rows) {
    if (first.rule->family.empty()) continue;
    std::vector<Judgement*> kin;
    for (Judgement& row : rows)
      if (row.rule->family == first.rule->family && row.rule->set == first.rule->set &&
          row.because != Because::not_known)
        kin.push_back(&row);
    if (kin.size() < 2) continue;
    const double allowed = std::accumulate(kin.begin(), kin.end(), 0.0, [](double sum, const Judgement* row) {
      return sum + row->limit / row->readings.front().low;
    });
    const bool alike =
        std::all_of(kin.begin(), kin.end(), [&](const Judgement* row) { return row->verdict == kin.front()->verdict; });
    const bool together = allowed >= 1.0 && first.rule->effect == Effect::statement;
    const bool passed = kin.front()->verdict == Verdict::holds;
    if (alike && !(passed && together)) continue;
    for (Judgement* row : kin)
      if (row->because == Because::figure) leave_open(*row, Because::limits_differ);
  }
}

/// A rule that knows several annual periods is decided where all of them say the same.
void settle_years(std::vector<Judgement>& rows) {
  std::vector<Verdict> verdicts;
  for (const Judgement& row : rows) verdicts.push_back(row.verdict);
  for (Judgement& row : rows)
    for (std::size_t i = 0; i < rows.size(); ++i)
      if (rows[i].rule == row.rule && verdicts[i] != row.verdict && row.because == Because::figure)
        leave_open(row, Because::years_differ);
}

/// Held against a claim, a rule that calls for a statement holds where none is needed.
void turn_statements(std::vector<Judgement>& rows) {
  const auto turned = [](Verdict verdict) {
    return verdict == Verdict::holds ? Verdict::fails : verdict == Verdict::fails ? Verdict::holds : verdict;
  };
  for (Judgement& row : rows) {
    if (row.rule == nullptr || row.rule->effect == Effect::limit) continue;
    row.verdict = turned(row.verdict);
    row.by_figure = turned(row.by_figure);
    row.margin = -row.margin;
  }
}

}  // namespace

std::vector<Judgement> judge_claim(const RuleBook& book, const std::vector<std::string>& sets, const Claim& claim,
                                   const LabelFacts& facts) {
  const LabelCase of{&facts, &claim, nullptr};
  std::vector<Judgement> rows;
  for (const Bound& bound : own_bounds(claim)) rows.push_back(judge(bound, of));
  if (!claim.rule.empty()) judge_named(book, of, rows);
  else
    for (const std::string& set : sets) {
      const std::size_t before = rows.size();
      judge_set(book, set, of, word_of(claim.say), rows);
      if (rows.size() > before) continue;
      Judgement none;
      none.set = set;
      none.because = Because::no_rule;
      rows.push_back(none);
    }
  settle_all(rows);
  turn_statements(rows);
  return rows;
}

std::vector<Judgement> judge_draw(const RuleBook& book, const std::vector<std::string>& sets, const LabelFacts& facts) {
  const LabelCase of{&facts, nullptr, nullptr};
  std::vector<Judgement> rows;
  for (const std::string& set : sets) judge_set(book, set, of, "draw", rows);
  settle_all(rows);
  std::stable_partition(rows.begin(), rows.end(),
                        [](const Judgement& row) { return row.rule->effect == Effect::limit; });
  return rows;
}

std::vector<Judgement> judge_years(const RuleBook& book, const std::vector<std::string>& sets,
                                   const std::vector<LossYear>& years, const LabelFacts& facts) {
  std::vector<Judgement> rows;
  for (const LossYear& year : years) {
    std::vector<Judgement> of_year;
    for (const std::string& set : sets) judge_set(book, set, {&facts, nullptr, &year}, "year", of_year);
    std::erase_if(of_year, [&](const Judgement& row) { return !knows_year(*row.rule, year, years); });
    settle_all(of_year);
    settle_limits(of_year);
    for (Judgement& row : of_year) {
      row.year = &year;
      rows.push_back(std::move(row));
    }
  }
  settle_years(rows);
  return rows;
}

std::vector<Judgement> judge_fortify(const RuleBook& book, const std::vector<std::string>& sets,
                                     const LabelFacts& facts) {
  const LabelCase of{&facts, nullptr, nullptr};
  std::vector<Judgement> rows;
  for (const std::string& set : sets) judge_set(book, set, of, "fortify", rows);
  settle_all(rows);
  return rows;
}

std::vector<RuleOnWine> rules_on(const RuleBook& book, const std::vector<std::string>& sets,
                                 const std::vector<std::string>& quantities, const LabelFacts& facts) {
  const LabelCase of{&facts, nullptr, nullptr};
  std::vector<RuleOnWine> found;
  for (const Rule& rule : book.rules) {
    const bool asked = contains(quantities, rule.quantity) && rule.effect == Effect::limit &&
                       contains(rule.judges, "draw") && contains(sets, rule.set);
    const Covers how = asked ? covers(rule, of, false).first : Covers::no;
    if (how != Covers::no) found.push_back({&rule, how == Covers::yes});
  }
  return found;
}

std::vector<std::string> known_designations(const RuleBook& book) {
  std::vector<std::string> names;
  for (const Rule& rule : book.rules)
    for (const auto* conditions : {&rule.when, &rule.unless})
      for (const Condition& condition : *conditions) {
        if (condition.fact != "designation") continue;
        for (const std::string& name : condition.words)
          if (!contains(names, name)) names.push_back(name);
      }
  return names;
}

bool is_unknown_name(const std::string& name, const RuleBook& book) {
  return !contains(known_designations(book), name);
}

std::vector<std::string> sets_of(const Scenario& scenario, const RuleBook& book, std::vector<std::string> otherwise) {
  std::vector<std::string> sets;
  for (const auto& [name, at] : scenario.rules) sets.push_back(name);
  if (sets.empty()) sets = std::move(otherwise);
  for (const RuleSet& set : book.sets)
    if (set.added && !contains(sets, set.name)) sets.push_back(set.name);
  return sets;
}

}  // namespace tierce
