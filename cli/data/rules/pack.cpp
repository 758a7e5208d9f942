// Reads the rule files and writes what packed_rules() is: pack OUTPUT, when the program is built.
#include <algorithm>
#include <fstream>
#include <iostream>

#include "cli/read/packed_rules.h"
#include "cli/read/read_rules.h"
#include "cli/read/rule_book.h"

namespace tierce {

std::string packed_rules() { return ""; }  // nothing asks for it here

/// The text in pieces that every compiler takes.
void write_source(const std::string& text, std::ostream& out) {
  constexpr std::size_t kPiece = 16000;
  out << "// Made from cli/data/rules/*.yaml when the program was built.\n#include \"cli/read/packed_rules.h\"\n\n"
         "namespace tierce {\n\nstd::string packed_rules() {\n  std::string text;\n";
  const auto inside_a_character = [&](std::size_t at) {
    return at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0u) == 0x80u;
  };
  for (std::size_t from = 0, to = 0; from < text.size(); from = to) {
    to = std::min(from + kPiece, text.size());
    while (inside_a_character(to)) ++to;
    out << "  text += R\"rules(" << text.substr(from, to - from) << ")rules\";\n";
  }
  out << "  return text;\n}\n\n}  // namespace tierce\n";
}

}  // namespace tierce

int main(int count, char** arguments) {
  using namespace tierce;
  RuleBook book;
  for (const BuiltInRules& file : built_in_rule_files()) {
    std::vector<Problem> problems;
    const Source source = source_from(file.file, file.text, problems);
    if (problems.empty()) read_rules(source, book, problems);
    for (const Problem& problem : problems)
      std::cerr << "cli/data/rules/" << file.file << ':' << problem.at.line << ": " << problem.what << '\n';
    if (!problems.empty()) return 1;
  }
  std::ofstream out(count == 2 ? arguments[1] : "");
  write_source(packed(book), out);
  return out.flush() ? 0 : 1;
}
