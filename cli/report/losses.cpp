// What was lost: gauges against the book, losses by cause, and each year beside what is allowed.
#include "cli/report/losses.h"

#include <algorithm>
#include <cmath>

#include "cli/read/rule_book.h"
#include "cli/report/label_words.h"
#include "cli/write/write.h"

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
  constexpr double kRounding = 1e-9;  // a loss at the allowance itself is within it
  return year.lost_l() > year.allowed_l(allowance) * (1.0 + kRounding) ? "OVER" : "within";
}

/// What the rules of the file say of each annual period of the book.
Table rule_table(const RulesOnLosses& rules) {
  Table table{{{"losses of"}, {"rule"}, {"found"}, {"limit"}, {"verdict"}}, {}};
  for (const Judgement& row : rules.rows)
    if (!is_idle(row))
      table.rows.push_back({loss_row_name(*row.year), row.rule->id, value_text(row), limit_text(row), claim_word(row)});
  return table;
}

void say_rules(Report& report, const RulesOnLosses& rules) {
  std::string about;
  for (const Judgement& row : rules.rows) {
    std::string line = row.rule->id + ": " + row.rule->about + ", " + source_text(*row.rule) + ".";
    if (!is_idle(row) && about.find(line) == std::string::npos) about += (about.empty() ? "" : " ") + line;
    line = "Open: " + why_text(row, {}) + ".";
    if (row.verdict == Verdict::open && !is_idle(row) && about.find(line) == std::string::npos) about += " " + line;
  }
  if (!about.empty()) report.parts.push_back(Paragraph{about});
}

}  // namespace

RulesOnLosses rules_on_losses(const Outlook& outlook) {
  RulesOnLosses found;
  const Scenario& scenario = outlook.scenario;
  const auto sets = sets_of(scenario, {});
  if (sets.empty() || outlook.run.looks.empty()) return found;
  const Stock& stock = outlook.run.looks.back();
  LabelFacts facts;
  facts.words = scenario.label;
  const double pct = 100.0 * stock.alcohol.sum() / stock.volume.sum();
  const bool fortified = std::any_of(scenario.lots.begin(), scenario.lots.end(),
                                     [](const Lot& lot) { return lot.spirit && lot.spirit->volume_l > 0.0; });
  if (!facts.words.contains("product") && is_known(pct)) facts.words["product"] = product_by_strength(pct, fortified);
  found.years = losses_by_period(outlook, rules_of(scenario));
  for (const LossYears& years : found.years)
    for (Judgement& row : judge_years(rules_of(scenario), sets, years.periods, facts))
      found.rows.push_back(std::move(row));
  return found;
}

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
  const RulesOnLosses rules = rules_on_losses(outlook);
  add(rule_table(rules));
  say_rules(report, rules);
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
                " a year of wine that stays a whole year, as the evaporation of a tier is stated, worked out from the "
                "mean stock; the file or --allowance states it. Whether the law allows it is not said here."
          : "No allowance is stated; 'allowance: 4 %/yr' in the file, or --allowance, holds the years against one."});
  close_report(report, outlook, units);
  return report;
}

}  // namespace tierce
