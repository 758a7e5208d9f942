#include "cli/rule_book.h"

#include <stdexcept>

#include "cli/read_rules.h"

namespace tierce {

const RuleBook& built_in_rules() {
  static const RuleBook kBook = [] {
    RuleBook book;
    for (const BuiltInRules& file : built_in_rule_files()) {
      std::vector<Problem> problems;
      const Source source = source_from(file.file, file.text, problems);
      if (problems.empty()) read_rules(source, book, problems);
      if (!problems.empty())
        throw std::logic_error(std::string("rules/") + file.file + ':' + std::to_string(problems.front().at.line) +
                               ": " + problems.front().what);
    }
    return book;
  }();
  return kBook;
}

const std::vector<StrengthBoundary>& built_in_boundaries() {
  static const std::vector<StrengthBoundary> kBoundaries = strength_boundaries(built_in_rules());
  return kBoundaries;
}

}  // namespace tierce
