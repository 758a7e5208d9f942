// How old each draw is, and how old it would be if more or less were drawn.
#include <algorithm>
#include <cmath>

#include "cli/report/long_run.h"
#include "cli/report/page/charts.h"
#include "cli/write/write.h"
#include "engine/measure/age.h"
#include "engine/measure/this_bottling.h"
#include "engine/plan/long_run.h"
#include "engine/rules/strength.h"

namespace tierce {
namespace {

std::string known_text(double value, Figure figure, Units units) {
  return is_known(value) ? figure_text(value, figure, units) : "not known";
}
std::string years_text(double years) { return known_text(years, Figure::age, Units::metric); }
std::string age_number(double years) { return number_text(years, Figure::age, Units::metric); }
std::string up_to_number(double years) { return upper_number_text(years, Figure::age, Units::metric); }

/// "4.1 years", or for wine of which a part has no known age "at least 4.1 years".
std::string age_or_bound(double age_y, double at_least_y) {
  if (is_known(age_y) || !is_known(at_least_y)) return years_text(age_y);
  return "at least " + years_text(at_least_y);
}

std::string parcel_name(const Parcel& parcel) {
  return (parcel.vintage > 0 ? std::to_string(parcel.vintage) : parcel.lot) +
         (parcel.entered_known ? ", entered " + day_text(parcel.entered) : "");
}

std::vector<Fact> facts_of(const Outlook& outlook, const DrawRecord& draw, const AgeSummary& age, Units units) {
  const double strength = strength_of(draw);
  const auto per_litre = [&](Solute solute, Figure figure) {
    return known_text(draw.wine.solutes[solute] / draw.volume_l, figure, Units::metric);
  };
  return {{"mean age", age_or_bound(age.mean_y, age.mean_at_least_y), "by volume, rounded down"},
          {"youngest", age_or_bound(age.youngest_y, age.youngest_at_least_y), ""},
          {"oldest", age_or_bound(age.oldest_y, age.oldest_at_least_y), ""},
          {"spread", years_text(age.sd_y), "standard deviation"},
          {bottling_with(outlook.run, draw) != nullptr ? "bottled" : "drawn",
           figure_text(draw.volume_l, Figure::litres, units),
           "from " + outlook.scenario.name_of(draw.row) + " on " + day_text(draw.date) +
               (draw.past ? "" : "; planned, not done")},
          {"strength", known_text(strength, Figure::alcohol_pct, Units::metric), ""},
          {"sugar", per_litre(kSugar, Figure::grams_per_litre), ""},
          {"total SO2", per_litre(kSo2Total, Figure::milligrams_per_litre), "an estimate between analyses"}};
}

std::string says_of(const AgeSummary& age) {
  if (age.unknown_fraction > 0.0)
    return figure_text(age.unknown_fraction, Figure::share, Units::metric) +
           " of this wine is of unknown age: no bar stands for it, and the ages given are bounds.";
  return "Each bar is the wine of one vintage. A tenth of the wine is up to " + up_to_number(age.quantiles_y[0]) +
         ", half of it up to " + up_to_number(age.quantiles_y[1]) + ", nine tenths up to " +
         upper_figure_text(age.quantiles_y[2], Figure::age, Units::metric) + " old; the mean is " +
         years_text(age.mean_y) + ".";
}

Value marks_of(const AgeSummary& age) {
  Value marks = Value::List{};
  const auto mark = [&](double years, const char* name) {
    const bool upper = std::string(name).ends_with("up to");
    const std::string number = upper ? up_to_number(years) : age_number(years);
    if (is_known(years)) marks.push_back({{"x", years}, {"name", std::string(name) + " " + number}});
  };
  mark(age.youngest_y, "youngest");
  mark(age.quantiles_y[0], "a tenth up to");
  mark(age.quantiles_y[1], "half up to");
  mark(age.mean_y, "mean");
  mark(age.quantiles_y[2], "nine tenths up to");
  return marks;
}

/// The numbers of the largest shares, in order; of few all.
std::vector<std::size_t> largest(const std::vector<Share>& shares, std::size_t most) {
  std::vector<std::size_t> order = evenly(shares.size(), shares.size());
  if (order.size() <= most) return order;
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return shares[a].fraction > shares[b].fraction; });
  order.resize(most);
  std::sort(order.begin(), order.end());
  return order;
}

