#include "engine/plan/compare.h"

#include <algorithm>
#include <cmath>

#include "engine/measure/balance.h"
#include "engine/measure/money.h"
#include "engine/rules/strength.h"

namespace tierce {
namespace {

/// What a litre of a year's draws has cost; a draw out of a tank in which an earlier one stands is no second one.
double cost_of_year(const Outlook& outlook, int year) {
  double money = 0.0, litres = 0.0;
  for (const DrawRecord& draw : outlook.run.draws) {
    if (draw.date.year != year || draw.again) continue;
    money += draw.wine.solutes[kMoney];
    litres += draw.volume_l;
  }
  return litres > 0.0 ? money / litres : kUnknown;
}

ComparedYear year_of(const Outlook& outlook, const YearFlows& flows) {
  ComparedYear year{.year = flows.year, .planned = flows.closed > outlook.line.log_end};
  for (const DrawRecord& draw : outlook.run.draws)
    if (draw.date.year == flows.year && !draw.again) year.drawn_l += draw.volume_l;
  year.new_wine_l = flows.litres[kIn];
  year.evaporated_l = flows.litres[kEvaporated];
  year.closing_l = flows.closing_l;
  if (flows.closing_l > 0.0) year.closing_pct = 100.0 * flows.closing_alcohol_l / flows.closing_l;
  year.ages = ages_of_year(outlook, flows.year);
  year.cost_per_l = cost_of_year(outlook, flows.year);
  return year;
}

ComparedDraw draw_of(const Outlook& outlook, const DrawRecord& draw) {
  ComparedDraw last{.name = draw.name, .date = draw.date, .volume_l = draw.volume_l};
  last.age = age_of(outlook.line, outlook.scenario.clock, draw.wine, draw.day);
  last.alcohol_pct = strength_of(draw);
  last.sugar_g_l = draw.wine.solutes[kSugar] / draw.volume_l;
  last.so2 = sulfur_of(draw);
  last.so2_molecular_mg_l = molecular_so2_mg_l(outlook.scenario, last.so2);
  last.cost_per_l = cost_per_l(draw);
  return last;
}

ComparedVariant compared(Varied varied, const Outlook& outlook) {
  ComparedVariant variant{std::move(varied)};
  for (const YearFlows& flows : outlook.run.flows.years) variant.years.push_back(year_of(outlook, flows));
  for (const DrawRecord& draw : outlook.run.draws) {
    if (draw.again) continue;
    variant.last_draw = draw_of(outlook, draw);
    if (!draw.past) variant.drawn_l += draw.volume_l;
  }
  for (const RefreshRecord& refresh : outlook.run.refreshes)
    if (!refresh.past) variant.new_wine_l += refresh.new_wine_l;
  variant.long_run = long_run(outlook.scenario);
  const Balance litres = balance_of_volume(outlook.run);
  variant.balances = std::abs(litres.gap()) <= kBalanceTolerance * litres.throughput();
  variant.stopped = outlook.run.stopped;
  return variant;
}

}  // namespace

Span span_of_years(const Scenario& scenario, const std::optional<int>& years) {
  Span span;
  if (years) span.until_year = std::max(last_entry(scenario).year, 1) + *years;
  return span;
}

Comparison compare(std::vector<Varied> variants, const std::optional<int>& years) {
  Comparison comparison;
  for (Varied& one : variants) {
    Outlook outlook = run_scenario(one.scenario, span_of_years(one.scenario, years));
    const bool first = comparison.variants.empty();
    comparison.variants.push_back(compared(std::move(one), outlook));
    if (first) comparison.base = std::move(outlook);
  }
  return comparison;
}

}  // namespace tierce
