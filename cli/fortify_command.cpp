#include "cli/fortify_command.h"

#include <cerrno>
#include <cstring>
#include <ostream>

#include "cli/fortify_report.h"
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

std::string rendered(const FortifyPlan& plan, const FortifyOptions& options) {
  if (options.format == Format::json) return json_text(fortify_json(plan, options));
  const Report report = fortify_report(plan, options);
  return options.format == Format::csv ? csv_of(report.csv, options.units) : text_of(report, options.units);
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
  const auto plan = plan_fortification(parsed.options);
  if (const auto* refusal = std::get_if<FortifyRefusal>(&plan)) {
    print({refusal_text(*refusal, parsed.options)}, "possible", err);
    return kFails;
  }
  return deliver(rendered(std::get<FortifyPlan>(plan), parsed.options), parsed.options.output, out, err);
}

}  // namespace tierce
