// The years of the log and the years to come.
#include <algorithm>
#include <cmath>
#include <optional>

#include "cli/read/quantity_text.h"
#include "cli/read/rule_book.h"
#include "cli/report/report.h"
#include "cli/report/so2_text.h"
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

AgesOfYear ages_of_year(const Outlook& outlook, int year) {
  double litres = 0.0;
  AgesOfYear ages{0.0, INFINITY, 0.0, INFINITY};
  for (const DrawRecord& draw : outlook.run.draws) {
    if (draw.date.year != year || draw.again) continue;
    const AgeSummary age = age_of(outlook.line, outlook.scenario.clock, draw.wine, draw.day);
    litres += draw.volume_l;
    ages.mean_y += draw.volume_l * age.mean_y;
    ages.mean_at_least_y += draw.volume_l * age.mean_at_least_y;
    ages.youngest_y = is_known(age.youngest_y) ? std::min(ages.youngest_y, age.youngest_y) : kUnknown;
    ages.youngest_at_least_y = std::min(ages.youngest_at_least_y, age.youngest_at_least_y);
  }
  if (litres == 0.0) return {};
  ages.mean_y /= litres;
  ages.mean_at_least_y /= litres;
  return ages;
}

namespace {

/// Whether a year stands in the book, in the plan, or in both.
std::string origin_of(const Outlook& outlook, const YearFlows& year) {
  const Date& end = outlook.line.log_end;
  if (year.year > end.year) return "plan";
  return year.closed <= end || year.year < end.year ? "book" : "both";
}

Table year_table(const Outlook& outlook) {
  Table table{{{"year"},
               {"from"},
               {"opening", Figure::litres},
               {"in", Figure::litres},
               {"drawn", Figure::litres},
               {"bottled", Figure::litres},
               {"evap.", Figure::litres, "evaporated"},
               {"gauge", Figure::litres},
               {"lost", Figure::litres},
               {"closing", Figure::litres},
               {"strength", Figure::alcohol_pct},
               {"change", Figure::alcohol_change},
               {"sugar", Figure::grams_per_litre},
               {"mean\nage", Figure::age, "mean_age"},
               {"youngest", Figure::age}},
              {}};
  double before_pct = kUnknown;
  for (const YearFlows& year : outlook.run.flows.years) {
    const double pct = year.closing_l > 0.0 ? 100.0 * year.closing_alcohol_l / year.closing_l : kUnknown;
    const AgesOfYear ages = ages_of_year(outlook, year.year);
    table.rows.push_back(
        {std::to_string(year.year), origin_of(outlook, year), year.litres[kOpening], year.litres[kIn],
         year.litres[kDrawn], year.litres[kBottled], year.litres[kEvaporated], year.litres[kGauged], year.litres[kLost],
         year.closing_l, pct, pct - before_pct, year.closing_l > 0.0 ? year.sugar_g / year.closing_l : kUnknown,
         age_cell(ages.mean_y, ages.mean_at_least_y), age_cell(ages.youngest_y, ages.youngest_at_least_y)});
    before_pct = pct;
  }
  return table;
}

Table draw_table(const Outlook& outlook) {
  Table table{{{"draw"},
               {"date"},
               {"from"},
               {"volume", Figure::litres},
               {"strength", Figure::alcohol_pct},
               {"sugar", Figure::grams_per_litre},
               {"mean age", Figure::age},
               {"youngest", Figure::age},
               {"oldest", Figure::age}},
              {}};
  for (const DrawRecord& draw : outlook.run.draws) {
    const AgeSummary age = age_of(outlook.line, outlook.scenario.clock, draw.wine, draw.day);
    table.rows.push_back({draw.name, iso_text(draw.date), outlook.scenario.name_of(draw.row), draw.volume_l,
                          strength_of(draw), draw.wine.solutes[kSugar] / draw.volume_l,
                          age_cell(age.mean_y, age.mean_at_least_y), age_cell(age.youngest_y, age.youngest_at_least_y),
                          age_cell(age.oldest_y, age.oldest_at_least_y)});
  }
  return table;
}

/// What the table of draws has no room for: SO2, and for spirits, which are sold and taxed by it, the pure alcohol.
std::optional<Table> draw_detail(const Outlook& outlook) {
  const auto& draws = outlook.run.draws;
  const bool sulfur = std::any_of(draws.begin(), draws.end(),
                                  [](const DrawRecord& draw) { return draw.wine.solutes[kSo2Total] > 0.0; });
  const bool spirits = holds_spirits(outlook);
  if (!sulfur && !spirits) return std::nullopt;
  Table table{{{"in the draw"}}, {}};
  if (sulfur)
    table.columns.insert(table.columns.end(), {{"total SO2", Figure::milligrams_per_litre},
                                               {"free SO2", Figure::milligrams_per_litre},
                                               {"molecular SO2", Figure::fine_milligrams_per_litre},
                                               {"pH", Figure::ph}});
  if (spirits)
    table.columns.insert(table.columns.end(), {{"pure alcohol", Figure::pure_alcohol}, {"", Figure::proof_gallons}});
  for (const DrawRecord& draw : draws) {
    std::vector<Cell> row = {draw.name};
    if (sulfur)
      row.insert(row.end(), {draw.wine.solutes[kSo2Total] / draw.volume_l, free_text(sulfur_of(draw)),
                             molecular_text(outlook.scenario, sulfur_of(draw)), draw.ph});
    const double alcohol_l = draw.wine.alcohol.sum();
    if (spirits) row.insert(row.end(), {alcohol_l, proof_gallons_of(draw.volume_l, alcohol_l)});
    table.rows.push_back(std::move(row));
  }
  return table;
}

/// What the first table has no room for: acids, and for spirits pure alcohol and proof gallons.
std::optional<Table> year_detail(const Outlook& outlook) {
  const auto& years = outlook.run.flows.years;
  const bool acids = std::any_of(years.begin(), years.end(), [](const YearFlows& year) {
    return is_known(year.acid_g) || is_known(year.volatile_acid_g);
  });
  const bool spirits = holds_spirits(outlook);
  if (!acids && !spirits) return std::nullopt;
  Table table{{{"at the close of"}}, {}};
  if (acids)
    table.columns.insert(table.columns.end(),
                         {{"acid", Figure::fine_grams_per_litre}, {"volatile", Figure::fine_grams_per_litre}});
  if (spirits)
    table.columns.insert(table.columns.end(), {{"pure alcohol\nheld", Figure::pure_alcohol},
                                               {"held", Figure::proof_gallons},
                                               {"pure alcohol\ndrawn", Figure::pure_alcohol},
                                               {"pure alcohol\nevaporated", Figure::pure_alcohol}});
  for (const YearFlows& year : years) {
    if (!(year.closing_l > 0.0)) continue;
    std::vector<Cell> row = {std::to_string(year.year)};
    if (acids) row.insert(row.end(), {year.acid_g / year.closing_l, year.volatile_acid_g / year.closing_l});
    if (spirits)
      row.insert(row.end(), {year.closing_alcohol_l, proof_gallons_of(year.closing_l, year.closing_alcohol_l),
                             year.alcohol[kDrawn], year.alcohol[kEvaporated]});
    table.rows.push_back(std::move(row));
  }
  return table;
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
    return "The long run: not known, because " + long_run.why_not + ".";
  std::string text = "If the habit goes on without exceptions, ";
  text += is_known(long_run.mean_y)
              ? "its draws settle at a mean age of " + figure_text(long_run.mean_y, Figure::age, Units::metric)
              : long_run.why_not;
  if (is_known(long_run.half_life_y))
    text +=
        ", and the share of today's wine halves every " + figure_text(long_run.half_life_y, Figure::age, Units::metric);
  return text + ".";
}

/// The page has no room for a column of what was bottled: it is counted with what was drawn.
void fold_bottled(Table& table, bool any) {
  constexpr std::ptrdiff_t kDrawn = 3;  // bottled stands behind it
  for (auto& row : table.rows) {
    auto& drawn = std::get<double>(row[kDrawn]);
    drawn += std::get<double>(row[kDrawn + 1]);
    row.erase(row.begin() + kDrawn + 1);
  }
  table.columns.erase(table.columns.begin() + kDrawn + 1);
  if (any) table.columns[kDrawn].name = "drawn,\nbottled";
}

/// The page has no room for the column that says where a year comes from; a line between the years says it.
Table year_table_on_page(const Outlook& outlook, Table table) {
  const Date& end = outlook.line.log_end;
  table.columns.erase(table.columns.begin() + 1);
  std::size_t book_years = 0;
  for (auto& row : table.rows) {
    if (std::get<std::string>(row[1]) != "plan") ++book_years;
    row.erase(row.begin() + 1);
  }
  fold_bottled(table, !outlook.run.bottlings.empty());
  if (book_years > 0 && outlook.run.flows.years.back().closed > end)
    table.rows.insert(
        table.rows.begin() + static_cast<std::ptrdiff_t>(book_years),
        {std::string("---- the book ends on ") + day_text(end) +
         (outlook.scenario.habit.empty() ? "; no habit is stated ----" : "; what follows is the habit ----")});
  return table;
}

/// "THE FORECAST STOPS on 10 Feb 2031: why; what helps."
std::string stop_text(const Stop& stopped) {
  return "THE FORECAST STOPS on " + day_text(stopped.date) + ": " + stopped.problem.what +
         (stopped.problem.hint.empty() ? "" : "; " + stopped.problem.hint) + ".";
}

}  // namespace

