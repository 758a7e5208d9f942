// The plan of a refresh in words and tables.
#include "cli/report/refresh.h"

#include <algorithm>
#include <cmath>

#include "cli/report/dose_words.h"
#include "cli/report/fortify.h"
#include "cli/report/refresh_entries.h"
#include "cli/report/refresh_tables.h"
#include "cli/report/report.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

const std::string kNoBreak = "\xC2\xA0";
constexpr std::size_t kLabel = 11;  // characters before a hanging sentence

void say(Report& report, const std::string& text) { report.parts.push_back(Paragraph{text}); }
void leave_a_line(Report& report) { say(report, ""); }
void say(Report& report, std::string label, const std::string& text) {
  label.resize(std::max(kLabel, label.size()), ' ');
  report.parts.push_back(Paragraph{label + text, label.size()});
}
/// As it stands, not broken.
void verbatim(Report& report, const std::string& line) { report.parts.push_back(Paragraph{line, line.size()}); }

std::string percent(double part) { return trimmed_text(100.0 * part, 2) + kNoBreak + "%"; }

std::string loss_text(const Loss& loss) {
  if (loss.part == 0.0 && loss.litres == 0.0) return "none";
  return loss.litres > 0.0 ? trimmed_text(loss.litres, 1) + kNoBreak + "L" : percent(loss.part);
}

void say_acts(Report& report, const Refresh& refresh, Units units) {
  const RefreshPlan& plan = refresh.plan;
  for (const DrawRecord* draw : draws_of_day(plan)) say(report, "draw", draw_text(refresh, *draw, units));
  if (!draws_of_day(plan).empty()) {
    std::string bottles;
    for (const BottleCount& count : refresh.bottles)
      bottles += (bottles.empty() ? "" : "; or ") + bottles_text(count, units) + (count.own ? " (its own bottle)" : "");
    const bool loses = refresh.options.bottling.part > 0.0 || refresh.options.bottling.litres > 0.0;
    say(report, "bottles", (loses ? litres_of(refresh.to_bottle_l, units) + " after bottling: " : "") + bottles);
  }
  if (const RefreshRecord* record = refresh_of_day(plan)) {
    for (const Pour& pour : record->moves)
      say(report, "move",
          litres_of(pour.litres, units) + " from " + plan.base.name_of(pour.from) + " to " +
              plan.base.name_of(pour.to));
  }
  for (const WineOrder& wine : refresh.wines)
    say(report, "add",
        litres_of(wine.goes_in_l, units) + " of " + wine.lot + " to " + plan.base.name_of(0) +
            (wine.stated ? "" : ", which is still to be made or stated"));
  for (const DoseRecord* dose : doses_of_day(plan)) {
    const double grams = so2_grams(dose->dose_mg_l, dose->litres);
    say(report, "dose",
        trimmed_text(dose->dose_mg_l, 2) + kNoBreak + "mg/L into " + litres_of(dose->litres, units) + " of " +
            plan.base.name_of(dose->row) + ": " + grams_of(grams) + " of SO2 = " + grams_of(salt_of(refresh, grams)) +
            " of potassium metabisulfite at " + percent(plan.base.metabisulfite_yield));
  }
}

void say_day(Report& report, const Refresh& refresh, Units units) {
  const RefreshPlan& plan = refresh.plan;
  say(report, plan.base.reserve + ": the refresh of " + day_text(plan.date) + " (" + refresh.why_the_day +
                  "; the book goes to " + (plan.book_end.year > 0 ? day_text(plan.book_end) : "nothing") + ")");
  leave_a_line(report);
  report.parts.push_back(day_table(refresh));
  leave_a_line(report);
  say_acts(report, refresh, units);
  const bool earlier =
      std::any_of(plan.entries.begin(), plan.entries.end(), [](const PlannedEntry& one) { return !one.of_the_day; });
  if (earlier)
    say(report, "Days of the habit before this one are taken as done; their entries stand in the block for the book.");
  say(report, "The bounds are " + percent(refresh.options.error_part) + " to each side, the error of a gauge" +
                  (refresh.options.error_part == 0.01 ? " (assumed: none is stated)" : "") +
                  ". Outside of them gauge again before anything is drawn. Losses: lees " +
                  loss_text(refresh.options.lees) + ", filter " + loss_text(refresh.options.filter) + ", bottling " +
                  loss_text(refresh.options.bottling) + ".");
}

// The order.

