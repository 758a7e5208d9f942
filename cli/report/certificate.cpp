// What a draw is made of, for its buyer: figures of the book, no label and no legal claim.
#include "cli/read/rule_book.h"
#include "cli/report/assumptions.h"
#include "cli/report/remarks.h"
#include "cli/report/report.h"
#include "cli/report/so2_text.h"
#include "cli/report/wine_rows.h"
#include "cli/write/write.h"
#include "engine/measure/age.h"
#include "engine/measure/composition.h"
#include "engine/rules/strength.h"

namespace tierce {
namespace {

void line(Document& report, const std::string& name, const std::string& value) { report.term(name, value, 16); }

std::string stated_shares(const std::vector<NamedShare>& shares) {
  double stated = 0.0;
  std::string text;
  for (const NamedShare& share : shares) {
    stated += share.fraction;
    text += (text.empty() ? "" : ", ") + share.name + " " + figure_text(share.fraction, Figure::share, Units::metric);
  }
  constexpr double kAll = 1.0 - 1e-9;
  if (stated >= kAll) return text;
  return text +
         (text.empty() ? "not stated" : ", not stated " + figure_text(1.0 - stated, Figure::share, Units::metric));
}

void figures(Document& report, const Outlook& outlook, const DrawRecord& draw) {
  const auto per_litre = [&](Solute solute) { return draw.wine.solutes[solute] / draw.volume_l; };
  const auto figure = [](double value, Figure kind) {
    return is_known(value) ? figure_text(value, kind, Units::metric) : std::string("not known");
  };
  const double pct = strength_of(draw);
  line(report, "strength", figure(pct, Figure::alcohol_pct) + " at 20 °C");
  line(report, "strength class", strength_class(outlook.scenario, pct));
  line(report, "sugar", figure(per_litre(kSugar), Figure::grams_per_litre) + " of glucose and fructose");
  line(report, "acidity",
       figure(per_litre(kAcid), Figure::fine_grams_per_litre) + " as tartaric acid; volatile " +
           figure(per_litre(kVolatileAcid), Figure::fine_grams_per_litre) + " as acetic acid; pH " +
           figure(draw.ph, Figure::ph));
  line(report, "sulfur dioxide",
       figure(per_litre(kSo2Total), Figure::milligrams_per_litre) + " total, " + free_text(sulfur_of(draw)) +
           " mg/L free, " + molecular_text(outlook.scenario, sulfur_of(draw)) + " mg/L molecular");
  line(report, "grapes", stated_shares(grapes_of(outlook.line, draw.wine.litres)));
  line(report, "grown", stated_shares(grown_of(outlook.line, draw.wine.litres)));
}

Table lots_table(const Outlook& outlook, const DrawRecord& draw) {
  Table table =
      table_of(shares_in(DrawRow{&outlook, &draw}.now()), kShare, {"vintage", "lot", "fraction", "litres", "age_y"});
  for (auto& row : table.rows)
    if (std::get<std::string>(row.front()).empty()) row.front() = "-";
  return table;
}

}  // namespace

std::string strength_class(const Scenario& scenario, double pct) {
  if (!is_known(pct)) return "not known";
  const std::vector<StrengthBoundary> boundaries = boundaries_of(scenario);
  const StrengthBoundary* below = nullptr;
  const StrengthBoundary* above = nullptr;
  for (const StrengthBoundary& boundary : boundaries) {
    if (strength_on_scale(pct, boundary.strength_at_c) > boundary.pct) below = &boundary;
    else if (above == nullptr) above = &boundary;
  }
  const auto side = [](const char* word, const StrengthBoundary& boundary) {
    return std::string(word) + figure_text(boundary.pct, Figure::whole, Units::metric) + " %vol (" + boundary.meaning +
           "; " + boundary.source + ")";
  };
  std::string text = below != nullptr ? side("above ", *below) : "";
  if (above != nullptr) text += (text.empty() ? "" : ", ") + side("not above ", *above);
  return text;
}

Document certificate_report(const Outlook& outlook, const std::vector<const DrawRecord*>& draws, Units units) {
  Document report;
  for (const DrawRecord* draw : draws) {
    report.head("CERTIFICATE OF COMPOSITION");
    line(report, "reserve", outlook.scenario.reserve);
    line(report, "wine", draw->name + (draw->past ? "" : " (forecast, not drawn yet)"));
    line(report, "use", use_text(draw->use));
    line(report, "drawn",
         figure_text(draw->volume_l, Figure::litres, units) + " from " + outlook.scenario.name_of(draw->row) + " on " +
             day_text(draw->date));
    figures(report, outlook, *draw);
    report.add(lots_table(outlook, *draw));
  }
  report.say(
      "Shares and ages are rounded down. All figures are computed from the book of the reserve; pH and free SO2 "
      "are estimates. An analysis of the wine delivered goes before them. The class is that of the strength "
      "alone: how the wine was made and what its label may say are not certified here.");
  report.say(assumptions(outlook).front());
  for (const std::string& remark : remarks_beside_figures(outlook)) report.say(remark);
  report.csv = parts_table(outlook, {draws, {}});
  return report;
}

}  // namespace tierce
