#include "cli/command/refresh.h"

#include <algorithm>
#include <ostream>

#include "cli/command/answers.h"
#include "cli/command/asked.h"
#include "cli/command/deliver.h"
#include "cli/command/refresh_options.h"
#include "cli/read/load.h"
#include "cli/read/print_problems.h"
#include "cli/read/quantity_text.h"
#include "cli/report/refresh/refresh.h"
#include "cli/report/refresh/refresh_rows.h"
#include "cli/report/remarks.h"
#include "cli/report/run_rows.h"
#include "cli/write/json.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

/// What the files that could be planned came to.
struct Plans {
  int status = kFine;
  std::string text;
  Value json = Value::List{};
  std::vector<NamedTable> csv;
  Units units = Units::metric;  // of the CSV: those of the first reserve
  OrderSum order;
  std::vector<std::string> reserves;
};

void add_plan(Plans& plans, const Refresh& refresh, const Options& options, Units units) {
  add_to(plans.order, refresh.wines, refresh.makings, refresh.plan);
  if (plans.reserves.empty()) plans.units = units;
  plans.reserves.push_back(refresh.plan.base.reserve);
  if (options.format == Format::json) {
    plans.json.push_back(object_of(refresh, kRefreshOutput));
    return;
  }
  if (options.sheet) {
    plans.text += (plans.text.empty() ? "" : "\f") + refresh_sheet(refresh, units);
    return;
  }
  const Document report = refresh_report(refresh, units);
  if (options.format == Format::csv) plans.csv.push_back({plans.reserves.back(), report.csv});
  else plans.text += (plans.text.empty() ? "" : "\n") + text_of(report, units, shown_by(options));
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
    print_refusals(refusal->problems, path, refusal->status, err);
    plans.status = std::max(plans.status, refusal->status);
    if (options.format == Format::json)
      plans.json.push_back(object_of(Impossible{loaded.source.path, refusal->problems}, kImpossiblePlan));
    return;
  }
  add_plan(plans, std::get<Refresh>(worked_out), options, units);
}

/// Several reserves: their plans, and one order that sums them.
void add_order(Plans& plans, const Options& options) {
  const Units units = options.units.value_or(Units::metric);
  if (options.format == Format::csv) {
    plans.csv.push_back({kAllReserves, table_of(std::vector{plans.order}, kOrderSum)});
    plans.csv.push_back({kAllReserves, table_of(plans.order.spirits, kSpiritSum)});
  } else {
    plans.text += (options.sheet ? "\f" : "\n") + text_of(order_report(plans.order, plans.reserves, units), units);
  }
}

std::string written(const Plans& plans, const Options& options) {
  if (options.format == Format::csv) return csv_of_files(plans.csv, options.files.size(), plans.units);
  if (options.format != Format::json) return plans.text;
  return json_text(options.files.size() == 1
                       ? std::get<Value::List>(plans.json.is).front()
                       : Value{{"plans", plans.json}, {"order", object_of(plans.order, kOrderSum)}});
}

}  // namespace

int run_refresh(const Options& options, std::ostream& out, std::ostream& err) {
  ParsedRefresh parsed = parse_refresh(options.given, options.today);
  if (options.sheet && options.format != Format::text)
    parsed.faults.push_back({{}, "--sheet is text for a printer", "--sheet, --json or --csv: one of them", ""});
  if (const std::string twice = given_twice(options.files); !twice.empty())
    parsed.faults.push_back({{}, twice, "", ""});
  if (!parsed.faults.empty()) {
    print_refusals(parsed.faults, "", kBadInput, err);
    return kBadInput;
  }
  Plans plans;
  for (const std::string& path : options.files) plan_file(plans, path, options, parsed.options, err);
  if (plans.status == kBadInput) return kBadInput;  // no order with a reserve left out unseen
  if (plans.reserves.size() > 1) add_order(plans, options);
  const std::string text = written(plans, options);
  return text.empty() ? plans.status : std::max(plans.status, deliver(options.output, text, out));
}

}  // namespace tierce
