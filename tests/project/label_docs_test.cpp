// docs/label.md lists every rule with its source and the date of the text, and the keys and quantities of rule files.
#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>

#include "cli/read/quantity_text.h"
#include "cli/read/read_rules.h"
#include "cli/read/rule_book.h"
#include "cli/read/rule_keys.h"
#include "cli/report/label/label_words.h"
#include "tests/cli/command/program.h"

namespace tierce {
namespace {

constexpr std::size_t kWidth = 118;

std::size_t characters(const std::string& text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80u; }));
}

/// A list item, its lines broken at the page's width and hanging by two.
std::string item(const std::string& text) {
  std::string out, line = "-";
  std::istringstream words(text);
  for (std::string word; words >> word;) {
    if (characters(line) + 1 + characters(word) > kWidth) {
      out += line + '\n';
      line = " ";
    }
    line += ' ' + word;
  }
  return out + line + '\n';
}

std::string rule_item(const Rule& rule) {
  std::string limit = std::string(operator_word(rule.op)) + ' ' + plain_number(rule.limit);
  if (!rule.unit.empty()) limit += ' ' + rule.unit;
  const std::string quantity = rule.quantity == "not in the book" ? "" : rule.quantity + ' ';
  return item("**" + rule.id + "** " + rule.about + ": " + quantity + limit + ". " + source_text(rule) + ".");
}

std::string class_item(const TaxClass& one) {
  std::string rate;
  if (is_known(one.rate)) rate = ": " + plain_number(one.rate) + ' ' + one.currency + '/' + one.unit;
  return item("**" + one.id + "** " + one.name + rate + ". " + one.source.where + " (text: " + one.source.text_of +
              "; " + (one.source.known == Known::memory ? "from memory" : known_word(one.source.known)) + ").");
}

void expect_holds(const std::string& mark, const std::string& wanted) {
  std::string manual = test::read_file(std::string(TIERCE_SOURCE_DIR) + "/docs/label.md");
  const std::string begin = "<!-- " + mark + " -->\n", end = "<!-- end -->\n", block = begin + wanted + end;
  if (const auto from = manual.find(begin); test::updating() && from != std::string::npos) {
    manual.replace(from, manual.find(end, from) + end.size() - from, block);
    test::rewrite("docs/label.md", manual);
  }
  EXPECT_NE(manual.find(block), std::string::npos) << "docs/label.md should hold:\n\n" << block;
}

TEST(LabelManual, ListsEveryRuleWithItsSourceAndDate) {
  for (const RuleSet& set : built_in_rules().sets) {
    std::string wanted;
    for (const Rule& rule : built_in_rules().rules)
      if (rule.set == set.name) wanted += rule_item(rule);
    for (const TaxClass& one : built_in_rules().classes)
      if (one.set == set.name) wanted += class_item(one);
    expect_holds("rules of " + set.name, wanted);
  }
}

TEST(LabelManual, NamesEveryKeyOfARuleFile) {
  for (const Section* section : keys::of_rules()) {
    std::string wanted;
    for (const Key& key : section->keys)
      wanted += item("`" + key.name + "`" + (key.required ? " (required)" : "") + ": " + key.meaning +
                     (key.standard.empty() ? "" : "; default: " + key.standard) + ".");
    expect_holds("keys of " + section->name, wanted);
  }
}

TEST(LabelManual, NamesEveryQuantityAndEveryWord) {
  std::string wanted;
  for (const LabelQuantity& row : label_quantities())
    wanted += item("`" + std::string(row.name) + "`" + (row.unit[0] == '\0' ? "" : ", " + std::string(row.unit)) +
                   ": " + row.meaning + ".");
  expect_holds("quantities", wanted);
  wanted.clear();
  for (const keys::FactWord& word : keys::fact_words()) {
    std::string choices;
    for (const std::string& choice : word.choices) choices += (choices.empty() ? "" : ", ") + choice;
    wanted += item("`" + word.name + "`: " + word.meaning + (choices.empty() ? "" : " (" + choices + ")") + ".");
  }
  expect_holds("words", wanted);
}

}  // namespace
}  // namespace tierce
