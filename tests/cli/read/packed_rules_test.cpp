// The rules that the program has packed are those of its YAML files, field by field.
#include "cli/read/packed_rules.h"

#include <gtest/gtest.h>

#include <stdexcept>

#include "cli/read/read_rules.h"
#include "cli/read/rule_book.h"

namespace tierce {
namespace {

RuleBook read_from_yaml() {
  RuleBook book;
  for (const BuiltInRules& file : built_in_rule_files()) {
    std::vector<Problem> problems;
    const Source source = source_from(file.file, file.text, problems);
    if (problems.empty()) read_rules(source, book, problems);
    EXPECT_TRUE(problems.empty()) << file.file << ": " << problems.front().what;
  }
  return book;
}

TEST(PackedRules, AreThoseOfTheFiles) {
  const RuleBook book = read_from_yaml();
  EXPECT_EQ(packed(built_in_rules()), packed(book));
  // Beside packing, some fields by themselves.
  ASSERT_EQ(built_in_rules().rules.size(), book.rules.size());
  ASSERT_GT(book.rules.size(), 100u);
  for (std::size_t i = 0; i < book.rules.size(); ++i) {
    const Rule &built_in = built_in_rules().rules[i], &read = book.rules[i];
    EXPECT_EQ(built_in.id, read.id);
    EXPECT_EQ(built_in.at.line, read.at.line);
    EXPECT_EQ(built_in.source.where, read.source.where);
    EXPECT_EQ(built_in.when.size(), read.when.size());
    EXPECT_TRUE(built_in.limit == read.limit || (!is_known(built_in.limit) && !is_known(read.limit))) << read.id;
  }
}

TEST(PackedRules, AreRefusedWhereTheyAreCutOrGoOn) {
  const std::string text = packed(built_in_rules());
  EXPECT_EQ(packed(unpacked(text)), text);
  EXPECT_THROW(unpacked(text.substr(0, text.size() / 2)), std::logic_error);
  EXPECT_THROW(unpacked(text + "1;"), std::logic_error);
  EXPECT_THROW(unpacked(""), std::logic_error);
}

}  // namespace
}  // namespace tierce
