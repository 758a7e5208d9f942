#include "cli/refresh_command.h"

#include <algorithm>
#include <ostream>

#include "cli/load.h"
#include "cli/print_problems.h"
#include "cli/quantity_text.h"
#include "cli/remarks.h"
#include "cli/report_refresh.h"
#include "cli/write.h"
#include "cli/write_file.h"

namespace tierce {
namespace {

void print(const OrderRefusal& refusal, const std::string& where, std::ostream& err) {
  const char* allowed = refusal.status == kFails ? "possible" : "allowed here";
  for (const Problem& problem : refusal.problems) {
    err << "tierce: error: " << (where.empty() ? "" : where + ": ") << with_plain_spaces(problem.what) << '\n';
    if (!problem.allowed.empty()) err << "  " << allowed << ": " << with_plain_spaces(problem.allowed) << '\n';
    if (!problem.hint.empty()) err << "  " << with_plain_spaces(problem.hint) << '\n';
  }
  if (refusal.problems.size() > 1) err << refusal.problems.size() << " faults\n";
}

/// What the files that could be planned came to.
struct Plans {
  int status = kFine;
  std::string text;
  nlohmann::json json = nlohmann::json::array();
  OrderSum order;
  std::vector<std::string> reserves;
};

void add_plan(Plans& plans, const Refresh& refresh, const Options& options, Units units) {
  add_to(plans.order, refresh.wines, refresh.makings, refresh.plan);
  plans.reserves.push_back(refresh.plan.base.reserve);
  if (options.format == Format::json) {
    plans.json.push_back(refresh_json(refresh));
    return;
  }
  if (options.sheet) {
    plans.text += (plans.text.empty() ? "" : "\f") + refresh_sheet(refresh, units);
    return;
  }
  const Report report = refresh_report(refresh, units);
  plans.text += plans.text.empty() ? "" : "\n";
  plans.text += options.format == Format::csv ? csv_of(report.csv, units) : text_of(report, units);
}

void plan_file(Plans& plans, const std::string& path, const Options& options, const RefreshOptions& own,
               std::ostream& err) {
  LoadedScenario loaded = load_scenario(path, options.large ? kLargeLimits : kUsualLimits);
  if (!loaded.problems.empty()) {
    print_problems(loaded.problems, loaded.source, err);
    plans.status = std::max(plans.status, kBadInput);
    return;
  }
  remark_on_days_ahead(loaded.scenario, options.today);
  const Units units = options.units.value_or(loaded.scenario.units);
  const auto worked_out = work_out_refresh(loaded, own, units);
  if (const auto* refusal = std::get_if<OrderRefusal>(&worked_out)) {
    print(*refusal, path, err);
    plans.status = std::max(plans.status, refusal->status);
    return;
  }
  add_plan(plans, std::get<Refresh>(worked_out), options, units);
}

/// Several reserves: their plans, and one order that sums them.
void add_order(Plans& plans, const Options& options) {
  const Units units = options.units.value_or(Units::metric);
  if (options.format == Format::json) {
    plans.json = {{"plans", plans.json}, {"order", order_sum_json(plans.order)}};
    return;
  }
  const Report report = order_report(plans.order, plans.reserves, units);
  plans.text += options.sheet ? "\f" : "\n";
  plans.text += options.format == Format::csv ? csv_of(report.csv, units) : text_of(report, units);
}

int deliver(const Options& options, const std::string& text, std::ostream& out, std::ostream& err) {
  if (text.empty()) return kFine;
  if (options.output.empty()) {
    out << text << std::flush;
    return out ? kFine : kBadInput;
  }
  const std::string failure = write_file(options.output, text);
  if (failure.empty()) return kFine;
  err << "tierce: error: " << options.output << " was not written: " << failure << '\n';
  return kBadInput;
}

}  // namespace

int run_refresh(const Options& options, std::ostream& out, std::ostream& err) {
  ParsedRefresh parsed = parse_refresh(options.given, options.today);
  if (options.sheet && options.format != Format::text)
    parsed.faults.push_back({{}, "--sheet is text for a printer", "--sheet, --json or --csv: one of them", ""});
  if (!parsed.faults.empty()) {
    print({kBadInput, parsed.faults}, "", err);
    return kBadInput;
  }
  Plans plans;
  for (const std::string& path : options.files) plan_file(plans, path, options, parsed.options, err);
  if (plans.reserves.size() > 1) add_order(plans, options);
  else if (options.format == Format::json && !plans.json.empty()) plans.json = nlohmann::json(plans.json.front());
  const std::string text = options.format == Format::json && !plans.json.empty() ? json_text(plans.json) : plans.text;
  return std::max(plans.status, deliver(options, text, out, err));
}

}  // namespace tierce