Report forecast_report(const Outlook& outlook, const LongRun& long_run, Units units) {
  Report report;
  const auto& years = outlook.run.flows.years;
  report.csv = year_table(outlook);
  if (years.empty()) {
    report.parts.push_back(Paragraph{outlook.scenario.reserve + ": nothing has happened yet and no habit is stated."});
    return report;
  }
  report.parts.push_back(Paragraph{outlook.scenario.reserve + ": year by year from " +
                                   std::to_string(years.front().year) + " to " + day_text(years.back().closed)});
  report.parts.push_back(Paragraph{""});
  report.parts.push_back(year_table_on_page(outlook, report.csv));
  report.parts.push_back(Paragraph{""});
  if (outlook.run.stopped) report.parts.push_back(Paragraph{stop_text(*outlook.run.stopped)});
  if (outlook.run.stopped) report.parts.push_back(Paragraph{""});
  if (!outlook.run.draws.empty()) {
    report.parts.push_back(draw_table(outlook));
    report.parts.push_back(Paragraph{""});
  }
  if (auto bottled = bottling_table(outlook)) {
    report.parts.push_back(std::move(*bottled));
    report.parts.push_back(Paragraph{""});
  }
  for (const auto& detail : {draw_detail(outlook), year_detail(outlook), cost_table(outlook, units)}) {
    if (!detail) continue;
    report.parts.push_back(*detail);
    report.parts.push_back(Paragraph{""});
  }
  for (const std::string& warning : class_warnings(outlook)) report.parts.push_back(Paragraph{warning});
  for (const std::string& warning : stated_strength_warnings(outlook)) report.parts.push_back(Paragraph{warning});
  report.parts.push_back(
      Paragraph{"Strength and sugar are those of all wine held at the close of the year; ages are those of the year's "
                "draws, by volume, rounded down. Free and molecular SO2 and pH are estimates. "
                "Gauge: what a measurement found missing beside the reckoned evaporation (negative: found in excess)." +
                unknown_age_note(any_of_unknown_age(outlook))});
  if (const std::string note = cost_note(outlook); !note.empty()) report.parts.push_back(Paragraph{note});
  if (!outlook.scenario.habit.empty()) report.parts.push_back(Paragraph{long_run_text(long_run)});
  close_report(report, outlook, units);
  return report;
}

}  // namespace tierce
