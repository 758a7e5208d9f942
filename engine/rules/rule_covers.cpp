#include "engine/rules/rule_covers.h"

#include <algorithm>
#include <cctype>
#include <map>

namespace tierce {
namespace {

const std::string kNotStated = "not stated";

/// A word that is known of the wine or of the claim; empty if it is not.
std::string fact_word(const std::string& fact, const LabelCase& of) {
  if (fact == "statement" && of.claim != nullptr)
    return of.claim->stated == of.claim->stated_to ? "one figure" : "a range";
  if (fact == "term" && of.claim != nullptr) return of.claim->term;
  if (of.facts == nullptr) return "";
  const auto found = of.facts->words.find(fact);
  return found == of.facts->words.end() ? "" : found->second;
}

/// A protected name, a term, and that it is organic, are there only if they are stated.
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

/// A name that no rule has may be another way of writing one that a rule asks for.
bool may_be_written_so(const Condition& condition, const LabelCase& of) {
  return of.facts != nullptr && of.facts->name_not_known && condition.words != std::vector<std::string>{kNotStated};
}

}  // namespace

bool contains(const std::vector<std::string>& words, const std::string& word) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

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
  if (condition.fact == "designation" && !named && may_be_written_so(condition, of)) return Covers::not_known;
  if (!word.empty()) return contains(condition.words, word) ? Covers::yes : Covers::no;
  if (contains(condition.words, kNotStated)) return Covers::yes;
  if (named) return Covers::yes;
  return absent_unless_stated(condition.fact) ? Covers::no : Covers::not_known;
}

std::pair<Covers, std::string> covers(const Rule& rule, const LabelCase& asked, bool named) {
  LabelCase of = asked;
  of.strength_at_c = rule.strength_at_c;
  if (of.facts != nullptr && of.facts->date.year > 0 && !rule.in_force.on(of.facts->date))
    return {Covers::no, kOtherDay};
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

}  // namespace tierce
