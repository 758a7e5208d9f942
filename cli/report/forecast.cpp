// The years of the log and the years to come.
#include <algorithm>
#include <cmath>

#include "cli/read/quantity_text.h"
#include "cli/read/rule_book.h"
#include "cli/report/long_run.h"
#include "cli/report/report.h"
#include "cli/report/run_rows.h"
#include "cli/report/wine_rows.h"
#include "cli/write/write.h"
#include "engine/measure/age.h"
#include "engine/plan/long_run.h"
#include "engine/rules/strength.h"

namespace tierce {

Cell age_cell(double age_y, double at_least_y) {
  if (is_known(age_y) || !is_known(at_least_y)) return age_y;
  return number_text(at_least_y, Figure::age, Units::metric) + "+";
}

bool any_of_unknown_age(const Outlook& outlook) {
  return std::any_of(outlook.run.draws.begin(), outlook.run.draws.end(), [&](const DrawRecord& draw) {
    return age_of(outlook.line, outlook.scenario.clock, draw.wine, draw.day).unknown_fraction > 0.0;
  });
}

std::string unknown_age_note(bool any) {
  return any ? " 5.1+: at least 5.1, since part of the wine is of unknown age." : "";
}

namespace {

/// The page has no room for where a year comes from, a line between the years says it; nor for what was bottled, which
/// is counted with what was drawn.
Table year_table(const Outlook& outlook, const std::vector<YearRow>& years) {
  const char* drawn = outlook.run.bottlings.empty() ? "drawn" : "drawn,\nbottled";
  Table table = table_of(years, kYear,
                         {"year",
                          "opening_L",
                          "in_L",
                          {"drawn_or_bottled_L", drawn},
                          "evaporated_L",
                          "gauge_L",
                          "lost_L",
                          "closing_L",
                          "alcohol_pct",
                          "change_pct",
                          "sugar_g_L",
                          "mean_y",
                          "youngest_y"});
  const Date& end = outlook.line.log_end;
  const auto plan =
      std::find_if(years.begin(), years.end(), [&](const YearRow& row) { return row.year->year > end.year; });
  if (plan != years.begin() && years.back().year->closed > end)
    table.rows.insert(
        table.rows.begin() + (plan - years.begin()),
        {"---- the book ends on " + day_text(end) +
         (outlook.scenario.habit.empty() ? "; no habit is stated ----" : "; what follows is the habit ----")});
  return table;
}

Table every_year(const std::vector<YearRow>& years) {
  return table_of(years, kYear,
                  {"year", "from", "opening_L", "in_L", "drawn_L", "bottled_L", "evaporated_L", "gauge_L", "lost_L",
                   "closing_L", "alcohol_pct", "change_pct", "sugar_g_L", "mean_y", "youngest_y"});
}

Table draw_table(const std::vector<DrawRow>& draws) {
  return table_of(draws, kDraw,
                  {"name",
                   "date",
                   "from",
                   {"volume_L", "volume"},
                   "alcohol_pct",
                   "sugar_g_L",
                   "age/mean_or_bound",
                   "age/youngest_or_bound",
                   "age/oldest_or_bound"});
}

/// What the table of draws has no room for: SO2, and for spirits, which are sold and taxed by it, the pure alcohol.
Table draw_detail(const Outlook& outlook, const std::vector<DrawRow>& draws) {
  std::vector<Pick> picks = {{"name", "in the draw"}};
  if (std::any_of(draws.begin(), draws.end(), [](auto& row) { return row.draw->wine.solutes[kSo2Total] > 0.0; }))
    picks.insert(picks.end(),
                 {{"so2_total_mg_L", "total SO2"}, {"so2_free", "free SO2"}, {"so2_molecular", "molecular SO2"}, "pH"});
  if (holds_spirits(outlook)) picks.insert(picks.end(), {"alcohol_L", "proof_gal"});
  return picks.size() > 1 ? table_of(draws, kDraw, picks) : Table{};
}

/// What the first table has no room for: acids, and for spirits pure alcohol and proof gallons.
Table year_detail(const Outlook& outlook, std::vector<YearRow> years) {
  const bool acids = std::any_of(years.begin(), years.end(), [](const YearRow& row) {
    return is_known(row.year->acid_g) || is_known(row.year->volatile_acid_g);
  });
  std::vector<Pick> picks = {{"year", "at the close of"}};
  if (acids) picks.insert(picks.end(), {"acidity_g_L", "volatile_g_L"});
  if (holds_spirits(outlook))
    picks.insert(picks.end(), {"closing_alcohol_L", "held_proof_gal", "drawn_alcohol_L", "evaporated_alcohol_L"});
  std::erase_if(years, [](const YearRow& row) { return !(row.year->closing_l > 0.0); });
  return picks.size() > 1 ? table_of(years, kYear, picks) : Table{};
}

/// On the scale of a rule, which is named where it is not the book's.
std::string strength_text(const DrawRecord& draw, double at_c) {
  return figure_text(strength_on_scale(strength_of(draw), at_c), Figure::alcohol_pct, Units::metric) +
         (at_c == kStrengthC ? "" : " at 60 °F");
}

/// The draws at which the strength passes into another class.
std::vector<std::string> class_warnings(const Outlook& outlook) {
  std::vector<std::string> lines;
  const auto& draws = outlook.run.draws;
  for (const Crossing& crossing : crossings(draws, boundaries_of(outlook.scenario))) {
    lines.push_back("Strength: " + draws[crossing.draw].name + ", at " +
                    strength_text(draws[crossing.draw], crossing.boundary.strength_at_c) + ", is the first " +
                    (crossing.upward ? "above " : "not above ") +
                    figure_text(crossing.boundary.pct, Figure::whole, Units::metric) + " %vol (" +
                    crossing.boundary.meaning + "; " + crossing.boundary.source + ").");
  }
  return lines;
}

/// For each strength that a claim states under a rule with a tolerance: the first draw that leaves it.
std::vector<std::string> stated_strength_warnings(const Outlook& outlook) {
  std::vector<std::string> lines;
  for (const Claim& claim : outlook.scenario.claims) {
    const Rule* rule = rules_of(outlook.scenario).find(claim.rule);
    if (claim.say != Say::alcohol || rule == nullptr || rule->quantity != "difference from the stated strength")
      continue;
    const auto& draws = outlook.run.draws;
    const double stated = claim.stated_in_proof ? strength_on_scale(claim.stated, rule->strength_at_c) : claim.stated;
    const std::size_t first = first_outside(draws, stated, rule->limit, rule->strength_at_c);
    const std::string within = "within " + figure_text(rule->limit, Figure::alcohol_pct, Units::metric) +
                               " of the stated " + figure_text(stated, Figure::alcohol_pct, Units::metric) + " (" +
                               rule->id + ", " + rule->source.where + ")";
    if (first == draws.size()) lines.push_back("Strength: every draw stays " + within + ".");
    else
      lines.push_back("Strength: " + draws[first].name + ", at " + strength_text(draws[first], rule->strength_at_c) +
                      ", is the first not " + within + ".");
  }
  return lines;
}

std::string long_run_text(const LongRun& long_run) {
  if (!is_known(long_run.mean_y) && !is_known(long_run.half_life_y))
    return "The long run: not known, because " + why_text(long_run.why_not) + ".";
  std::string text = "If the habit goes on without exceptions, ";
  text += is_known(long_run.mean_y)
              ? "its draws settle at a mean age of " + figure_text(long_run.mean_y, Figure::age, Units::metric)
              : why_text(long_run.why_not);
  if (is_known(long_run.half_life_y))
    text +=
        ", and the share of today's wine halves every " + figure_text(long_run.half_life_y, Figure::age, Units::metric);
  return text + ".";
}

/// "THE FORECAST STOPS on 10 Feb 2031: why; what helps."
std::string stop_text(const Stop& stopped) {
  return "THE FORECAST STOPS on " + day_text(stopped.date) + ": " + stopped.problem.what +
         (stopped.problem.hint.empty() ? "" : "; " + stopped.problem.hint) + ".";
}

}  // namespace

std::vector<std::string> strength_warnings(const Outlook& outlook) {
  std::vector<std::string> lines = class_warnings(outlook);
  for (std::string& line : stated_strength_warnings(outlook)) lines.push_back(std::move(line));
  return lines;
}

Document forecast_report(const Outlook& outlook, const LongRun& long_run, Units units) {
  Document report;
  const std::vector<YearRow> years = year_rows(outlook);
  report.csv = every_year(years);
  if (years.empty()) {
    report.title = outlook.scenario.reserve + ": nothing has happened yet and no habit is stated.";
    return report;
  }
  report.title = outlook.scenario.reserve + ": year by year from " + std::to_string(years.front().year->year) + " to " +
                 day_text(years.back().year->closed);
  report.add(year_table(outlook, years));
  if (outlook.run.stopped) {
    report.warn(stop_text(*outlook.run.stopped));
    report.gap();
  }
  const std::vector<DrawRow> draws = draw_rows(outlook);
  for (Table table : {draw_table(draws), bottling_table(outlook), draw_detail(outlook, draws),
                      year_detail(outlook, years), cost_table(outlook, units)})
    report.add(std::move(table));
  for (const std::string& warning : strength_warnings(outlook)) report.say(warning);
  report.say(
      "Strength and sugar are those of all wine held at the close of the year; ages are those of the year's draws, by "
      "volume, rounded down. Free and molecular SO2 and pH are estimates. Gauge: what a measurement found missing "
      "beside "
      "the reckoned evaporation (negative: found in excess)." +
      unknown_age_note(any_of_unknown_age(outlook)));
  report.say(cost_note(outlook));
  if (!outlook.scenario.habit.empty()) report.say(long_run_text(long_run));
  close_report(report, outlook, units);
  return report;
}

}  // namespace tierce