void say_choice(Report& report, const Refresh& refresh) {
  if (!refresh.choice) return;
  const LotChoice& choice = *refresh.choice;
  std::string wanted;
  const auto add = [&](const std::string& text) { wanted += (wanted.empty() ? "" : ", ") + text; };
  if (is_known(refresh.options.strength_pct)) add(trimmed_text(refresh.options.strength_pct, 2) + kNoBreak + "%vol");
  if (is_known(refresh.options.sweet_g_l)) add(trimmed_text(refresh.options.sweet_g_l, 1) + kNoBreak + "g/L");
  if (is_known(refresh.options.youngest_y))
    add("no part younger than " + trimmed_text(refresh.options.youngest_y, 2) + kNoBreak + "years");
  say(report, "The new wine is chosen from " + std::to_string(refresh.lots_at_hand.size()) + " lots at hand" +
                  (wanted.empty() ? "" : " (wanted of the wine that goes in: " + wanted + ")") + ": " +
                  (choice.by_cost ? "the cheapest choice." : "the oldest lots first, since not every lot has a cost."));
}

std::string spirit_text(const SpiritNeed& spirit, Units units) {
  std::string text = litres_of(spirit.needed_l, units) + " of " + (spirit.name.empty() ? "" : spirit.name + ", ") +
                     trimmed_text(spirit.strength_pct, 2) + kNoBreak + "%vol";
  if (is_known(spirit.held_l))
    text += "; the account holds " + litres_of(spirit.held_l, units) + ", so buy " + litres_of(spirit.order_l(), units);
  text += ": " + figure_text(spirit.pure_l(), Figure::pure_alcohol, units) + " of pure alcohol, " +
          figure_text(spirit.proof_gallons(), Figure::proof_gallons, units) + " (US)";
  const double cost = spirit.order_l() * spirit.cost.per_litre;
  return text + (is_known(cost) ? ", " + money_text(cost, spirit.cost.currency) : "");
}

std::string fruit_text(double kg) {
  return number_text(kg, Figure::whole, Units::metric) + kNoBreak + "kg = " + fixed_text(kg / 1000.0, 3) + kNoBreak +
         "t = " + fixed_text(kg / kKgPerShortTon, 3) + kNoBreak + "tons (US)";
}

void say_making(Report& report, const MakingOrder& making, Units units) {
  say(report, "To make " + litres_of(making.wine_l, units) + " of " + making.lot + ", by tierce fortify:");
  say(report, "  must",
      litres_of(making.plan.must.volume_l, units) + " with " +
          figure_text(making.plan.must.sugar_g_l, Figure::grams_per_litre, units) + " of sugar");
  if (is_known(making.fruit_kg))
    say(report, "  fruit",
        fruit_text(making.fruit_kg) +
            (is_known(making.fruit_cost) ? ", " + money_text(making.fruit_cost, making.fruit_currency) : ""));
  std::string arrest = "with " + figure_text(making.plan.arrest.alcohol_pct, Figure::alcohol_pct, units) +
                       " made and " + figure_text(making.plan.arrest.sugar_g_l, Figure::grams_per_litre, units) +
                       " of sugar left";
  if (is_known(making.plan.arrest_mark))
    arrest += ", when the hydrometer shows " + mark_text(making.plan.arrest_mark, making.plan.scale) + " at 20 °C";
  say(report, "  arrest", arrest);
  say(report, "  spirit", spirit_text(making.spirit, units));
  if (is_known(making.plan.order.drums))
    say(report, "",
        number_text(making.plan.order.drums, Figure::whole, units) + " drums of " + making.asked.typed("drum") +
            " for all of it");
}

void say_order(Report& report, const Refresh& refresh, Units units) {
  if (refresh.wines.empty()) return;
  leave_a_line(report);
  report.parts.push_back(order_table(refresh));
  say_choice(report, refresh);
  for (const MakingOrder& making : refresh.makings) {
    leave_a_line(report);
    say_making(report, making, units);
  }
  const bool to_make =
      std::any_of(refresh.wines.begin(), refresh.wines.end(), [](const auto& one) { return !one.stated; });
  if (refresh.makings.empty() && to_make)
    say(report, "With --sugar of the must, --spirit and --yield the order of must, fruit and spirit is worked out.");
}

void say_vessels(Report& report, const Refresh& refresh, Units units) {
  if (refresh.vessels.empty()) return;
  leave_a_line(report);
  report.parts.push_back(vessel_table(refresh));
  std::string text =
      "Work down the list: what is off in the sum of the gauges ends up in the last vessel of a tier. "
      "\"Take out\" and \"put in\" are for vessels worked where they stand; wine pulled together in a "
      "tank goes back by \"then holds\".";
  for (const TierFilling& filling : refresh.plan.fillings)
    if (filling.poured) {
      text +=
          " The book would spread the wine in proportion to ullage; moves between vessels in the block for the book "
          "bring it to these levels.";
      break;
    }
  say(report, text);
  double drinks_l = 0.0;
  for (const auto& [vessel, litres] : refresh.options.soakage) drinks_l += litres;
  if (drinks_l > 0.0)
    say(report, "New wood will drink " + litres_of(drinks_l, units) +
                    " in the weeks to come, by what was stated: keep so much back, top up, and book it then as 'lose' "
                    "with cause: soakage, and 'add'. It is in the order, not yet in the book.");
}

