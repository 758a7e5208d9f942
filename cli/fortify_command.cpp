#include "cli/fortify_command.h"

#include <cerrno>
#include <cstring>
#include <ostream>

#include "cli/claim_check.h"
#include "cli/fortify_report.h"
#include "cli/fortify_rules.h"
#include "cli/print_problems.h"
#include "cli/read_rules.h"
#include "cli/rule_book.h"
#include "cli/write.h"
#include "cli/write_file.h"

namespace tierce {
namespace {

void print(const std::vector<Problem>& problems, const char* allowed, std::ostream& err) {
  for (const Problem& problem : problems) {
    err << "tierce: error: " << problem.what << '\n';
    if (!problem.allowed.empty()) err << "  " << allowed << ": " << problem.allowed << '\n';
    if (!problem.hint.empty()) err << "  " << problem.hint << '\n';
  }
  if (problems.size() > 1) err << problems.size() << " faults\n";
}

std::string rendered(const FortifyPlan& plan, const FortifyOptions& options, const RuleBook& book) {
  const auto rules = fortify_rules(plan, options, book);
  if (options.format == Format::json) return json_text(fortify_json(plan, options, rules));
  const Report report = fortify_report(plan, options, rules);
  return options.format == Format::csv ? csv_of(report.csv, options.units) : text_of(report, options.units);
}

/// The rule book of the command: those built in, and a file of the user's own. Empty with a fault told.
std::optional<RuleBook> book_of(const FortifyOptions& options, std::ostream& err) {
  RuleBook book = built_in_rules();
  if (!options.rules.empty()) {
    std::vector<Problem> problems;
    const Source source = load_source(options.rules, problems);
    if (problems.empty()) read_rules(source, book, problems);
    if (!problems.empty()) {
      print_problems(problems, source, err);
      return std::nullopt;
    }
  }
  const auto misspelt =
      options.designation.empty() ? std::nullopt : misspelt_designation(options.designation, {}, book);
  if (!misspelt) return book;
  print({*misspelt}, "allowed here", err);
  return std::nullopt;
}

int deliver(const std::string& text, const std::string& path, std::ostream& out, std::ostream& err) {
  if (path.empty()) {
    out << text << std::flush;
    if (out) return kFine;
    err << "tierce: error: the report could not be written: " << std::strerror(errno) << '\n';
    return kBadInput;
  }
  const std::string failure = write_file(path, text);
  if (failure.empty()) return kFine;
  err << "tierce: error: " << path << " was not written: " << failure << '\n';
  return kBadInput;
}

}  // namespace

int run_fortify(const std::vector<std::string>& arguments, std::ostream& out, std::ostream& err) {
  const ParsedFortify parsed = parse_fortify(arguments);
  if (!parsed.help.empty()) return deliver(parsed.help, "", out, err);
  if (!parsed.faults.empty()) {
    print(parsed.faults, "allowed here", err);
    return kBadInput;
  }
  const std::optional<RuleBook> book = book_of(parsed.options, err);
  if (!book) return kBadInput;
  const auto plan = plan_fortification(parsed.options);
  if (const auto* refusal = std::get_if<FortifyRefusal>(&plan)) {
    print({refusal_text(*refusal, parsed.options)}, "possible", err);
    return kFails;
  }
  return deliver(rendered(std::get<FortifyPlan>(plan), parsed.options, *book), parsed.options.output, out, err);
}

}  // namespace tierce
