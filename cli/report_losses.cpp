// What was lost: gauges against the book, losses by cause, and each year beside what is allowed.
#include "cli/report_losses.h"

#include <cmath>

#include "cli/write.h"

namespace tierce {
namespace {

std::string verdict_of(const GaugeCheck& check) {
  if (!is_known(check.error_l)) return "no error stated";
  return check.beyond() ? "BEYOND" : "within";
}

Table gauge_table(const Outlook& outlook) {
  Table table{{{"gauge of"},
               {"on"},
               {"book", Figure::litres},
               {"gauge", Figure::litres},
               {"missing", Figure::small_litres},
               {"error", Figure::small_litres},
               {"the difference is"}},
              {}};
  for (const GaugeCheck& check : gauges_against_book(outlook.run))
    table.rows.push_back({place_name(outlook.scenario, check.reading->row, check.reading->vessel),
                          iso_text(check.reading->date), check.reading->book, check.reading->measured, check.missing_l,
                          check.error_l, verdict_of(check)});
  return table;
}

Table cause_table(const Outlook& outlook) {
  Table table{
      {{"lost from"}, {"on"}, {"cause"}, {"volume", Figure::small_litres}, {"pure alcohol", Figure::pure_alcohol}}, {}};
  for (const LossRecord& loss : outlook.run.losses)
    table.rows.push_back({place_name(outlook.scenario, loss.row, loss.vessel), iso_text(loss.date), loss.cause,
                          loss.litres, loss.alcohol_l});
  return table;
}

std::string verdict_of(const YearLoss& year, double allowance) {
  return year.lost_l() > year.allowed_l(allowance) ? "OVER" : "within";
}

}  // namespace

Table year_loss_table(const std::vector<YearLoss>& years, double allowance) {
  Table table{{{"year"},
               {"mean stock", Figure::litres},
               {"evaporated", Figure::small_litres},
               {"gauge", Figure::small_litres},
               {"known cause", Figure::small_litres},
               {"all", Figure::small_litres, "lost"},
               {"a year", Figure::share, "share_a_year"},
               {"pure alcohol", Figure::pure_alcohol}},
              {}};
  if (is_known(allowance)) {
    table.columns.push_back({"allowed", Figure::small_litres});
    table.columns.push_back({"that is", Figure::text, "verdict"});
  }
  for (const YearLoss& year : years) {
    std::vector<Cell> row = {
        std::to_string(year.year), year.mean_stock_l, year.evaporated_l, year.gauge_l, year.known_l, year.lost_l(),
        year.per_year(),           year.alcohol_l};
    if (is_known(allowance)) {
      row.emplace_back(year.allowed_l(allowance));
      row.emplace_back(verdict_of(year, allowance));
    }
    table.rows.push_back(std::move(row));
  }
  return table;
}

Report losses_report(const Outlook& outlook, double allowance, Units units) {
  Report report;
  const auto add = [&](Table table) {
    if (table.rows.empty()) return;
    report.parts.push_back(std::move(table));
    report.parts.push_back(Paragraph{""});
  };
  report.csv = year_loss_table(losses_by_year(outlook.run), allowance);
  report.parts.push_back(Paragraph{outlook.scenario.reserve + ": what was lost"});
  report.parts.push_back(Paragraph{""});
  add(report.csv);
  add(gauge_table(outlook));
  add(cause_table(outlook));
  if (!outlook.run.readings.empty())
    report.parts.push_back(Paragraph{
        "A gauge is beyond its error if it differs from the book by more than the stated errors of this gauge "
        "and of the one before it, as the root of the sum of their squares. Missing: negative where more was "
        "found than the book had."});
  report.parts.push_back(Paragraph{
      is_known(allowance)
          ? "Allowed: " + figure_text(allowance, Figure::share, Units::metric) +
                " a year of the mean stock, as the file or --allowance states it. Whether the law allows it is not "
                "said "
                "here."
          : "No allowance is stated; 'allowance: 4 %/yr' in the file, or --allowance, holds the years against one."});
  close_report(report, outlook, units);
  return report;
}

}  // namespace tierce
