#include "cli/report/target.h"

#include <algorithm>
#include <cmath>

#include "cli/read/suggest.h"
#include "cli/report/foot.h"
#include "cli/report/long_run.h"
#include "cli/report/report.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

const std::string kNoBreak = "\xC2\xA0";

std::string years_text(double years) { return figure_text(years, Figure::age, Units::metric); }
std::string exactly(double years) { return trimmed_text(years, 2) + (years == 1.0 ? " year" : " years"); }

/// "mean age of 5 years, by volume" or "youngest part of 3 years"
std::string target_text(const AgeTarget& target) {
  constexpr const char* kWeightings[] = {", by volume", ", by alcohol", ", by what does not evaporate", ""};
  return (target.wanted.youngest ? "youngest part of " : "mean age of ") + exactly(target.wanted.years) +
         kWeightings[static_cast<int>(target.kind)];
}

/// Litres rounded down, so that what is printed does keep the age.
Table at_most(Table table, Units units) {
  for (std::size_t c = 0; c < table.columns.size(); ++c)
    for (auto& row : table.rows)
      if (const auto* litres = std::get_if<double>(&row[c]); table.columns[c].key == "drawn_L_y" && is_known(*litres))
        row[c] = decimal_text(in_shown_unit(*litres, Figure::small_litres, units), 1, true);
  return table;
}

std::vector<TargetGroup> groups_of(const TargetAnswer& answer) {
  std::vector<TargetGroup> groups;
  for (const AgeTarget& target : answer.targets) {
    const bool again = !groups.empty() && groups.back().front()->wanted.years == target.wanted.years &&
                       target.kind != AgeKind::youngest && target.kind != AgeKind::by_volume;
    if (!again) groups.emplace_back();
    groups.back().push_back(&target);
  }
  return groups;
}

/// Of the ages that the draws settle at without ever having them; empty where there are none.
std::string near_text(const TargetGroup& group) {
  std::vector<std::string> weightings;
  const AgeTarget* latest = nullptr;
  for (const AgeTarget* target : group) {
    if (!target->dates.near) continue;
    weightings.push_back(weighting_word(target->kind));
    if (latest == nullptr || target->dates.near->date > latest->dates.near->date) latest = target;
  }
  if (latest == nullptr) return "";
  return "Just " + exactly(latest->wanted.years) + " (" + listed(weightings) +
         ") is what the draws settle at: they come nearer to it every time and never have it. From " +
         draw_day(latest->dates.near) + " on they lack " + trimmed_text(kNearY, 2) + " years or less.";
}

/// "4 years were first reached with Bottling 2025 and are kept"
std::string reached_text(const AgeTarget& target) {
  const AgeDates& dates = target.dates;
  if (!dates.reached) return "";
  const std::string name = dates.reached->name;
  std::string text = dates.reached->past ? "first reached with " + name : "first to be reached with " + name;
  if (dates.kept_from && dates.kept_from->name == name) text += " and kept from then on";
  else if (dates.kept_from) text += ", kept from " + dates.kept_from->name + " on";
  else if (dates.lost) text += ", lost after " + dates.lost->name;
  return text;
}

/// The answer to one age that is wanted, of the whole draw by volume or of its youngest part.
std::string answer_text(const TargetAnswer& answer, const AgeTarget& target, Units units) {
  const std::string age =
      (target.wanted.youngest ? "a youngest part of " : "a mean age of ") + exactly(target.wanted.years);
  if (target.impossible()) return "never " + age + ": " + why_never(answer, target) + ".";
  const LargestShare& largest = target.by_forecast() ? target.at_the_last : target.in_the_long_run;
  std::string text = "for " + age + (target.by_forecast() ? " at the last draw" : " for good") + " draw at most " +
                     at_most_text(100.0 * largest.at.share, 1) + kNoBreak + "% of what is held";
  if (is_known(largest.at.drawn_l_y))
    text += " (" +
            number_text(std::floor(in_shown_unit(largest.at.drawn_l_y, Figure::litres, units)), Figure::whole, units) +
            kNoBreak + unit_text(Figure::litres, units) + " a year)";
  if (is_known(answer.long_run.drawn_l_y))
    text += "; the habit draws " + figure_text(answer.long_run.drawn_l_y, Figure::litres, units) + " a year" +
            (is_known(target.long_run_y) ? " and leads to " + number_text(target.long_run_y, Figure::age, units) : "");
  const std::string reached = reached_text(target);
  return text + (reached.empty() ? "" : "; " + reached) + ".";
}

/// What tells most of a group: a mean by volume, or the youngest part.
std::vector<std::string> answers_of(const TargetAnswer& answer, Units units) {
  std::vector<std::string> lines;
  for (const TargetGroup& group : groups_of(answer)) lines.push_back(answer_text(answer, *group.front(), units));
  return lines;
}