Choice::Option option_of(const Outlook& outlook, const DrawRecord& draw, Units units, const PageRoom& room) {
  const Clock clock = outlook.scenario.clock;
  const AgeSummary age = age_of(outlook.line, clock, draw.wine, draw.day);
  Choice::Option option{
      draw.name + ", " + (bottling_with(outlook.run, draw) != nullptr ? "bottled " : "") + day_text(draw.date) +
          (draw.past ? "" : " (planned)"),
      facts_of(outlook, draw, age, units),
      says_of(age),
      {{"bars", Value::List{}}, {"marks", marks_of(age)}},
      {{{"vintage"}, {"lot"}, {"share", Figure::share}, {"volume", Figure::litres}, {"age", Figure::age}}, {}}};
  const std::vector<Share> shares = shares_of(outlook.line, clock, draw.wine, draw.day);
  const auto shown = largest(shares, room.parts);
  double rest = 1.0;
  for (const std::size_t i : shown) {
    const Share& share = shares[i];
    rest -= share.fraction;
    const Parcel& parcel = outlook.line.parcels[static_cast<std::size_t>(share.parcel)];
    option.behind.rows.push_back({parcel_name(parcel), parcel.lot, share.fraction, share.litres, share.age_y});
    if (is_known(share.age_y))
      option.drawing["bars"].push_back(
          {{"x", share.age_y}, {"y", 100.0 * share.fraction}, {"name", parcel_name(parcel)}});
  }
  if (shown.size() < shares.size())
    option.says += " The " + std::to_string(shown.size()) + " largest parts of " + std::to_string(shares.size()) +
                   " are shown; all others are " + figure_text(std::max(rest, 0.0), Figure::share, Units::metric) +
                   " of the wine together.";
  return option;
}

Value points_of(const ShareOutcome& outcome, const PageRoom& room) {
  Value points = Value::List{};
  for (const std::size_t i : evenly(outcome.means_y.size(), room.dates)) {
    const auto& [date, mean_y] = outcome.means_y[i];
    if (is_known(mean_y)) points.push_back(Value::List{on_year_axis(date), mean_y});
  }
  return points;
}

std::string bottle_text(double litres) {
  return litres < 1.0 ? figure_text(1000.0 * litres, Figure::whole, Units::metric) + " mL"
                      : figure_text(litres, Figure::small_litres, Units::metric);
}

std::vector<Fact> facts_of(const ShareOutcome& outcome, const DrawShares& shares, Units units) {
  const std::string in_year = "in " + std::to_string(shares.last_year);
  const auto litres = [&](double value) { return known_text(value, Figure::litres, units); };
  const LongRun& settled = outcome.long_run;
  return {{"mean age of the last draw", years_text(outcome.mean_y), in_year},
          {"youngest part", years_text(outcome.youngest_y), in_year},
          {"drawn", litres(outcome.drawn_l), in_year},
          {"bottles", known_text(outcome.bottles, Figure::whole, Units::metric),
           "of " + bottle_text(shares.bottle_l) + " " + in_year},
          {"wine to make", litres(outcome.new_wine_l), in_year},
          {"mean age in the long run", years_text(settled.mean_y),
           is_known(settled.mean_y) ? "exceptions left out" : why_text(settled.why_not)},
          {"today's wine halves every", years_text(settled.half_life_y), "in the long run"}};
}

std::vector<Cell> row_of(const std::string& name, const ShareOutcome& outcome) {
  return {name,
          outcome.mean_y,
          outcome.youngest_y,
          outcome.drawn_l,
          outcome.bottles,
          outcome.new_wine_l,
          outcome.long_run.mean_y,
          outcome.long_run.half_life_y};
}

Table share_table(const DrawShares& shares) {
  Table table{{{"drawn each time"},
               {"mean age", Figure::age},
               {"youngest", Figure::age},
               {"drawn", Figure::litres},
               {"bottles", Figure::whole},
               {"wine to make", Figure::litres},
               {"long-run mean", Figure::age},
               {"halves every", Figure::age}},
              {row_of("as in the file", shares.as_stated)}};
  for (const ShareOutcome& outcome : shares.shares)
    table.rows.push_back(row_of(figure_text(outcome.share, Figure::percent, Units::metric), outcome));
  return table;
}

/// The share that the habit draws, else the one that draws most nearly as much.
std::size_t nearest_to_habit(const Outlook& outlook, const DrawShares& shares) {
  for (const Routine& routine : outlook.scenario.habit)
    if (routine.usual.draw && routine.usual.draw->kind == Amount::Kind::share) {
      const double wanted = routine.usual.draw->value;
      const auto nearer = [&](const ShareOutcome& a, const ShareOutcome& b) {
        return std::abs(a.share - wanted) < std::abs(b.share - wanted);
      };
      const auto found = std::min_element(shares.shares.begin(), shares.shares.end(), nearer);
      return static_cast<std::size_t>(found - shares.shares.begin());
    }
  std::size_t best = 0;
  const auto off = [&](std::size_t i) { return std::abs(shares.shares[i].drawn_l - shares.as_stated.drawn_l); };
  for (std::size_t i = 0; i < shares.shares.size(); ++i)
    if (off(i) < off(best) || !is_known(off(best))) best = i;
  return best;
}

}  // namespace

