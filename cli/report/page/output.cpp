#include "cli/report/page/output.h"

#include "cli/report/dose.h"
#include "cli/report/head.h"
#include "cli/report/label/label.h"
#include "cli/report/long_run.h"
#include "cli/report/refresh/refresh_rows.h"
#include "cli/report/run_outputs.h"
#include "cli/report/run_rows.h"
#include "cli/report/wine_rows.h"

namespace tierce {
namespace {

using DrawMean = std::pair<Date, double>;
constexpr Field<DrawMean> kDrawMeanFields[] = {
    {"date", "", Figure::date, "day of the draw", of<&DrawMean::first>},
    {"mean_y", "", Figure::age, "mean age", of<&DrawMean::second>},
};
constexpr Shape<DrawMean> kDrawMean{"draw_mean", "A draw to come, and its mean age.", kDrawMeanFields};

constexpr Field<ShareOutcome> kOutcomeFields[] = {
    {"draw_fraction", "", Figure::share, "share of the last tier drawn each time; null: as the file has it",
     of<&ShareOutcome::share>},
    {"draw_means", "", Figure::list, "each draw to come, of more than 200 some",
     [](auto& of) { return list_of(of.means_y, kDrawMean); }, kAlways, nullptr, &kDrawMean},
    {"mean_y", "", Figure::age, "mean age of the last draw; null where the plan cannot be kept",
     of<&ShareOutcome::mean_y>},
    {"youngest_y", "", Figure::age, "its youngest part", of<&ShareOutcome::youngest_y>},
    {"drawn_L", "", Figure::litres, "litres drawn in the last year", of<&ShareOutcome::drawn_l>},
    {"new_wine_L", "", Figure::litres, "litres of new wine in the last year", of<&ShareOutcome::new_wine_l>},
    {"bottles", "", Figure::count, "bottles that the litres drawn fill", of<&ShareOutcome::bottles>},
    {"long_run", "", Figure::object, "where this habit leads",
     [](auto& of) { return object_of(of.long_run, kLongRun); }, kAlways, nullptr, &kLongRun},
    {"impossible", "", Figure::text, "why the plan cannot be kept to the end",
     [](auto& of) { return of.stopped.empty() ? Value() : Value(of.stopped); }, kOrNull},
};
constexpr Shape<ShareOutcome> kOutcome{"draw_outcome", "A habit that draws one share each time, its exceptions kept.",
                                       kOutcomeFields};

constexpr Field<DrawShares> kSharesFields[] = {
    {"bottle_L", "", Figure::litres, "size of the bottles counted: those of the file, else 0.75",
     of<&DrawShares::bottle_l>, kAlways},
    {"last_year", "", Figure::year, "year for which drawn, new wine and bottles are given", of<&DrawShares::last_year>},
    {"as_stated", "", Figure::object, "the habit as the file has it",
     [](auto& of) { return object_of(of.as_stated, kOutcome); }, kAlways, nullptr, &kOutcome},
    {"shares", "", Figure::list, "one entry for each share, smallest first",
     [](auto& of) { return list_of(of.shares, kOutcome); }, kAlways, nullptr, &kOutcome},
};
constexpr Shape<DrawShares> kYearlyDraw{
    "yearly_draw", "What other shares drawn would bring: exact runs, 5 % to 50 % in steps of 1 %.", kSharesFields};

struct YearEnd {
  const Outlook* outlook;
  const Stock* stock;
};
constexpr Field<YearEnd> kYearEndFields[] = {
    {"date", "", Figure::date, "day at whose end this is held", [](auto& of) -> Value { return of.stock->date; }},
    {"stock", "", Figure::list, "tiers, youngest first, then tanks",
     [](auto& of) { return list_of(place_rows(*of.outlook, *of.stock), kPlace); }, kAlways, nullptr, &kPlace},
};
constexpr Shape<YearEnd> kYearEnd{"year_end", "The reserve at the end of a year, or of the run.", kYearEndFields};

Value stock_of(const PageOutput& of) {
  const auto& looks = of.runs->book.run.looks;
  if (looks.empty()) return Value::Absent{};
  return object_of({&of.runs->book, &looks.back()}, kStockOutput);
}
Value year_ends_of(const PageOutput& of) {
  std::vector<YearEnd> ends;
  for (const Stock& stock : of.runs->outlook.run.looks) ends.push_back({&of.runs->outlook, &stock});
  return list_of_later(ends, kYearEnd);
}
Value refresh_of(const PageOutput& of) {
  const auto* refresh = std::get_if<Refresh>(&of.runs->refresh);
  return refresh != nullptr ? object_of(*refresh, kRefreshOutput) : Value(Value::Absent{});
}
Value shares_of_page(const PageOutput& of) {
  return of.shares.shares.empty() ? Value(Value::Absent{}) : object_of(of.shares, kYearlyDraw);
}

constexpr Field<PageOutput> kPageFields[] = {
    {"", "", Figure::object, "", [](auto& of) { return object_of(of.runs->outlook, kHead); }, kAlways, nullptr, &kHead},
    {"stock", "", Figure::object, "`tierce stock` at the last entry of the book", stock_of, kOrAbsent, nullptr,
     &kStockOutput},
    {"forecast", "", Figure::object, "what `tierce forecast` says",
     [](auto& of) {
       return object_of({&of.runs->outlook, &of.settled}, kForecastOutput);
     },
     kAlways, nullptr, &kForecastOutput},
    {"age", "", Figure::object, "what `tierce age` says, of every draw and bottling",
     [](auto& of) {
       return object_of({&of.runs->outlook, &of.wines}, kAgeOutput);
     },
     kAlways, nullptr, &kAgeOutput},
    {"dose", "", Figure::object, "what `tierce dose` says", [](auto& of) { return dose_json(of.runs->outlook); },
     kAlways, nullptr, &kDoseOutput},
    {"refresh", "", Figure::object, "only where a refresh can be planned", refresh_of, kOrAbsent, nullptr,
     &kRefreshOutput},
    {"label", "", Figure::object, "what `tierce label` judges",
     [](auto& of) { return object_of(LabelOutput{label_of(*of.runs)}, kLabelOutput); }, kAlways, nullptr,
     &kLabelOutput},
    {"year_ends", "", Figure::list, "the ends of years, of more than 100 some, and the end of the run", year_ends_of,
     kAlways, nullptr, &kYearEnd},
    {"yearly_draw", "", Figure::object, "only where a habit draws", shares_of_page, kOrAbsent, nullptr, &kYearlyDraw},
    {"balance", "", Figure::object, "balances of the whole run",
     [](auto& of) { return object_of(of.runs->outlook.run, kBalances); }, kAlways, nullptr, &kBalances},
};

}  // namespace

const Shape<PageOutput> kReportOutput{
    "report", "All that the page shows: the reports of the other commands, every year's end, and other shares drawn.",
    kPageFields};

PageOutput::PageOutput(const ReserveRuns& of)
    : runs(&of), settled(long_run(of.outlook.scenario)), shares(draw_shares(of.outlook, of.span)) {
  for (const DrawRecord& draw : of.outlook.run.draws) wines.draws.push_back(&draw);
  for (const BottlingRecord& bottling : of.outlook.run.bottlings) wines.bottlings.push_back(&bottling);
}

}  // namespace tierce
