#include "cli/report/target.h"

#include <algorithm>
#include <cmath>

#include "cli/read/suggest.h"
#include "cli/report/report.h"
#include "cli/write/write.h"
#include "engine/plan/long_run.h"

namespace tierce {
namespace {

void say(Report& report, const std::string& text) { report.parts.push_back(Paragraph{text}); }
void leave_a_line(Report& report) { say(report, ""); }

std::string years_text(double years) { return figure_text(years, Figure::age, Units::metric); }
std::string exactly(double years) { return trimmed_text(years, 2) + (years == 1.0 ? " year" : " years"); }

/// Rounded down, so that what is printed does keep the age.
Cell at_most_litres(double litres, Units units) {
  if (!is_known(litres)) return litres;
  return decimal_text(in_shown_unit(litres, Figure::small_litres, units), 1, true);
}

bool found(const LargestShare& largest) {
  return largest.limit == LargestShare::Limit::age || largest.limit == LargestShare::Limit::wine;
}

// The largest draws for one age.

std::vector<Column> draw_columns() {
  return {{"of what is\nheld", Figure::share, "share of what is held"},
          {"drawn\na year", Figure::small_litres, "drawn a year"},
          {"of the\nfull stock", Figure::share, "share of the full stock"},
          {"new wine\na year", Figure::small_litres, "new wine a year"}};
}

void add_draw(std::vector<Cell>& row, const ShareTrial& trial, Units units) {
  row.insert(row.end(),
             {trial.share, at_most_litres(trial.drawn_l_y, units), trial.part_of_full(), trial.new_wine_l_y});
}

std::string limit_text(const LargestShare& largest) {
  switch (largest.limit) {
    case LargestShare::Limit::age: return "the age";
    case LargestShare::Limit::wine: return "the wine";
    case LargestShare::Limit::never: return "never";
    case LargestShare::Limit::unknown: break;
  }
  return "not known";
}

struct Horizon {
  std::string name;
  const LargestShare AgeTarget::*largest;
  bool least;
};

std::vector<Horizon> horizons(const TargetAnswer& answer) {
  return {{"in the long run", &AgeTarget::in_the_long_run, false},
          {"last draw, " + std::to_string(answer.last_year), &AgeTarget::at_the_last, false},
          {"every draw to come", &AgeTarget::at_every, true}};
}

std::string short_weighting(AgeKind kind) {
  if (kind == AgeKind::by_alcohol) return "alcohol";
  return kind == AgeKind::by_solids ? "solids" : kind == AgeKind::youngest ? "youngest" : "volume";
}

Table largest_table(const TargetAnswer& answer, const std::vector<const AgeTarget*>& group, Units units) {
  Table table{{{"kept"}, {"by"}}, {}};
  for (const Column& column : draw_columns()) table.columns.push_back(column);
  table.columns.push_back({"age\nthen", Figure::age});
  table.columns.push_back({"limit"});
  for (const Horizon& horizon : horizons(answer))
    for (const AgeTarget* target : group) {
      const LargestShare& largest = target->*horizon.largest;
      std::vector<Cell> row = {target == group.front() ? horizon.name : std::string(), short_weighting(target->kind)};
      if (found(largest)) add_draw(row, largest.at, units);
      else row.insert(row.end(), 4, std::string("-"));
      row.emplace_back((horizon.least ? largest.at.least : largest.at.last)[target->kind]);
      row.emplace_back(limit_text(largest));
      table.rows.push_back(std::move(row));
    }
  return table;
}

bool any_never(const std::vector<const AgeTarget*>& group) {
  return std::any_of(group.begin(), group.end(), [](const AgeTarget* target) {
    const auto never = [](const LargestShare& largest) { return largest.limit == LargestShare::Limit::never; };
    return never(target->in_the_long_run) || never(target->at_the_last) || never(target->at_every);
  });
}

// Under the habit as it is.

std::string when(const std::optional<AgedDraw>& draw) {
  if (!draw) return "-";
  return day_text(draw->date) + (draw->past ? ", in the book" : "");
}

Table habit_table(const std::vector<const AgeTarget*>& group) {
  Table table{{{"habit"},
               {"settles\nat", Figure::age},
               {"ceiling", Figure::age},
               {"first reached"},
               {"kept from"},
               {"last had"}},
              {}};
  for (const AgeTarget* target : group) {
    const bool reached = target->dates.reached.has_value();
    table.rows.push_back({short_weighting(target->kind), target->long_run_y,
                          target->no_ceiling ? Cell(std::string("none")) : Cell(target->ceiling_y),
                          reached                 ? when(target->dates.reached)
                          : target->dates.near    ? std::string("nears it only")
                          : target->dates.unknown ? std::string("not known")
                                                  : "not by " + std::to_string(target->dates.looked_until),
                          reached && !target->dates.kept_from ? std::string("not kept") : when(target->dates.kept_from),
                          when(target->dates.lost)});
  }
  return table;
}

std::vector<std::vector<const AgeTarget*>> groups_of(const TargetAnswer& answer) {
  std::vector<std::vector<const AgeTarget*>> groups;
  for (const AgeTarget& target : answer.targets) {
    const bool again = !groups.empty() && groups.back().front()->wanted_y == target.wanted_y &&
                       target.kind != AgeKind::youngest && target.kind != AgeKind::by_volume;
    if (!again) groups.emplace_back();
    groups.back().push_back(&target);
  }
  return groups;
}

/// Of the ages that the draws settle at without ever having them; empty where there are none.
std::string near_text(const std::vector<const AgeTarget*>& group) {
  std::vector<std::string> weightings;
  const AgeTarget* latest = nullptr;
  for (const AgeTarget* target : group) {
    if (!target->dates.near) continue;
    weightings.push_back(short_weighting(target->kind));
    if (latest == nullptr || target->dates.near->date > latest->dates.near->date) latest = target;
  }
  if (latest == nullptr) return "";
  return "Just " + exactly(latest->wanted_y) + " (" + listed(weightings) +
         ") is what the draws settle at: they come nearer to it every time and never have it. From " +
         when(latest->dates.near) + " on they lack " + trimmed_text(kNearY, 2) + " years or less.";
}

void report_target(Report& report, const TargetAnswer& answer, const std::vector<const AgeTarget*>& group,
                   Units units) {
  const AgeTarget& first = *group.front();
  say(report, (first.kind == AgeKind::youngest ? "Youngest part of " : "Mean age of ") + exactly(first.wanted_y) +
                  ": the largest draw that keeps it, the same share each time" +
                  (first.asked_by == "claim" ? " (a claim of the file)" : ""));
  leave_a_line(report);
  report.parts.push_back(largest_table(answer, group, units));
  leave_a_line(report);
  if (any_never(group)) {
    say(report, "Never: no draw keeps it; the age is the highest that any draw gives.");
    leave_a_line(report);
  }
  report.parts.push_back(habit_table(group));
  leave_a_line(report);
  if (const std::string near = near_text(group); !near.empty()) {
    say(report, near);
    leave_a_line(report);
  }
  for (const AgeTarget* target : group)
    if (target->impossible())
      say(report, "Never a " + target_text(*target) + ": " + why_never(answer, *target) +
                      ". Possible: " + what_would(answer, *target) + ".");
  if (std::any_of(group.begin(), group.end(), [](const AgeTarget* target) { return target->impossible(); }))
    leave_a_line(report);
}

// Round ages, and where the habit leads.

void report_ages(Report& report, const TargetAnswer& answer, Units units) {
  if (!answer.why_no_search.empty()) {
    say(report, "In the long run: no draw can be tried, because " + answer.why_no_search + ".");
    leave_a_line(report);
    return;
  }
  say(report, "The largest draw that keeps a mean age in the long run, by volume");
  leave_a_line(report);
  Table table{{{"mean\nage", Figure::age}}, {}};
  for (const Column& column : draw_columns()) table.columns.push_back(column);
  const auto add = [&](double mean_y, const ShareTrial& trial) {
    table.rows.push_back({mean_y});
    add_draw(table.rows.back(), trial, units);
  };
  add(answer.most_y, answer.most);
  for (const AgeRow& row : answer.ages) add(row.mean_y, row.at);
  report.parts.push_back(table);
  leave_a_line(report);
  say(report,
      "The first line is the most that the wine allows" +
          (answer.why_no_more.empty() ? "" : "; with more, " + answer.why_no_more) +
          ". Of what is held: of the last tier, just before the draw. Of the full stock: of all tiers together, "
          "just after the refill. A largest draw is rounded down.");
}

std::string apart(double difference) {
  return std::abs(difference) < 1e-9 ? "less than 0.000000001" : trimmed_text(std::abs(difference), 9);
}

void report_long_run(Report& report, const TargetAnswer& answer, Units units) {
  const LongRun& settled = answer.long_run;
  if (!is_known(settled.half_life_y)) {
    say(report, "The long run of the habit: not known, because " + settled.why_not + ".");
    return;
  }
  std::string text = "The long run of the habit, its exceptions left out: ";
  text += is_known(settled.mean_y)
              ? "the draws settle at a mean age of " + years_text(settled.mean_y) + " by volume, " +
                    number_text(settled.mean_by_alcohol_y, Figure::age, Units::metric) + " by alcohol, " +
                    number_text(settled.mean_by_solids_y, Figure::age, Units::metric) +
                    " by what does not evaporate; the youngest part has " + years_text(settled.youngest_y) + ". "
              : settled.why_not + ". ";
  text += "It draws " + figure_text(settled.drawn_l_y, Figure::litres, units) + " a year of " +
          figure_text(settled.full_l, Figure::litres, units) + ", and takes " +
          figure_text(settled.new_wine_l_y, Figure::litres, units) + " of new wine.";
  say(report, text);
  const bool one = settled.period_y == 1.0;
  say(report, "Memory: " + std::string(one ? "a year" : exactly(settled.period_y)) + " later " +
                  trimmed_text(100.0 * settled.largest_eigenvalue, 2) +
                  " % is left of what lies there longest (the largest eigenvalue of the matrix of " +
                  (one ? "a year" : "that time") + "), so that the share of a vintage halves every " +
                  years_text(settled.half_life_y) + ".");
  const LongRunCheck& check = answer.check;
  if (!check.why_not.empty() || !is_known(check.mean_y) || !is_known(settled.mean_y)) return;
  say(report, "Checked by plain simulation: a run of " + std::to_string(check.years) + " years ends at " +
                  trimmed_text(check.mean_y, 4) + " years, " + apart(check.mean_y - settled.mean_y) +
                  " years off; after " + exactly(check.memory_years) + " " +
                  trimmed_text(100.0 * check.left_by_run, 2) + " % of the first wine is left, by the matrix " +
                  trimmed_text(100.0 * check.left_by_matrix, 2) + " %.");
}

Table csv_table(const TargetAnswer& answer) {
  Table table{{{"age"}, {"by"}, {"wanted", Figure::exact_age}, {"kept"}}, {}};
  for (const Column& column : draw_columns()) table.columns.push_back(column);
  for (const Column& column : {Column{"age then", Figure::exact_age}, Column{"limit"}}) table.columns.push_back(column);
  constexpr const char* kLimits[] = {"age", "wine", "never", "unknown"};
  for (const AgeTarget& target : answer.targets)
    for (const Horizon& horizon : horizons(answer)) {
      const LargestShare& largest = target.*horizon.largest;
      std::vector<Cell> row = {std::string(target.kind == AgeKind::youngest ? "youngest" : "mean"),
                               short_weighting(target.kind), target.wanted_y, horizon.name};
      const ShareTrial& at = largest.at;
      if (found(largest)) row.insert(row.end(), {at.share, at.drawn_l_y, at.part_of_full(), at.new_wine_l_y});
      else row.insert(row.end(), 4, kUnknown);
      row.emplace_back((horizon.least ? at.least : at.last)[target.kind]);
      row.emplace_back(std::string(kLimits[static_cast<int>(largest.limit)]));
      table.rows.push_back(std::move(row));
    }
  for (const AgeRow& one : answer.ages)
    table.rows.push_back({std::string("mean"), std::string("volume"), one.mean_y, std::string("in the long run"),
                          one.at.share, one.at.drawn_l_y, one.at.part_of_full(), one.at.new_wine_l_y, one.mean_y,
                          std::string("age")});
  return table;
}

/// In one tier the ceiling is the age of the new wine and one over the loss.
std::string one_tier_text(const TargetAnswer& answer, const AgeTarget& target) {
  const Tier& tier = answer.outlook.scenario.tiers.front();
  const double loss = tier.evaporation.per_year;
  const bool share = tier.evaporation.kind == Evaporation::Kind::share && loss > 0.0;
  if (answer.outlook.scenario.tier_count() > 1 || !share) return "";
  const double waits_y = target.ceiling_y - answer.long_run.entry_age_y;
  if (!(std::abs(waits_y - 1.0 / loss) < 1e-4)) return "";
  return " (with " + trimmed_text(100.0 * loss, 2) + " %/yr of loss " + trimmed_text(1.0 / loss, 2) +
         " years and the age of the new wine)";
}

/// What is known where the least draws have no lasting state, as a vapour that is as strong as the wine takes all its
/// alcohol: the highest age that was found.
std::string why_no_ceiling_known(const TargetAnswer& answer, const AgeTarget& target) {
  const Scenario& scenario = answer.outlook.scenario;
  double strongest_pct = 0.0;
  for (const Lot& lot : scenario.lots) strongest_pct = std::max(strongest_pct, lot.wine.alcohol_pct);
  std::vector<std::string> tiers;
  for (const Tier& tier : scenario.tiers)
    if (tier.evaporation.per_year > 0.0 && tier.vapour_pct >= strongest_pct) tiers.push_back(tier.name);
  std::string text = "no draw that was tried comes to it";
  const ShareTrial& best = target.in_the_long_run.at;
  if (is_known(best.last[target.kind]))
    text += ", the highest age is " + years_text(best.last[target.kind]) + " with " +
            figure_text(best.share, Figure::share, Units::metric) + " of what is held";
  text += "; with next to nothing drawn the wine has no lasting state";
  if (!tiers.empty())
    text += ": what evaporates from " + listed(tiers) + " is as strong as the wine or stronger, and takes its alcohol";
  return text;
}

}  // namespace

std::string weighting_text(AgeKind kind) {
  if (kind == AgeKind::by_alcohol) return ", by alcohol";
  if (kind == AgeKind::by_solids) return ", by what does not evaporate";
  return kind == AgeKind::youngest ? "" : ", by volume";
}

std::string target_text(const AgeTarget& target) {
  return (target.kind == AgeKind::youngest ? "youngest part of " : "mean age of ") + exactly(target.wanted_y) +
         weighting_text(target.kind);
}

std::string why_never(const TargetAnswer& answer, const AgeTarget& target) {
  const Scenario& scenario = answer.outlook.scenario;
  const std::string entry = is_known(answer.long_run.entry_age_y)
                                ? "the new wine is " + years_text(answer.long_run.entry_age_y) + " old when it enters"
                                : "new wine keeps coming in";
  if (target.in_the_long_run.limit == LargestShare::Limit::unknown)
    return "the forecast to " + std::to_string(answer.last_year) + " comes to " +
           upper_figure_text(target.at_the_last.highest_y, Figure::age, Units::metric) +
           " at most, however little is drawn";
  if (target.kind == AgeKind::youngest)
    return entry + ", and " +
           (scenario.tier_count() == 1 ? "one tier" : std::to_string(scenario.tier_count()) + " tiers") +
           " and the time between two refreshes bring its youngest part to " + years_text(target.ceiling_y) +
           ", whatever is drawn";
  if (!is_known(target.ceiling_y)) return why_no_ceiling_known(answer, target);
  return "what evaporates is made good with new wine, and " + entry + ": the mean age stays below " +
         at_least_text(target.ceiling_y, 2) + " years, however little is drawn" + one_tier_text(answer, target);
}

std::string what_would(const TargetAnswer& answer, const AgeTarget& target) {
  const bool forecast = target.in_the_long_run.limit == LargestShare::Limit::unknown;
  double most_y = forecast ? target.at_the_last.highest_y : target.ceiling_y;
  if (!is_known(most_y)) most_y = (forecast ? target.at_the_last : target.in_the_long_run).at.last[target.kind];
  if (!is_known(most_y)) return "nothing that can be told: no draw has a lasting state";
  std::string text = "an age up to " + at_most_text(most_y, 2) + " years";
  if (forecast) return text + ", or a forecast of more years";
  if (target.kind == AgeKind::youngest && is_known(answer.long_run.entry_age_y))
    return text + ", or new wine that is " +
           at_least_text(answer.long_run.entry_age_y + target.wanted_y - target.ceiling_y, 2) +
           " years old when it enters";
  if (!is_known(target.evaporation_part)) return text;
  std::vector<std::string> tiers;
  for (const Tier& tier : answer.outlook.scenario.tiers) {
    const double most = tier.evaporation.per_year * target.evaporation_part;
    const bool each = tier.evaporation.kind == Evaporation::Kind::litres_per_vessel;
    if (most > 0.0)
      tiers.push_back(at_most_text(each ? most : 100.0 * most, 2) + (each ? " L/yr" : " %/yr") + " in " + tier.name +
                      (tier.evaporation.kind == Evaporation::Kind::air ? " at 15 °C and 70 % humidity" : ""));
  }
  return text + ", or evaporation below " + listed(tiers);
}

Report target_report(const TargetAnswer& answer, const std::optional<FreshenAnswer>& fresh, Units units) {
  Report report;
  const Scenario& scenario = answer.outlook.scenario;
  say(report, scenario.reserve + ": how much may be drawn, how old the wine gets");
  leave_a_line(report);
  for (const auto& group : groups_of(answer)) report_target(report, answer, group, units);
  if (fresh) report_freshening(report, *fresh);
  report_ages(report, answer, units);
  report_long_run(report, answer, units);
  if (answer.outlook.run.stopped)
    say(report, "The habit as it is cannot be kept to the end: " + answer.outlook.run.stopped->problem.what + ".");
  close_report(report, answer.outlook, units);
  report.csv = csv_table(answer);
  return report;
}

}  // namespace tierce
