#include "cli/fortify_command.h"

#include <algorithm>
#include <ostream>

#include "cli/deliver.h"
#include "cli/fortify_report.h"
#include "cli/json_refusal.h"
#include "cli/print_problems.h"
#include "cli/write.h"

namespace tierce {
namespace {

std::string rendered(const FortifyPlan& plan, const FortifyOptions& options) {
  if (options.format == Format::json) return json_text(fortify_json(plan, options));
  const Report report = fortify_report(plan, options);
  return options.format == Format::csv ? csv_of(report.csv, options.units) : text_of(report, options.units);
}

}  // namespace

int run_fortify(const std::vector<std::string>& arguments, std::ostream& out, std::ostream& err) {
  const ParsedFortify parsed = parse_fortify(arguments);
  if (!parsed.help.empty()) return deliver("", parsed.help, out);
  if (!parsed.faults.empty()) {
    print_refusals(parsed.faults, "", kBadInput, err);
    return kBadInput;
  }
  const auto plan = plan_fortification(parsed.options);
  if (const auto* refusal = std::get_if<FortifyRefusal>(&plan)) {
    const Problem why = refusal_text(*refusal, parsed.options);
    print_refusals({why}, "", kFails, err);
    if (parsed.options.format != Format::json) return kFails;
    return std::max(kFails, deliver(parsed.options.output, json_text(impossible_json("", {why})), out));
  }
  return deliver(parsed.options.output, rendered(std::get<FortifyPlan>(plan), parsed.options), out);
}

}  // namespace tierce
