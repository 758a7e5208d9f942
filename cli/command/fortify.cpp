#include "cli/command/fortify.h"

#include <algorithm>
#include <ostream>

#include "cli/command/deliver.h"
#include "cli/command/fortify_options.h"
#include "cli/read/claim_check.h"
#include "cli/read/print_problems.h"
#include "cli/read/read_rules.h"
#include "cli/read/rule_book.h"
#include "cli/report/fortify/fortify.h"
#include "cli/report/fortify/fortify_rules.h"
#include "cli/report/run_rows.h"
#include "cli/write/json.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

std::string rendered(const FortifyPlan& plan, const FortifyOptions& options, const RuleBook& book) {
  const FortifyView view{plan, options, fortify_rules(plan, options.spirit_pct, options.designation, book)};
  if (options.format == Format::json) return json_text(object_of(view, kFortifyOutput));
  const Document report = fortify_report(view);
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
  print_refusals({*misspelt}, "", kBadInput, err);
  return std::nullopt;
}

}  // namespace

int run_fortify(const std::vector<std::string>& arguments, std::ostream& out, std::ostream& err) {
  const ParsedFortify parsed = parse_fortify(arguments);
  if (!parsed.help.empty()) return deliver("", parsed.help, out);
  if (!parsed.faults.empty()) {
    print_refusals(parsed.faults, "", kBadInput, err);
    return kBadInput;
  }
  const std::optional<RuleBook> book = book_of(parsed.options, err);
  if (!book) return kBadInput;
  const auto plan = plan_fortification(parsed.options);
  if (const auto* refusal = std::get_if<FortifyRefusal>(&plan)) {
    const Problem why = refusal_text(*refusal, parsed.options);
    print_refusals({why}, "", kFails, err);
    if (parsed.options.format != Format::json) return kFails;
    return std::max(kFails,
                    deliver(parsed.options.output, json_text(object_of(Impossible{"", {why}}, kImpossiblePlan)), out));
  }
  return deliver(parsed.options.output, rendered(std::get<FortifyPlan>(plan), parsed.options, *book), out);
}

}  // namespace tierce
