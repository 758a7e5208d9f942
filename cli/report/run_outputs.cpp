// What --json prints of a file's runs: stock, age, forecast.
#include "cli/report/run_outputs.h"

#include "cli/report/accounts.h"
#include "cli/report/head.h"
#include "cli/report/long_run.h"
#include "cli/report/run_rows.h"
#include "cli/report/wine_rows.h"

namespace tierce {
namespace {

template <class Of>
Value head_of(const Of& of) {
  return object_of(*of.outlook, kHead);
}
template <class Of>
Value balances_of(const Of& of) {
  return object_of(of.outlook->run, kBalances);
}
template <class Of>
Value readings_of(const Of& of) {
  return list_of(reading_rows(*of.outlook), kReading);
}
template <class Of>
Value bottlings_of_run(const Of& of) {
  return list_of_later(bottling_rows(*of.outlook), kBottling);
}
template <class Of>
Value cost_of_run(const Of& of) {
  return object_of(*of.outlook, kCost);
}

constexpr Field<StockOutput> kStockFields[] = {
    {"", "", Figure::object, "", head_of<StockOutput>, kAlways, nullptr, &kHead},
    {"stock", "", Figure::list, "tiers, youngest first, then tanks",
     [](auto& of) { return list_of_later(place_rows(*of.outlook, *of.stock), kPlace); }, kAlways, nullptr, &kPlace},
    {"balance", "", Figure::object, "balances up to that day", balances_of<StockOutput>, kAlways, nullptr, &kBalances},
    {"readings", "", Figure::list, "gauges and analyses up to that day", readings_of<StockOutput>, kAlways, nullptr,
     &kReading},
    {"bottlings", "", Figure::list, "bottlings up to that day", bottlings_of_run<StockOutput>, kAlways, nullptr,
     &kBottling},
    {"spirits", "", Figure::list, "spirit accounts, in the order of the file",
     [](auto& of) { return list_of(spirit_accounts(of.outlook->scenario, of.outlook->run), kSpiritAccount); }, kAlways,
     nullptr, &kSpiritAccount},
    {"lots", "", Figure::list, "lots whose volume is stated",
     [](auto& of) { return list_of(lot_rows(*of.outlook), kLotAccount); }, kAlways, nullptr, &kLotAccount},
    {"cost", "", Figure::object, "how costs are counted", cost_of_run<StockOutput>, kAlways, nullptr, &kCost},
};

Value draws_asked_for(const AgeOutput& of) {
  std::vector<DrawRow> rows;
  for (const DrawRecord* draw : of.wines->draws) rows.push_back({of.outlook, draw, bottle_of(*of.outlook, *draw)});
  return list_of_later(rows, kDraw);
}
Value bottlings_asked_for(const AgeOutput& of) {
  std::vector<BottlingRow> rows;
  for (const BottlingRecord* one : of.wines->bottlings) rows.push_back({{of.outlook, &one->wine, one->bottle_l}, one});
  return list_of_later(rows, kBottling);
}

constexpr Field<AgeOutput> kAgeFields[] = {
    {"", "", Figure::object, "", head_of<AgeOutput>, kAlways, nullptr, &kHead},
    {"draws", "", Figure::list, "the draws asked for, in order of time", draws_asked_for, kAlways, nullptr, &kDraw},
    {"balance", "", Figure::object, "balances of the whole run", balances_of<AgeOutput>, kAlways, nullptr, &kBalances},
    {"bottlings", "", Figure::list, "bottlings of those names, and of those draws", bottlings_asked_for, kAlways,
     nullptr, &kBottling},
    {"cost", "", Figure::object, "how costs are counted", cost_of_run<AgeOutput>, kAlways, nullptr, &kCost},
};

Value refreshes_of(const ForecastOutput& of) {
  Value::List list;
  for (const RefreshRecord& refresh : of.outlook->run.refreshes)
    list.push_back(object_of({&of.outlook->scenario, &refresh}, kRefresh));
  return list;
}
Value doses_of(const ForecastOutput& of) {
  Value::List list;
  for (const DoseRecord& dose : of.outlook->run.doses)
    list.push_back(object_of({&of.outlook->scenario, &dose}, kDatedDose));
  return list;
}
Value stock_at_the_end(const ForecastOutput& of) {
  const auto& looks = of.outlook->run.looks;
  return looks.empty() ? Value(Value::List{}) : list_of_later(place_rows(*of.outlook, looks.back()), kPlace);
}
Value stop_of(const ForecastOutput& of) {
  const auto& stopped = of.outlook->run.stopped;
  return stopped ? object_of({&of.outlook->scenario, &*stopped}, kStop) : Value(Value::Absent{});
}

constexpr Field<ForecastOutput> kForecastFields[] = {
    {"", "", Figure::object, "", head_of<ForecastOutput>, kAlways, nullptr, &kHead},
    {"draws", "", Figure::list, "every draw", [](auto& of) { return list_of_later(draw_rows(*of.outlook), kDraw); },
     kAlways, nullptr, &kDraw},
    {"refreshes", "", Figure::list, "every day with a refill", refreshes_of, kAlways, nullptr, &kRefresh},
    {"doses", "", Figure::list, "every dose", doses_of, kAlways, nullptr, &kDatedDose},
    {"years", "", Figure::list, "one entry a year", [](auto& of) { return list_of(year_rows(*of.outlook), kYear); },
     kAlways, nullptr, &kYear},
    {"stock", "", Figure::list, "tiers, youngest first, then tanks, at the end of the run", stock_at_the_end, kAlways,
     nullptr, &kPlace},
    {"long_run", "", Figure::object, "where the habit leads",
     [](auto& of) { return object_of(*of.long_run, kLongRun); }, kAlways, nullptr, &kLongRun},
    {"balance", "", Figure::object, "balances of the whole run", balances_of<ForecastOutput>, kAlways, nullptr,
     &kBalances},
    {"readings", "", Figure::list, "every gauge and analysis", readings_of<ForecastOutput>, kAlways, nullptr,
     &kReading},
    {"stopped", "", Figure::object, "only if the plan is impossible (exit status 1)", stop_of, kOrAbsent, nullptr,
     &kStop},
    {"bottlings", "", Figure::list, "in order of time", bottlings_of_run<ForecastOutput>, kAlways, nullptr, &kBottling},
    {"cost", "", Figure::object, "how costs are counted", cost_of_run<ForecastOutput>, kAlways, nullptr, &kCost},
};

}  // namespace

const Shape<StockOutput> kStockOutput{"stock", "What is in every tier and tank at the end of a day.", kStockFields};
const Shape<AgeOutput> kAgeOutput{"age", "How old one or several draws are.", kAgeFields};
const Shape<ForecastOutput> kForecastOutput{"forecast", "The years of the log and the years to come.", kForecastFields};

}  // namespace tierce
