#include "cli/report/fortify/fortify.h"

#include <algorithm>
#include <cctype>
#include <cmath>

#include "cli/report/fortify/fortify_scale.h"
#include "cli/report/label/label_words.h"
#include "cli/write/write.h"
#include "engine/wine/alcoholometry.h"

namespace tierce {
namespace {

const std::string kNoBreak = "\xC2\xA0";  // holds a number and its unit together
constexpr std::size_t kLabel = 18;        // characters before a hanging sentence
constexpr double kExtractStep = 5.0;      // g/L, to show what the extract beside sugar is worth

void label(Document& report, const char* what, const std::string& text) { report.term(what, text, kLabel); }

std::string with_unit(const std::string& number, const std::string& unit) { return number + kNoBreak + unit; }
std::string degrees(double temperature_c) { return with_unit(trimmed_text(temperature_c, 1), "°C"); }
std::string mark(double value, Scale scale) {
  return with_unit(fixed_text(value, decimals_read(scale)), unit_of(scale));
}
std::string two_decimals(double value, const std::string& unit) {
  return with_unit(number_text(value, Figure::ph, Units::metric), unit);
}
std::string strength(double pct) { return figure_text(pct, Figure::alcohol_pct, Units::metric); }
std::string sugar(double g_l) { return figure_text(g_l, Figure::grams_per_litre, Units::metric); }

std::string heading(const FortifyPlan& plan, const FortifyAsked& options) {
  const auto litres = [&](double l) { return figure_text(l, Figure::small_litres, options.units); };
  return litres(plan.must.volume_l) + " of must with " + sugar(plan.must.sugar_g_l) + ", arrested at " +
         strength(plan.arrest.alcohol_pct) + " with " + litres(plan.wine.spirit_l) + " of spirit of " +
         strength(options.spirit_pct) + ": " + litres(plan.wine.volume_l) + " of wine of " +
         strength(plan.wine.alcohol_pct) + " with " + sugar(plan.wine.sugar_g_l);
}

Table wine_table(const FortifyPlan& plan, const FortifyAsked& options) {
  Table table{{{"at 20 °C"},
               {"volume", Figure::small_litres},
               {"strength", Figure::alcohol_pct},
               {"sugar", Figure::grams_per_litre}},
              {}};
  const auto row = [&](const char* what, double litres, Cell alcohol, Cell grams) {
    table.rows.push_back({std::string(what), litres, std::move(alcohol), std::move(grams)});
  };
  const Cell none;
  row("must before it ferments", plan.must.volume_l, 0.0, plan.must.sugar_g_l);
  row("must at the arrest", plan.arrest.volume_l, plan.arrest.alcohol_pct, plan.arrest.sugar_g_l);
  row("spirit", plan.mixed.spirit_l, options.spirit_pct, none);
  row("contraction", -plan.mixed.contraction_l, none, none);
  const bool eats_on = options.run_on_g_l > 0.0;
  row(eats_on ? "wine when the spirit is in" : "wine", plan.mixed.volume_l, plan.mixed.alcohol_pct,
      plan.mixed.sugar_g_l);
  if (eats_on) row("wine when the yeast has stopped", plan.wine.volume_l, plan.wine.alcohol_pct, plan.wine.sugar_g_l);
  return table;
}

void say_origin(Document& report, const FortifyPlan& plan, const FortifyAsked& options) {
  if (is_known(options.fruit_kg))
    label(report, "must",
          options.typed("fruit") + " of fruit at " + options.typed("yield") + ": " +
              two_decimals(options.must_l_per_kg, "L") + " of must from each kilogram");
  const auto* reading = std::get_if<HydrometerReading>(&options.sugar);
  if (plan.sugar_inferred)
    label(report, "its sugar", "inferred: what is left, and 16.83" + kNoBreak + "g/L for each %vol made");
  else if (reading != nullptr && options.refractometer)
    label(report, "its sugar",
          "from " + mark(reading->value, reading->scale) +
              " by refractometer, taken as read at 20 °C or compensated; the OIV must table");
  else if (reading != nullptr)
    label(report, "its sugar",
          "from " + mark(reading->value, reading->scale) + " by hydrometer at " + degrees(reading->temperature_c) +
              "; the OIV must table");
}

void say_result(Document& report, const FortifyPlan& plan, const FortifyAsked& options) {
  const Fortified& wine = plan.wine;
  const auto litres = [&](double l) { return figure_text(l, Figure::small_litres, options.units); };
  say_origin(report, plan, options);
  if (is_known(plan.arrest_mark))
    label(report, "arrest",
          "when the hydrometer shows " +
              with_unit(fixed_text(plan.arrest_mark, known_decimals_of(plan.scale)), unit_of(plan.scale)) +
              " in must at " + degrees(options.temperature_c) + " (an estimate, see below)");
  label(report, "total strength",
        strength(wine.total_alcohol_pct) + ", with what the sugar would still give at 16.83" + kNoBreak + "g/L for 1" +
            kNoBreak + "%vol");
  label(report, "spirit",
        two_decimals(wine.spirit_share_of_must_pct, "%") + " of the must, " +
            two_decimals(wine.spirit_share_of_wine_pct, "%") + " of all that went in");
  label(report, "its alcohol",
        two_decimals(wine.spirit_alcohol_share_of_must_pct, "%") + " of the must, " +
            two_decimals(plan.spirit_alcohol_share_of_wine_pct, "%") + " of the wine, " +
            two_decimals(wine.spirit_share_of_alcohol_pct, "%") + " of all alcohol in it");
  const double error_pct = plan.mixed.additive_error_pct;
  std::string additive =
      "for " + litres(wine.spirit_l) + " it promises " + two_decimals(plan.mixed.additive_alcohol_pct, "%vol") + ", " +
      two_decimals(std::abs(error_pct), "%vol") + (error_pct < 0.0 ? " less" : " more") + " than there will be";
  if (plan.mixed.additive_spirit_l)
    additive += "; for " + two_decimals(plan.mixed.alcohol_pct, "%vol") + " it asks for " +
                litres(*plan.mixed.additive_spirit_l);
  label(report, "additive rule", additive + " (Pearson's square)");
  if (options.run_on_g_l > 0.0)
    label(report, "run-on",
          "the yeast is taken to eat " + options.typed("run-on") + " of the wine's sugar after the spirit; " +
              (is_known(options.add_l) ? "the strength rises by it" : "the spirit is sized for the strength after it"));
}

void say_order(Document& report, const FortifyPlan& plan, const FortifyAsked& options) {
  const auto litres = [&](double l) { return figure_text(l, Figure::small_litres, options.units); };
  label(report, "spirit to order",
        litres(plan.wine.spirit_l) + " of " + strength(options.spirit_pct) + " = " +
            figure_text(plan.order.pure_l, Figure::pure_alcohol, options.units) + " of pure alcohol = " +
            figure_text(plan.order.proof_gallons, Figure::proof_gallons, options.units) + " (US)");
  label(report, "",
        "measured at 10 °C it fills " + litres(*volume_at_temperature_l(plan.wine.spirit_l, 10.0, options.spirit_pct)));
  if (!is_known(plan.order.drums)) return;
  const std::string count = number_text(plan.order.drums, Figure::whole, options.units);
  label(report, "",
        count + (plan.order.drums == 1.0 ? " drum of " : " drums of ") + options.typed("drum") + ", of which " +
            litres(plan.order.left_l) + " is left over");
}

// The table for the night.

/// What 5 g/L more of extract beside sugar would mean at the arrest.
std::string extract_error(const FortifyPlan& plan, const FortifyAsked& options) {
  const std::string more = "were it " + sugar(kExtractStep) + " more, the same reading would stand for ";
  if (std::holds_alternative<HydrometerReading>(options.sugar) && !options.refractometer)
    return more + "as much alcohol, but for " + sugar(kExtractStep) + " less sugar";
  const auto heavier = wine_sg(plan.arrest.sugar_g_l, plan.arrest.alcohol_pct, plan.other_extract_g_l + kExtractStep);
  if (!heavier) return "it is known to a few g/L at best";
  const double later_pct = (*heavier - plan.arrest_sg_20c) * plan.alcohol_pct_per_sg;
  return more + two_decimals(later_pct, "%vol") + " more alcohol and " + sugar(later_pct * kSugarGPerLPerPctVol) +
         " less sugar";
}

void say_night(Document& report, const FortifyView& view) {
  const FortifyPlan& plan = view.plan;
  const FortifyAsked& options = view.asked;
  report.head("For the night: the spirit to add now, and the wine it makes, by what the hydrometer shows");
  report.add(night_table(view));
  if (!is_known(plan.arrest_mark)) {
    report.say(
        "No density is given: the must table has 82.2 to 308.9 g/L of sugar. Go by analyses of alcohol or sugar.");
    return;
  }
  const double pct = 0.001 * plan.alcohol_pct_per_sg;
  report.say(
      "The readings are estimates. Sugar and alcohol are taken to change the density each on its own (Tabarié, "
      "OIV-MA-AS2-03B), which is proved to 5 % of sugar and 18 % of alcohol by mass. At the arrest 0.001" +
      kNoBreak + "SG is " + two_decimals(pct, "%vol") + " and " +
      figure_text(pct * kSugarGPerLPerPctVol, Figure::fine_grams_per_litre, options.units) +
      " of sugar. Beside sugar the must is taken to hold " + sugar(plan.other_extract_g_l) +
      " of extract, as in the must table, which is an average: " + extract_error(plan, options) +
      ". If your hydrometer shows something else than the first row before the ferment begins, shift every "
      "row by the difference. An analysis of that hour is worth more than the table. Gas lifts the float by 0.001 "
      "to 0.003" +
      kNoBreak +
      "SG (from memory): shake it out of the sample first. A scale made for 15 °C or 60 °F, as Baumé often "
      "is, reads 0.0007 to 0.0008" +
      kNoBreak + "SG lower.");
  report.say(
      "Temperature: must of " + degrees(options.temperature_c) +
      " is taken to expand like ethanol-water of its "
      "strength (OIML R 22), the hydrometer, made for 20 °C, like glass. What sugar adds is left out, as no table "
      "was read: less than 0.001" +
      kNoBreak + "SG at 30 °C (from memory).");
}

// Rules and cautions.

void say_rules(Document& report, const FortifyView& view) {
  const std::string& designation = view.asked.designation;
  if (designation.empty()) return;
  report.gap();
  if (view.rules.empty()) {
    report.say("No rule on file speaks of a plan for '" + designation + "'.");
    return;
  }
  report.head("What the rules on '" + designation +
              "' ask, as information and no legal advice; texts may have changed");
  report.add(rule_table(view));
  for (const Judgement& row : view.rules)
    report.say(row.rule->id + ": " + row.rule->about + ". " +
               (row.because == Because::readings_differ ? why_text(row, {}) + ". " : std::string()) +
               source_text(*row.rule) + (row.rule->source.note.empty() ? "" : "; " + row.rule->source.note) + ".");
}

void say_block(Document& report, const FortifyView& view) {
  report.head("For the scenario; put in the year and take away the # before it:");
  for (const std::string& line : lot_block(view)) report.print(line);
}

/// Letters with a number, such as GG26, as they stand; anything else in quotes (null and yes would mean something).
std::string yaml_text(const std::string& name) {
  const auto is = [](int (*kind)(int)) { return [kind](char c) { return kind(static_cast<unsigned char>(c)) != 0; }; };
  const bool plain = is(std::isalpha)(name.front()) && std::all_of(name.begin(), name.end(), is(std::isalnum)) &&
                     std::any_of(name.begin(), name.end(), is(std::isdigit));
  if (plain) return name;
  std::string quoted = "\"";
  for (const char c : name) quoted += c == '"' || c == '\\' ? std::string("\\") + c : std::string(1, c);
  return quoted + '"';
}

}  // namespace

std::vector<std::string> lot_block(const FortifyView& view) {
  const auto& [plan, options, rules] = view;
  return {"lots:",
          "  - name: " + yaml_text(options.lot),
          "    # vintage: YEAR       # or harvested: YEAR-MONTH-DAY",
          "    alcohol: " + trimmed_text(plan.wine.alcohol_pct, 2) + " %vol",
          "    sugar: " + trimmed_text(plan.wine.sugar_g_l, 1) + " g/L",
          "    spirit:",
          "      volume: " + trimmed_text(plan.wine.spirit_l, 2) + " L",
          "      strength: " + trimmed_text(options.spirit_pct, 2) + " %vol",
          "      into: " + trimmed_text(plan.must.volume_l, 2) + " L",
          "      # made: YEAR        # of the spirit, if you know it"};
}

const std::vector<std::string>& fortify_cautions() {
  static const std::vector<std::string> kCautions = {
      "Fire: spirit gives off vapour that takes fire at the temperature of a cellar. Flash point 13 °C for pure "
      "ethanol, "
      "17 °C at 96 %vol, 26 °C at 40, 36 °C at 20; air with 3.3 to 19 % of the vapour burns (NIOSH Pocket Guide, and "
      "for "
      "the mixtures a published table; read). No flame, no spark, no smoking, no pump that is not made for it. Metal "
      "containers bonded to each other and earthed before anything flows. Move the air.",
      "Vapour: 1,000 ppm of ethanol over 8 hours, 3,300 ppm at once dangerous (NIOSH Pocket Guide; read).",
      "Bad air: fermenting must gives off carbon dioxide: 5,000 ppm over 8 hours, 30,000 for a short time, 40,000 at "
      "once "
      "dangerous (NIOSH, as cited; read; one source prints 50,000). Nobody leans into a tank or enters it before its "
      "oxygen was measured, 19.5 % at least (29 CFR 1910.146; from memory), and nobody alone.",
      "Never burn sulfur in a cask that has held spirit or fortified wine (from memory).",
      "Spirit is taxed: permits before it is moved or used, and a record of what went where. Local codes and licensed "
      "practice decide, not this program."};
  return kCautions;
}

Document fortify_report(const FortifyView& view) {
  const auto& [plan, options, rules] = view;
  Document report;
  report.title = heading(plan, options);
  report.add(wine_table(plan, options));
  say_result(report, plan, options);
  say_order(report, plan, options);
  report.gap();
  say_night(report, view);
  say_rules(report, view);
  if (!options.lot.empty()) say_block(report, view);
  report.gap();
  report.say(
      "All litres are at 20 °C. Alcohol and water are mixed by mass (OIML R 22), sugar is kept; what it does to the "
      "contraction is left out: with much sugar it is smaller. The must keeps its volume while it ferments, and "
      "16.83 g/L of sugar give 1 %vol (EU and OIV; on skins rather 17 to 23).");
  report.gap();
  for (const std::string& caution : fortify_cautions()) report.say(caution);
  report.csv = night_csv(view);
  return report;
}

}  // namespace tierce
