// The years of the log and the years to come.
#include <algorithm>
#include <cmath>

#include "cli/read/quantity_text.h"
#include "cli/read/rule_book.h"
#include "cli/report/foot.h"
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

constexpr int kBookYears = 9;           // of a long book, in the first table
constexpr std::size_t kMostYears = 30;  // of book and plan together

/// The line between what the book has and what follows.
void mark_book_end(Table& table, const Outlook& outlook, const std::vector<YearRow>& years) {
  const Date& end = outlook.line.log_end;
  const auto plan =
      std::find_if(years.begin(), years.end(), [&](const YearRow& row) { return row.year->year > end.year; });
  if (plan == years.begin() || years.back().year->closed <= end) return;
  table.rows.insert(
      table.rows.begin() + (plan - years.begin()),
      {"---- the book ends on " + day_text(end) +
       (outlook.scenario.habit.empty() ? "; no habit is stated ----" : "; what follows is the habit ----")});
}

/// What was bottled is counted with what was drawn.
Pick drawn_pick(const Outlook& outlook) {
  return {"drawn_or_bottled_L", outlook.run.bottlings.empty() ? "drawn" : "drawn,\nbottled"};
}

/// The years that a first look needs: the last of the book and those to come, where years alike share a line.
Table answer_table(const Outlook& outlook, const std::vector<YearRow>& all) {
  const int first = outlook.line.log_end.year - kBookYears;
  std::vector<YearRow> years;
  std::copy_if(all.begin(), all.end(), std::back_inserter(years),
               [&](const YearRow& row) { return row.year->year > first; });
  const std::size_t earlier = all.size() - years.size();
  if (years.size() > kMostYears) years.resize(kMostYears);
  const bool later = earlier + years.size() < all.size();
  Table table = table_of(years, kYear,
                         {"year",
                          drawn_pick(outlook),
                          "mean_y",
                          "youngest_y",
                          "alcohol_pct",
                          "sugar_g_L",
                          {"in_L", "new\nwine"},
                          "evaporated_L",
                          {"closing_L", "held"}});
  table.folds = true;
  mark_book_end(table, outlook, years);
  const auto left_out = [](const YearRow& from, const YearRow& to) {
    return std::vector<Cell>{"---- " + std::to_string(from.year->year) + " to " + std::to_string(to.year->year) +
                             ": --all ----"};
  };
  if (earlier > 0) table.rows.insert(table.rows.begin(), left_out(all.front(), all[earlier - 1]));
  if (later) table.rows.push_back(left_out(all[earlier + years.size()], all.back()));
  return table;
}

Table year_table(const Outlook& outlook, const std::vector<YearRow>& years) {
  Table table = table_of(years, kYear,
                         {"year", "opening_L", "in_L", drawn_pick(outlook), "evaporated_L", "gauge_L", "lost_L",
                          "closing_L", "alcohol_pct", "change_pct", "sugar_g_L", "mean_y", "youngest_y"});
  mark_book_end(table, outlook, years);
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

/// A year with draws, of the book's last or of those to come.
const YearRow* first_with_draws(const Outlook& outlook, const std::vector<YearRow>& years) {
  const YearRow* found = nullptr;
  for (const YearRow& row : years) {
    if (!is_known(row.ages.mean_y)) continue;
    if (row.year->year > outlook.line.log_end.year) return found != nullptr ? found : &row;
    found = &row;
  }
  return found;
}
const YearRow* last_with_draws(const std::vector<YearRow>& years) {
  const auto found =
      std::find_if(years.rbegin(), years.rend(), [](const YearRow& row) { return is_known(row.ages.mean_y); });
  return found == years.rend() ? nullptr : &*found;
}

/// "by its habit the mean age of the draws goes from 4.1 years (2026) to 4.7 (2045) and settles at 4.7"
std::string ages_to_come(const YearRow& from, const YearRow& to, const LongRun& long_run) {
  const auto age = [](double age_y) { return number_text(age_y, Figure::age, Units::metric); };
  std::string text = "the mean age of the draws ";
  if (age(from.ages.mean_y) == age(to.ages.mean_y)) text += "stays at " + age(to.ages.mean_y) + " years";
  else
    text += "goes from " + age(from.ages.mean_y) + " years (" + std::to_string(from.year->year) + ") to " +
            age(to.ages.mean_y) + " (" + std::to_string(to.year->year) + ")";
  return is_known(long_run.mean_y) ? text + " and settles at " + age(long_run.mean_y) : text;
}

/// The answer: how old the draws get, how much new wine that takes, how strong the wine gets.
std::string answer_text(const Outlook& outlook, const std::vector<YearRow>& years, const LongRun& long_run,
                        Units units) {
  const std::string reserve = outlook.scenario.reserve;
  if (const auto& stopped = outlook.run.stopped)
    return reserve + ": the habit cannot be kept beyond " + day_text(stopped->date) + ": " + stopped->problem.what +
           ".";
  const Date& end = outlook.line.log_end;
  const auto plan =
      std::find_if(years.begin(), years.end(), [&](const YearRow& row) { return row.year->year > end.year; });
  const YearRow *from = first_with_draws(outlook, years), *to = last_with_draws(years);
  if (outlook.scenario.habit.empty() || plan == years.end())
    return reserve + ": the years of the book, to " + day_text(years.back().year->closed) +
           (outlook.scenario.habit.empty() ? "; no habit is stated, so nothing is foretold." : ".");
  std::string text = reserve + ": by its habit ";
  text += from != nullptr ? ages_to_come(*from, *to, long_run) : "nothing of known age is drawn";
  double in_l = 0.0;
  for (auto row = plan; row != years.end(); ++row) in_l += row->year->litres[kIn];
  const auto strength = [](const YearRow& row) {
    return number_text(row.closing_pct(), Figure::alcohol_pct, Units::metric);
  };
  text += "; " + figure_text(in_l / static_cast<double>(years.end() - plan), Figure::litres, units) +
          " of new wine a year; strength " + strength(plan == years.begin() ? *plan : *(plan - 1)) + " to " +
          strength(years.back()) + "\xC2\xA0%vol.";
  return text;
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
  report.title = answer_text(outlook, years, long_run, units);
  report.add(answer_table(outlook, years));
  if (outlook.run.stopped) report.warn(stop_text(*outlook.run.stopped));
  for (const std::string& warning : strength_warnings(outlook)) report.say(warning);
  if (!outlook.scenario.habit.empty()) report.say(long_run_text(long_run));
  if (const std::string note = unknown_age_note(any_of_unknown_age(outlook)); !note.empty()) report.say(note);
  report.say("The draws, every year's balance, SO2, acid and cost: --all. The vintages: --chart.");
  const std::vector<DrawRow> draws = draw_rows(outlook);
  Document more;
  for (Table table : {year_table(outlook, years), draw_table(draws), bottling_table(outlook),
                      draw_detail(outlook, draws), year_detail(outlook, years), cost_table(outlook, units)})
    more.add(std::move(table));
  more.say(
      "Strength and sugar are those of all wine held at the close of the year; ages are those of the year's draws, by "
      "volume, rounded down. Free and molecular SO2 and pH are estimates. Gauge: what a measurement found missing "
      "beside the reckoned evaporation (negative: found in excess).");
  more.say(cost_note(outlook));
  report.more = std::move(more.blocks);
  close_report(report, outlook, units);
  return report;
}

}  // namespace tierce