void report_target(Document& document, const TargetAnswer& answer, const TargetGroup& group, Units units) {
  const WantedAge& wanted = group.front()->wanted;
  document.head((wanted.youngest ? "Youngest part of " : "Mean age of ") + exactly(wanted.years) +
                ": the largest draw that keeps it, the same share each time" +
                (wanted.by_claim ? " (a claim of the file)" : ""));
  document.add(at_most(largest_table(answer, group), units));
  const auto any = [&](const auto& property) { return std::any_of(group.begin(), group.end(), property); };
  const auto never = [](const LargestShare& largest) { return largest.limit == LargestShare::Limit::never; };
  if (any([&](const AgeTarget* one) {
        return never(one->in_the_long_run) || never(one->at_the_last) || never(one->at_every);
      }))
    document.say("Never: no draw keeps it; the age is the highest that any draw gives.");
  document.add(habit_table(group));
  document.say(near_text(group));
  document.gap();
  for (const AgeTarget* target : group)
    if (target->impossible())
      document.say("Never a " + target_text(*target) + ": " + why_never(answer, *target) +
                   ". Possible: " + what_would(answer, *target) + ".");
  document.gap();
}

void report_ages(Document& document, const TargetAnswer& answer, Units units) {
  if (answer.why_no_search) {
    document.say("In the long run: no draw can be tried, because " + why_text(answer.why_no_search) + ".");
    document.gap();
    return;
  }
  document.head("The largest draw that keeps a mean age in the long run, by volume");
  document.add(at_most(ages_table(answer), units));
  document.say("The first line is the most that the wine allows" +
               (answer.why_no_more ? "; with more, " + why_text(answer.why_no_more) : "") +
               ". Of what is held: of the last tier, just before the draw. Of the full stock: of all tiers together, "
               "just after the refill. A largest draw is rounded down.");
}

std::string apart(double difference) {
  return std::abs(difference) < 1e-9 ? "less than 0.000000001" : trimmed_text(std::abs(difference), 9);
}

void report_long_run(Document& document, const TargetAnswer& answer, Units units) {
  const LongRun& settled = answer.long_run;
  if (!is_known(settled.half_life_y)) {
    document.say("The long run of the habit: not known, because " + why_text(settled.why_not) + ".");
    return;
  }
  std::string text = "The long run of the habit, its exceptions left out: ";
  text += is_known(settled.mean_y)
              ? "the draws settle at a mean age of " + years_text(settled.mean_y) + " by volume, " +
                    number_text(settled.mean_by_alcohol_y, Figure::age, Units::metric) + " by alcohol, " +
                    number_text(settled.mean_by_solids_y, Figure::age, Units::metric) +
                    " by what does not evaporate; the youngest part has " + years_text(settled.youngest_y) + ". "
              : why_text(settled.why_not) + ". ";
  text += "It draws " + figure_text(settled.drawn_l_y, Figure::litres, units) + " a year of " +
          figure_text(settled.full_l, Figure::litres, units) + ", and takes " +
          figure_text(settled.new_wine_l_y, Figure::litres, units) + " of new wine.";
  document.say(text);
  const bool one = settled.period_y == 1.0;
  document.say("Memory: " + std::string(one ? "a year" : exactly(settled.period_y)) + " later " +
               trimmed_text(100.0 * settled.largest_eigenvalue, 2) +
               " % is left of what lies there longest (the largest eigenvalue of the matrix of " +
               (one ? "a year" : "that time") + "), so that the share of a vintage halves every " +
               years_text(settled.half_life_y) + ".");
  const LongRunCheck& check = answer.check;
  if (check.why_not || !is_known(check.mean_y) || !is_known(settled.mean_y)) return;
  document.say("Checked by plain simulation: a run of " + std::to_string(check.years) + " years ends at " +
               trimmed_text(check.mean_y, 4) + " years, " + apart(check.mean_y - settled.mean_y) +
               " years off; after " + exactly(check.memory_years) + " " + trimmed_text(100.0 * check.left_by_run, 2) +
               " % of the first wine is left, by the matrix " + trimmed_text(100.0 * check.left_by_matrix, 2) + " %.");
}

}  // namespace

Document target_report(const TargetOutput& output, Units units) {
  const TargetAnswer& answer = output.answer;
  Document document, more;
  const auto answers = answers_of(answer, units);
  document.title = answer.outlook.scenario.reserve + ": " +
                   (answers.empty() ? "the largest draw for each mean age" : answers.front());
  for (std::size_t i = 1; i < answers.size(); ++i) document.say(answers[i]);
  if (output.fresh) report_freshening(document, {*output.fresh, answer.outlook.scenario});
  report_ages(document, answer, units);
  if (answer.outlook.run.stopped)
    document.say("The habit as it is cannot be kept to the end: " + answer.outlook.run.stopped->problem.what + ".");
  document.say("By alcohol and by what does not evaporate, every draw to come, the long run and its check: --all.");
  for (const TargetGroup& group : groups_of(answer)) report_target(more, answer, group, units);
  report_long_run(more, answer, units);
  document.more = std::move(more.blocks);
  close_report(document, answer.outlook, units, kAges | kVolumes);
  document.csv = largest_csv(answer);
  return document;
}

}  // namespace tierce
