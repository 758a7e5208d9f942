// Which rules speak of a claim, a draw or a year, and what each says; classes and taxes.
#include <algorithm>
#include <cctype>
#include <cmath>
#include <map>
#include <numeric>

#include "engine/strength.h"
#include "engine/verdict.h"

namespace tierce {
namespace {

enum class Covers { yes, no, not_known };

bool contains(const std::vector<std::string>& words, const std::string& word) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

const std::string kNotStated = "not stated";
const std::string kDay = "day";  // a rule speaks of no wine of a day on which it is not in force

/// A word that is known of the wine or of the claim; empty if it is not.
std::string fact_word(const std::string& fact, const LabelCase& of) {
  if (fact == "statement" && of.claim != nullptr)
    return of.claim->stated == of.claim->stated_to ? "one figure" : "a range";
  if (fact == "term" && of.claim != nullptr) return of.claim->term;
  if (of.facts == nullptr) return "";
  const auto found = of.facts->words.find(fact);
  return found == of.facts->words.end() ? "" : found->second;
}

/// A protected name, a term and "organic" are there only if they are stated.
bool absent_unless_stated(const std::string& fact) {
  return fact == "designation" || fact == "term" || fact == "organic";
}

/// The letters that a term is written with, small and without accents; anything else is one space between words.
std::string plain_words(const std::string& text) {
  static const std::map<std::string, char> kAccents = {
      {"\xC3\xA0", 'a'}, {"\xC3\xA1", 'a'}, {"\xC3\xA2", 'a'}, {"\xC3\xA3", 'a'}, {"\xC3\xA7", 'c'}, {"\xC3\xA8", 'e'},
      {"\xC3\xA9", 'e'}, {"\xC3\xAA", 'e'}, {"\xC3\xAD", 'i'}, {"\xC3\xB1", 'n'}, {"\xC3\xB3", 'o'}, {"\xC3\xBA", 'u'},
      {"\xC3\x81", 'a'}, {"\xC3\x82", 'a'}, {"\xC3\x89", 'e'}, {"\xC3\x8A", 'e'}, {"\xC3\x91", 'n'}};
  std::string words = " ";
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto accent = kAccents.find(text.substr(i, 2));
    const auto letter = static_cast<unsigned char>(text[i]);
    if (accent != kAccents.end()) {
      words += accent->second;
      ++i;
    } else if (std::isalnum(letter) != 0) words += static_cast<char>(std::tolower(letter));
    else if (words.back() != ' ') words += ' ';
  }
  return words.back() == ' ' ? words : words + ' ';
}

/// Words on a label hold a term if it stands in them as words of its own: "Solera Reserve" holds "solera".
bool words_hold(const std::string& words, const std::vector<std::string>& terms) {
  const std::string plain = plain_words(words);
  return std::any_of(terms.begin(), terms.end(),
                     [&](const std::string& term) { return plain.find(plain_words(term)) != std::string::npos; });
}

/// `named`: the claim names the rule, so that what is not stated is taken to be as the rule has it.
Covers covers(const Condition& condition, const LabelCase& of, bool named) {
  if (condition.words.empty()) {
    const Judgement figure = judge(
        {condition.fact, condition.op, condition.limit, SpiritIn::counted, condition.open_at_limit, of.strength_at_c},
        of);
    return figure.verdict == Verdict::holds   ? Covers::yes
           : figure.verdict == Verdict::fails ? Covers::no
                                              : Covers::not_known;
  }
  if (named && condition.fact == "product" && of.facts != nullptr && !of.facts->product_stated) return Covers::yes;
  const std::string word = fact_word(condition.fact, of);
  if (condition.fact == "term" && of.claim != nullptr && of.claim->say == Say::wording)
    return words_hold(word, condition.words) ? Covers::yes : Covers::no;
  if (condition.words.size() == 1 && contains(condition.words, kNotStated))
    return word.empty() ? Covers::yes : Covers::no;
  // A name that no rule has may be another way of writing one that a rule has.
  if (condition.fact == "designation" && of.facts != nullptr && of.facts->name_not_known && !named)
    return Covers::not_known;
  if (!word.empty()) return contains(condition.words, word) ? Covers::yes : Covers::no;
  if (named) return Covers::yes;
  return absent_unless_stated(condition.fact) ? Covers::no : Covers::not_known;
}

/// Whether a rule speaks of this wine, and which condition decides that it does not or may not.
std::pair<Covers, std::string> covers(const Rule& rule, const LabelCase& asked, bool named) {
  LabelCase of = asked;
  of.strength_at_c = rule.strength_at_c;
  if (of.facts != nullptr && of.facts->date.year > 0 && !rule.in_force.on(of.facts->date)) return {Covers::no, kDay};
  if (of.claim != nullptr && of.claim->say == Say::figure) return {Covers::yes, ""};
  std::pair<Covers, std::string> result{Covers::yes, ""};
  for (const Condition& condition : rule.when) {
    const Covers one = covers(condition, of, named);
    if (one == Covers::no) return {Covers::no, condition.fact};
    if (one == Covers::not_known && !named) result = {Covers::not_known, condition.fact};
    if (one == Covers::not_known && named && condition.open_at_limit) result = {Covers::not_known, condition.fact};
  }
  for (const Condition& condition : rule.unless)
    if (covers(condition, of, false) == Covers::yes && !named) return {Covers::no, condition.fact};
  return result;
}

void settle(Judgement& judgement, const Rule& rule, Covers how, const std::string& fact) {
  if (how == Covers::no) {
    judgement.verdict = Verdict::open;
    judgement.because = fact == kDay ? Because::not_in_force : Because::not_covered;
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

std::vector<const TaxClass*> classes_of(const RuleBook& book, const std::vector<std::string>& sets,
                                        const LabelFacts& facts, const Date& date) {
  std::vector<const TaxClass*> found;
  const double at_20c = facts.wine.alcohol_pct;
  if (!is_known(at_20c)) return found;
  for (const TaxClass& one : book.classes) {
    if (one.credit || !contains(sets, one.set)) continue;
    if (!one.in_force.on(date)) continue;
    const LabelCase of{&facts, nullptr, nullptr, one.strength_at_c};
    const bool spoken_of = std::none_of(one.when.begin(), one.when.end(), [&](const Condition& condition) {
      return covers(condition, of, false) == Covers::no;
    });
    const double pct = strength_on_scale(at_20c, one.strength_at_c);
    // Strengths on a boundary belong to the lower class, unless the class says "at least".
    const double tie = one.takes_in_lower ? -kSameFigure : kSameFigure;
    const bool above = !std::isfinite(one.above_pct) || pct > one.above_pct + tie * one.above_pct;
    const bool within = !std::isfinite(one.up_to_pct) || pct <= one.up_to_pct + kSameFigure * one.up_to_pct;
    if (spoken_of && above && within) found.push_back(&one);
  }
  return found;
}

double taxed_l(const TaxClass& of, double volume_l) {
  if (of.rounded_to_l <= 0.0) return volume_l;
  const double steps = volume_l / of.rounded_to_l;
  return of.rounded_to_l * std::floor(steps * (1.0 + kSameFigure) + 0.5);  // a half goes up
}

double tax_on(const TaxClass& of, double volume_l) { return of.rate * taxed_l(of, volume_l) / of.unit_l; }

double credit_on(const RuleBook& book, const TaxClass& of, double before_l, double volume_l, const Date& date) {
  double credit = 0.0, from_l = 0.0;
  bool of_other_days = false, of_the_day = false;
  for (const TaxClass& step : book.classes) {
    if (!step.credit || step.set != of.set) continue;
    (step.in_force.on(date) ? of_the_day : of_other_days) = true;
    if (!step.in_force.on(date)) continue;
    const double to_l = from_l + step.volume_l;
    const double litres = std::min(before_l + volume_l, to_l) - std::max(before_l, from_l);
    if (litres > 0.0) credit += std::min(step.rate / step.unit_l, of.rate / of.unit_l) * litres;
    from_l = to_l;
  }
  return of_other_days && !of_the_day ? kUnknown : credit;
}

}  // namespace tierce