Choice draw_choice(const Outlook& outlook, Units units, const PageRoom& room) {
  const bool all_draws = outlook.run.bottlings.empty();
  Choice choice{
      .by = Choice::By::list, .label = all_draws ? "Draw" : "Draw or bottling", .title = "Ages in the wine chosen"};
  choice.shared = {{"kind", "ages"},
                   {"x", {{"name", "age"}, {"unit", "years"}}},
                   {"y", {{"name", "share of the wine"}, {"unit", "%"}}}};
  std::vector<const DrawRecord*> wines;
  for (const DrawRecord& draw : outlook.run.draws) wines.push_back(&draw);
  for (const BottlingRecord& bottling : outlook.run.bottlings) wines.push_back(&bottling.wine);
  std::stable_sort(wines.begin(), wines.end(),
                   [](const DrawRecord* a, const DrawRecord* b) { return a->day < b->day; });
  const DrawRecord* chosen = this_bottling(outlook.run);
  std::vector<std::size_t> shown = evenly(wines.size(), room.draws);
  if (const auto at = std::find(wines.begin(), wines.end(), chosen); at != wines.end()) {
    const auto i = static_cast<std::size_t>(at - wines.begin());
    shown.insert(std::upper_bound(shown.begin(), shown.end(), i), i);
  }
  shown.erase(std::unique(shown.begin(), shown.end()), shown.end());
  const std::string things = all_draws ? "draws" : "draws and bottlings";
  for (const std::size_t i : shown) {
    if (wines[i] == chosen) choice.chosen = choice.options.size();
    choice.options.push_back(option_of(outlook, *wines[i], units, room));
    choice.options.back().says += thinned_text(shown.size(), wines.size(), things);
  }
  return choice;
}

Chart mean_age_chart(const Outlook& outlook, const PageRoom& room) {
  Chart chart{
      "Age from draw to draw",
      "",
      {},
      {{{"draw"}, {"date"}, {"mean age", Figure::age}, {"youngest", Figure::age}, {"oldest", Figure::age}}, {}}};
  Value means = Value::List{}, youngest = Value::List{}, bounds = Value::List{};
  const DrawRecord* last = nullptr;
  std::vector<AgeSummary> ages;
  std::vector<double> means_y;
  for (const DrawRecord& draw : outlook.run.draws) {
    ages.push_back(age_of(outlook.line, outlook.scenario.clock, draw.wine, draw.day));
    means_y.push_back(ages.back().mean_y);
  }
  const auto shown = outline(means_y, room.points);
  for (const std::size_t i : shown) {
    const DrawRecord& draw = outlook.run.draws[i];
    const AgeSummary& age = ages[i];
    if (is_known(age.mean_y)) means.push_back(Value::List{on_year_axis(draw.date), age.mean_y});
    else bounds.push_back(Value::List{on_year_axis(draw.date), age.mean_at_least_y});
    if (is_known(age.youngest_y)) youngest.push_back(Value::List{on_year_axis(draw.date), age.youngest_y});
    chart.behind.rows.push_back({draw.name, day_text(draw.date), age.mean_y, age.youngest_y, age.oldest_y});
    last = &draw;
  }
  chart.drawing = {{"kind", "lines"},
                   {"now", on_year_axis(outlook.line.log_end)},
                   {"y", {{"name", "age"}, {"unit", "years"}, {"from", 0}}},
                   {"series", Value::List{{{"name", "mean"}, {"points", means}},
                                          {{"name", "youngest"}, {"points", youngest}},
                                          {{"name", "mean, at least"}, {"points", bounds}}}}};
  if (last != nullptr) {
    const AgeSummary age = age_of(outlook.line, outlook.scenario.clock, last->wine, last->day);
    chart.says = last->name + ": mean " + age_or_bound(age.mean_y, age.mean_at_least_y) + ", youngest " +
                 age_or_bound(age.youngest_y, age.youngest_at_least_y) + "." +
                 thinned_text(shown.size(), means_y.size(), "draws");
  }
  return chart;
}

Choice share_choice(const Outlook& outlook, const DrawShares& shares, Units units, const PageRoom& room) {
  Choice choice{.by = Choice::By::slider, .label = "Drawn each time", .title = "Mean age of the draws to come"};
  choice.chosen = nearest_to_habit(outlook, shares);
  choice.behind = share_table(shares);
  choice.shared = {
      {"kind", "lines"},
      {"y", {{"name", "mean age"}, {"unit", "years"}, {"from", 0}}},
      {"series", Value::List{{{"name", "as in the file"}, {"points", points_of(shares.as_stated, room)}}}}};
  double oldest = 0.0;
  for (const ShareOutcome& outcome : shares.shares) {
    const std::string share = figure_text(outcome.share, Figure::percent, Units::metric);
    std::string says = "Mean age of each draw to come if " + share +
                       " of the last tier were drawn each time, beside the habit as the file has it.";
    if (!outcome.stopped.empty()) says += " This plan cannot be kept to the end: " + outcome.stopped + ".";
    choice.options.push_back(
        {share,
         facts_of(outcome, shares, units),
         says,
         {{"series", Value::List{{{"name", share + " drawn"}, {"points", points_of(outcome, room)}}}}},
         {}});
    for (const auto& [date, mean_y] : outcome.means_y) oldest = mean_y > oldest ? mean_y : oldest;
  }
  choice.shared["y"]["to"] = oldest;  // the axis stays as it is while the slider moves
  return choice;
}

}  // namespace tierce