void say_cases(Report& report, const Refresh& refresh) {
  int row = -1;
  for (const GaugeCase& one : refresh.cases) {
    if (one.row == row) continue;
    row = one.row;
    leave_a_line(report);
    report.parts.push_back(case_table(refresh, row));
  }
  if (row >= 0 && refresh.tiers.size() > 1)
    say(report,
        "Each table takes the other tiers as expected. If several are off, put the gauges in the log and run this "
        "again with --on " +
            iso_text(refresh.plan.date) + ".");
}

void say_block(Report& report, const Refresh& refresh) {
  leave_a_line(report);
  const auto lots = lot_lines(refresh.plan);
  say(report,
      "For the book, once it is done. As they stand these lines make it say what stands above; put in what was "
      "measured: gauges first, litres pumped, grams weighed.");
  const auto list = [&](const char* under, const std::vector<std::string>& entries) {
    if (!entries.empty()) verbatim(report, under);
    for (const std::string& entry : entries)
      for (const std::string& line : entry_on_lines(entry, kPageWidth)) verbatim(report, line);
  };
  list("under lots:", lots);
  list("under log:", log_lines(refresh.plan));
}

/// Those of the dose, of the spirit that is ordered, or what holds on any such day.
void say_cautions(Report& report, const Refresh& refresh) {
  leave_a_line(report);
  const auto list = [&](const std::vector<std::string>& cautions) {
    for (const std::string& caution : cautions) report.parts.push_back(Paragraph{"- " + caution, 2});
  };
  const bool doses = !doses_of_day(refresh.plan).empty();
  list(doses ? sulfur_cautions() : cellar_cautions());
  if (!refresh.makings.empty()) list(fortify_cautions());
}

}  // namespace

const std::vector<std::string>& cellar_cautions() {
  static const std::vector<std::string> kCautions = {
      "SO2: weigh and dissolve in moving air; goggles, gloves, mask for SO2. Never near acid. Face away from the bung.",
      "SPIRIT and strong wine: no flame, no spark, no burning sulfur in these casks. Pumps and metal earthed.",
      "BAD AIR: carbon dioxide and SO2 kill in casks, tanks and pits. Test the air first; never go in alone.",
      "WET FLOOR, full barrels (a barrel of 225 L weighs over 270 kg): chock them, lift with gear, two people."};
  return kCautions;
}

Report refresh_report(const Refresh& refresh, Units units) {
  Report report;
  say_day(report, refresh, units);
  leave_a_line(report);
  report.parts.push_back(wine_table(refresh));
  say_order(report, refresh, units);
  say_vessels(report, refresh, units);
  say_cases(report, refresh);
  say_block(report, refresh);
  say_cautions(report, refresh);
  close_report(report, refresh.after, units);
  report.csv = every_vessel_of(refresh);
  return report;
}

Report order_report(const OrderSum& sum, const std::vector<std::string>& reserves, Units units) {
  Report report;
  std::string names;
  for (const std::string& name : reserves) names += (names.empty() ? "" : ", ") + name;
  say(report, "One order for " + names);
  leave_a_line(report);
  say(report, "new wine", litres_of(sum.new_wine_l, units));
  if (sum.must_l > 0.0) say(report, "must", litres_of(sum.must_l, units));
  if (sum.fruit_kg > 0.0) say(report, "fruit", fruit_text(sum.fruit_kg));
  for (const SpiritSum& spirit : sum.spirits)
    say(report, "spirit",
        litres_of(spirit.needed_l, units) + " of " + (spirit.name.empty() ? "" : spirit.name + ", ") +
            trimmed_text(spirit.strength_pct, 2) + kNoBreak + "%vol; buy " + litres_of(spirit.order_l, units) + ": " +
            figure_text(spirit.pure_l, Figure::pure_alcohol, units) + " of pure alcohol, " +
            figure_text(spirit.proof_gallons, Figure::proof_gallons, units) + " (US)");
  if (sum.so2_g > 0.0)
    say(report, "SO2", grams_of(sum.so2_g) + " = " + grams_of(sum.metabisulfite_g) + " of metabisulfite");
  for (const auto& [currency, cost] : sum.costs) say(report, "cost", money_text(cost, currency));
  if (sum.some_cost_unknown) say(report, "", "and what has no cost stated");
  report.csv = {{{"item"}, {"amount", Figure::whole}, {"unit"}}, {}};
  const auto row = [&](const std::string& item, double amount, const char* unit) {
    report.csv.rows.push_back({item, amount, std::string(unit)});
  };
  row("new wine", sum.new_wine_l, "L");
  row("must", sum.must_l, "L");
  row("fruit", sum.fruit_kg, "kg");
  for (const SpiritSum& spirit : sum.spirits)
    row("spirit of " + trimmed_text(spirit.strength_pct, 2) + " %vol", spirit.order_l, "L");
  row("metabisulfite", sum.metabisulfite_g, "g");
  return report;
}

}  // namespace tierce
