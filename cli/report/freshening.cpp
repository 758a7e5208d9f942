// What new wine brings about, and what else it changes: a part of `tierce target`.
#include <cmath>

#include "cli/report/so2_text.h"
#include "cli/report/target.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

std::string wanted_text(const Bring& bring) {
  constexpr const char* kNames[] = {"mean age ", "strength ", "sugar ", "volatile "};
  constexpr const char* kUnits[] = {" years", " %vol", " g/L", " g/L"};
  const auto what = static_cast<std::size_t>(bring.what);
  return kNames[what] + trimmed_text(bring.wanted, 2) + kUnits[what];
}

std::vector<Cell> row_of(const std::string& name, double new_wine_l, double drawn_l, const FreshWine& wine) {
  return {name,
          new_wine_l,
          drawn_l,
          wine.volume_l,
          wine.mean_y,
          wine.youngest_y,
          wine.alcohol_pct,
          wine.sugar_g_l,
          wine.acidity_g_l,
          wine.va_g_l,
          wine.so2_total_mg_l,
          so2_text(wine.so2_free_mg_l, Figure::milligrams_per_litre)};
}

}  // namespace

void report_freshening(Report& report, const FreshenAnswer& fresh) {
  const auto say = [&](const std::string& text) { report.parts.push_back(Paragraph{text}); };
  say("New wine into " + fresh.tier + " on " + day_text(fresh.date) + ": " + fresh.lot + ", " +
      figure_text(fresh.lot_age_y, Figure::age, Units::metric) + " old that day");
  say("");
  Table table{{{"to reach"},
               {"new\nwine", Figure::small_litres},
               {"draw\nfirst", Figure::small_litres},
               {"then\nholds", Figure::litres},
               {"mean\nage", Figure::age},
               {"youn-\ngest", Figure::age},
               {"strength", Figure::alcohol_pct},
               {"sugar", Figure::grams_per_litre},
               {"acid", Figure::fine_grams_per_litre},
               {"vola-\ntile", Figure::fine_grams_per_litre},
               {"SO2\ntotal", Figure::milligrams_per_litre},
               {"SO2\nfree", Figure::milligrams_per_litre}},
              {}};
  table.rows.push_back(row_of("(as it is)", 0.0, 0.0, fresh.values.front().before));
  bool any = false;
  for (const Freshening& one : fresh.values)
    if (is_known(one.new_wine_l)) {
      table.rows.push_back(row_of(wanted_text(one.bring), one.new_wine_l, one.drawn_first_l, one.after));
      any = true;
    }
  report.parts.push_back(table);
  say("");
  for (const Freshening& one : fresh.values)
    if (!is_known(one.new_wine_l))
      say("Not with this wine: " + wanted_text(one.bring) + ", because " + one.why_not + ". Possible: " + one.possible +
          ".");
  if (any)
    say("Each line alone, from the wine as it is expected that day, before anything else is done. What is drawn first "
        "is whole wine that makes room up to the tier's target; strengths and contents add by volume, nothing is "
        "dosed. Free SO2 is an estimate.");
  say("");
}

}  // namespace tierce
