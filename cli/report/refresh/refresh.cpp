// The plan of a refresh in words and tables.
#include "cli/report/refresh/refresh.h"

#include <algorithm>
#include <cmath>

#include "cli/read/suggest.h"
#include "cli/report/dose_words.h"
#include "cli/report/foot.h"
#include "cli/report/fortify/fortify.h"
#include "cli/report/fortify/fortify_scale.h"
#include "cli/report/refresh/refresh_entries.h"
#include "cli/report/refresh/refresh_rows.h"
#include "cli/report/refresh/refresh_words.h"
#include "cli/report/report.h"
#include "cli/write/write.h"
#include "engine/wine/units.h"

namespace tierce {
namespace {

const std::string kNoBreak = "\xC2\xA0";
constexpr std::size_t kLabel = 11;          // characters before a hanging sentence
constexpr double kSmallVesselL = 50.0;      // below it tenths of a litre count
constexpr Figure kHundredths = Figure::ph;  // two decimals and no unit: grams name theirs in the heading

void label(Document& report, const char* what, const std::string& text) { report.term(what, text, kLabel); }

// Tables.

/// Tenths where anything is small, else whole litres.
Figure litres_figure(const Refresh& refresh) {
  double smallest_l = 1e9;
  for (const Tier& tier : refresh.plan.base.tiers)
    for (const Vessel& vessel : tier.vessels) smallest_l = std::min(smallest_l, vessel.capacity_l);
  return smallest_l < kSmallVesselL ? Figure::small_litres : Figure::litres;
}

/// Columns of litres, under the headings of their fields.
void add_litres(std::vector<Pick>& picks, const Refresh& refresh, std::initializer_list<const char*> keys) {
  for (const char* key : keys) picks.emplace_back(key, nullptr, litres_figure(refresh));
}

template <class Rows, class Amount>
bool any(const Rows& rows, const Amount& amount) {
  return std::any_of(rows.begin(), rows.end(), [&](const auto& row) { return amount(row) > 0.0; });
}

Table day_table(const Refresh& refresh) {
  std::vector<Pick> picks = {"tier"};
  add_litres(picks, refresh, {"expected_L", "expected_low_L", "expected_high_L", "drawn_L"});
  if (any(refresh.tiers, [](const TierDay& tier) { return tier.passed_on_l; }))
    add_litres(picks, refresh, {"passed_on_L", "taken_in_L"});
  add_litres(picks, refresh, {"new_wine_L", "after_L"});
  return table_of(parts_in(refresh, refresh.tiers), kPlannedTier, picks);
}

Table wine_table(const Refresh& refresh) {
  return table_of(wines_of_day(refresh), kWineThen,
                  {"what",
                   "volume_L",
                   "alcohol_pct",
                   "sugar_g_L",
                   "acidity_g_L",
                   "pH",
                   "so2_total_mg_L",
                   {"so2_free", "\nfree"},
                   "age/mean_y",
                   {"age/youngest_y", "\nyoungest"},
                   "newest_vintage",
                   "newest_vintage_fraction"});
}

Table vessel_table(const Refresh& refresh) {
  const auto vessels = planned_vessels(refresh);
  std::vector<Pick> picks = {"in_tier", "name"};
  add_litres(picks, refresh, {"capacity_L", "expected_L", "take_out_L", "put_in_L", "volume_L", "ullage_L"});
  if (any(vessels, [](const PlannedVessel& of) { return of.vessel->so2_g; })) picks.emplace_back("metabisulfite_g");
  if (any(vessels, [](const PlannedVessel& of) { return of.vessel->soakage_l; })) picks.emplace_back("soakage_L");
  picks.emplace_back("takes_the_rest");
  return table_of(vessels, kPlannedVessel, picks);
}

/// What to do if a tier is found to hold something else: a column for each move and each dose of the day.
Table case_table(const Refresh& refresh, int row) {
  const Figure litres = litres_figure(refresh);
  const Scenario& base = refresh.plan.base;
  Table table{{{"if " + base.name_of(row) + "\nreads", litres}, {"draw", litres}}, {}};
  const RefreshRecord* record = refresh_of_day(refresh.plan);
  const std::vector<Pour> moves = record != nullptr ? record->moves : std::vector<Pour>();
  for (const Pour& move : moves) table.columns.push_back({"move to\n" + base.name_of(move.to), litres});
  table.columns.push_back({"add\nnew wine", litres});
  for (int to = 0; to < base.tier_count(); ++to)
    if (so2_into(doses_of(refresh), to) > 0.0) table.columns.push_back({"salt, g:\n" + base.name_of(to), kHundredths});
  for (const GaugeCase& one : refresh.cases) {
    if (one.row != row) continue;
    std::vector<Cell> cells = {one.found_l, one.then.drawn_l};
    for (const Pour& move : moves) {
      double moved_l = 0.0;
      for (const Pour& pour : one.then.moves)
        if (pour.to == move.to) moved_l += pour.litres;
      cells.emplace_back(moved_l);
    }
    cells.emplace_back(one.then.new_wine_l);
    for (int to = 0; to < base.tier_count(); ++to)
      if (so2_into(doses_of(refresh), to) > 0.0) cells.emplace_back(salt_of(refresh, so2_into(one.then.doses, to)));
    if (one.then.fault) cells = {one.found_l, std::string("cannot be done")};
    table.rows.push_back(std::move(cells));
  }
  return table;
}

Table order_table(const Refresh& refresh) {
  return table_of(
      refresh.wines, kWineOrder,
      {"lot", "goes_in_L", "soakage_L", "lees_L", "filter_L", "needed_L", "alcohol_pct", "sugar_g_L", "cost_or_dash"});
}

// The day.

std::string percent(double part) { return trimmed_text(100.0 * part, 2) + kNoBreak + "%"; }

std::string loss_text(const Loss& loss) {
  if (loss.part == 0.0 && loss.litres == 0.0) return "none";
  return loss.litres > 0.0 ? trimmed_text(loss.litres, 1) + kNoBreak + "L" : percent(loss.part);
}

void say_acts(Document& report, const Refresh& refresh, Units units) {
  const RefreshPlan& plan = refresh.plan;
  for (const DrawRecord* draw : draws_of_day(plan)) label(report, "draw", draw_text(refresh, *draw, units));
  if (!draws_of_day(plan).empty()) {
    std::string bottles;
    for (const BottleCount& count : refresh.bottles)
      bottles += (bottles.empty() ? "" : "; or ") + bottles_text(count, units) + (count.own ? " (its own bottle)" : "");
    const bool loses = refresh.options.bottling.part > 0.0 || refresh.options.bottling.litres > 0.0;
    label(report, "bottles", (loses ? litres_of(refresh.to_bottle_l, units) + " after bottling: " : "") + bottles);
  }
  if (const RefreshRecord* record = refresh_of_day(plan)) {
    for (const Pour& pour : record->moves)
      label(report, "move",
            litres_of(pour.litres, units) + " from " + plan.base.name_of(pour.from) + " to " +
                plan.base.name_of(pour.to));
  }
  for (const WineOrder& wine : refresh.wines)
    label(report, "add",
          litres_of(wine.goes_in_l, units) + " of " + wine.lot + " to " + plan.base.name_of(0) +
              (wine.stated ? "" : ", which is still to be made or stated"));
  for (const DoseRecord* dose : doses_of_day(plan)) {
    const double grams = so2_grams(dose->dose_mg_l, dose->litres);
    label(report, "dose",
          trimmed_text(dose->dose_mg_l, 2) + kNoBreak + "mg/L into " + litres_of(dose->litres, units) + " of " +
              plan.base.name_of(dose->row) + ": " + grams_of(grams) + " of SO2 = " + grams_of(salt_of(refresh, grams)) +
              " of potassium metabisulfite at " + percent(plan.base.metabisulfite_yield));
  }
}

/// "Amber: on 10 Feb 2027 draw 254.7 L, add 309.4 L of GG25, dose 57.7 g of metabisulfite."
std::string answer_text(const Refresh& refresh, Units units) {
  const RefreshPlan& plan = refresh.plan;
  std::vector<std::string> acts;
  for (const DrawRecord* draw : draws_of_day(plan))
    acts.push_back("draw " + litres_of(draw->volume_l, units) +
                   (draw->name == iso_text(draw->date) ? "" : " for " + draw->name));
  for (const WineOrder& wine : refresh.wines)
    acts.push_back("add " + litres_of(wine.goes_in_l, units) + " of " + wine.lot);
  double so2_g = 0.0;
  for (const DoseRecord* dose : doses_of_day(plan)) so2_g += so2_grams(dose->dose_mg_l, dose->litres);
  if (so2_g > 0.0) acts.push_back("dose " + grams_of(salt_of(refresh, so2_g)) + " of metabisulfite");
  return plan.base.reserve + ": on " + day_text(plan.date) + " " + (acts.empty() ? "nothing is to do" : listed(acts)) +
         ".";
}

void say_day(Document& report, const Refresh& refresh, Units units) {
  const RefreshPlan& plan = refresh.plan;
  report.title = answer_text(refresh, units);
  report.say("That is " + refresh.why_the_day + "; the book goes to " +
             (plan.book_end.year > 0 ? day_text(plan.book_end) : "nothing") + ".");
  report.add(day_table(refresh));
  say_acts(report, refresh, units);
  const bool earlier =
      std::any_of(plan.entries.begin(), plan.entries.end(), [](const PlannedEntry& one) { return !one.of_the_day; });
  if (earlier)
    report.say("Days of the habit before this one are taken as done; their entries stand in the block for the book.");
  report.say("The bounds are " + percent(refresh.options.error_part) + " to each side, the error of a gauge" +
             (refresh.options.error_part == 0.01 ? " (assumed: none is stated)" : "") +
             ". Outside of them gauge again before anything is drawn. Losses: lees " + loss_text(refresh.options.lees) +
             ", filter " + loss_text(refresh.options.filter) + ", bottling " + loss_text(refresh.options.bottling) +
             ".");
}

// The order.

void say_choice(Document& report, const Refresh& refresh) {
  if (!refresh.choice) return;
  const LotChoice& choice = *refresh.choice;
  std::string wanted;
  const auto add = [&](const std::string& text) { wanted += (wanted.empty() ? "" : ", ") + text; };
  if (is_known(refresh.options.strength_pct)) add(trimmed_text(refresh.options.strength_pct, 2) + kNoBreak + "%vol");
  if (is_known(refresh.options.sweet_g_l)) add(trimmed_text(refresh.options.sweet_g_l, 1) + kNoBreak + "g/L");
  if (is_known(refresh.options.youngest_y))
    add("no part younger than " + trimmed_text(refresh.options.youngest_y, 2) + kNoBreak + "years");
  report.note("The new wine is chosen from " + std::to_string(refresh.lots_at_hand.size()) + " lots at hand" +
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

void say_making(Document& report, const MakingOrder& making, const std::string& drum, Units units) {
  report.say("To make " + litres_of(making.wine_l, units) + " of " + making.lot + ", by tierce fortify:");
  label(report, "  must",
        litres_of(making.plan.must.volume_l, units) + " with " +
            figure_text(making.plan.must.sugar_g_l, Figure::grams_per_litre, units) + " of sugar");
  if (is_known(making.fruit_kg))
    label(report, "  fruit",
          fruit_text(making.fruit_kg) +
              (is_known(making.fruit_cost) ? ", " + money_text(making.fruit_cost, making.fruit_currency) : ""));
  std::string arrest = "with " + figure_text(making.plan.arrest.alcohol_pct, Figure::alcohol_pct, units) +
                       " made and " + figure_text(making.plan.arrest.sugar_g_l, Figure::grams_per_litre, units) +
                       " of sugar left";
  if (is_known(making.plan.arrest_mark))
    arrest += ", when the hydrometer shows " + mark_text(making.plan.arrest_mark, making.plan.scale) + " at 20 °C";
  label(report, "  arrest", arrest);
  label(report, "  spirit", spirit_text(making.spirit, units));
  if (is_known(making.plan.order.drums))
    label(report, "",
          number_text(making.plan.order.drums, Figure::whole, units) + " drums of " + drum + " for all of it");
}

void say_order(Document& report, const Refresh& refresh, Units units) {
  if (refresh.wines.empty()) return;
  report.add(order_table(refresh));
  say_choice(report, refresh);
  for (const MakingOrder& making : refresh.makings) {
    report.gap();
    say_making(report, making, refresh.options.drum, units);
  }
  const bool to_make =
      std::any_of(refresh.wines.begin(), refresh.wines.end(), [](const auto& one) { return !one.stated; });
  if (refresh.makings.empty() && to_make)
    report.note("With --sugar of the must, --spirit and --yield the order of must, fruit and spirit is worked out.");
}

void say_vessels(Document& report, const Refresh& refresh, Units units) {
  if (refresh.vessels.empty()) return;
  report.add(vessel_table(refresh));
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
  report.note(text);
  double drinks_l = 0.0;
  for (const auto& [vessel, litres] : refresh.options.soakage) drinks_l += litres;
  if (drinks_l > 0.0)
    report.say("New wood will drink " + litres_of(drinks_l, units) +
               " in the weeks to come, by what was stated: keep so much back, top up, and book it then as 'lose' "
               "with cause: soakage, and 'add'. It is in the order, not yet in the book.");
}

void say_cases(Document& report, const Refresh& refresh) {
  int row = -1;
  for (const GaugeCase& one : refresh.cases) {
    if (one.row == row) continue;
    row = one.row;
    report.add(case_table(refresh, row));
  }
  if (row >= 0 && refresh.tiers.size() > 1)
    report.note(
        "Each table takes the other tiers as expected. If several are off, put the gauges in the log and run this "
        "again with --on " +
        iso_text(refresh.plan.date) + ".");
}

void say_block(Document& report, const Refresh& refresh) {
  report.gap();
  const auto lots = lot_lines(refresh.plan);
  report.say(
      "For the book, once it is done. As they stand these lines make it say what stands above; put in what was "
      "measured: gauges first, litres pumped, grams weighed.");
  const auto list = [&](const char* under, const std::vector<std::string>& entries) {
    if (!entries.empty()) report.print(under);
    for (const std::string& entry : entries)
      for (const std::string& line : entry_on_lines(entry, kPageWidth)) report.print(line);
  };
  list("under lots:", lots);
  list("under log:", log_lines(refresh.plan));
}

/// Those of the dose, of the spirit that is ordered, or what holds on any such day.
void say_cautions(Document& report, const Refresh& refresh) {
  report.gap();
  const bool doses = !doses_of_day(refresh.plan).empty();
  for (const std::string& caution : doses ? sulfur_cautions() : cellar_cautions()) report.item(caution);
  if (!refresh.makings.empty())
    for (const std::string& caution : fortify_cautions()) report.item(caution);
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

Document refresh_report(const Refresh& refresh, Units units) {
  Document report;
  say_day(report, refresh, units);
  say_order(report, refresh, units);
  say_vessels(report, refresh, units);
  report.say("The wines before and after, and what to do if a tier reads something else: --all, and on the --sheet.");
  Document more;
  more.add(wine_table(refresh));
  say_cases(more, refresh);
  report.more = std::move(more.blocks);
  say_block(report, refresh);
  say_cautions(report, refresh);
  close_report(report, refresh.after, units);
  report.csv = table_of(planned_vessels(refresh), kPlannedVessel,
                        {"date", "tier", "name", "capacity_L", "expected_L", "take_out_L", "put_in_L", "volume_L",
                         "ullage_L", "part_full", "soakage_L", "so2_g", "metabisulfite_g"});
  return report;
}

Document order_report(const OrderSum& sum, const std::vector<std::string>& reserves, Units units) {
  Document report;
  report.title = "One order for " + listed(reserves);
  label(report, "new wine", litres_of(sum.new_wine_l, units));
  if (sum.must_l > 0.0) label(report, "must", litres_of(sum.must_l, units));
  if (sum.fruit_kg > 0.0) label(report, "fruit", fruit_text(sum.fruit_kg));
  for (const SpiritSum& spirit : sum.spirits)
    label(report, "spirit",
          litres_of(spirit.needed_l, units) + " of " + (spirit.name.empty() ? "" : spirit.name + ", ") +
              trimmed_text(spirit.strength_pct, 2) + kNoBreak + "%vol; buy " + litres_of(spirit.order_l, units) + ": " +
              figure_text(spirit.pure_l, Figure::pure_alcohol, units) + " of pure alcohol, " +
              figure_text(spirit.proof_gallons, Figure::proof_gallons, units) + " (US)");
  if (sum.so2_g > 0.0)
    label(report, "SO2", grams_of(sum.so2_g) + " = " + grams_of(sum.metabisulfite_g) + " of metabisulfite");
  for (const auto& [currency, cost] : sum.costs) label(report, "cost", money_text(cost, currency));
  if (sum.some_cost_unknown) label(report, "", "and what has no cost stated");
  return report;
}

}  // namespace tierce
