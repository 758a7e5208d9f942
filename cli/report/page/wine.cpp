// What the wine is like from year to year: strength, and sulfur dioxide.
#include <algorithm>
#include <cmath>

#include "cli/read/rule_book.h"
#include "cli/report/page/charts.h"
#include "cli/report/so2_text.h"
#include "cli/write/write.h"
#include "engine/rules/strength.h"
#include "engine/wine/alcoholometry.h"

namespace tierce {
namespace {

constexpr double kNearPct = 1.5;  // boundaries within so much of any draw are shown

std::string strength_text(double pct) { return figure_text(pct, Figure::alcohol_pct, Units::metric); }

/// The chart is at 20 °C; a rule may have a scale of its own.
double on_chart(double pct, double scale_c) {
  return scale_c == kStrengthC ? pct : alcohol_pct_from_scale(pct, scale_c).value_or(kUnknown);
}

/// The strengths that a label states, each with the narrowest tolerance of the rules that it is held against.
Value tolerance_bands(const LabelView& view) {
  Value bands = Value::List{};
  for (std::size_t c = 0; c < view.claims.size(); ++c) {
    const Judgement* narrowest = nullptr;
    for (const ClaimOnDraw& one : view.judged)
      for (const Judgement& row : one.rows)
        if (one.claim == c && row.quantity == "difference from the stated strength" &&
            row.because != Because::not_covered && (narrowest == nullptr || row.limit < narrowest->limit))
          narrowest = &row;
    if (narrowest == nullptr) continue;
    const Claim& claim = view.claims[c];
    const double scale_c = claim.stated_in_proof ? kStrengthC : narrowest->rule->strength_at_c;
    bands.push_back({{"from", on_chart(claim.stated - narrowest->limit, scale_c)},
                     {"to", on_chart(claim.stated_to + narrowest->limit, scale_c)},
                     {"name", "label " + strength_text(claim.stated) + ", within " + strength_text(narrowest->limit) +
                                  " (" + narrowest->rule->id + ")"}});
  }
  return bands;
}

struct Range {
  double low = INFINITY, high = -INFINITY;
  void take(double value) {
    low = std::fmin(low, value);
    high = std::fmax(high, value);
  }
};

Value boundaries_near(const Scenario& scenario, const Range& range) {
  Value limits = Value::List{};
  for (const StrengthBoundary& boundary : boundaries_of(scenario))
    if (boundary.pct > range.low - kNearPct && boundary.pct < range.high + kNearPct)
      limits.push_back(
          {{"y", on_chart(boundary.pct, boundary.strength_at_c)},
           {"name", figure_text(boundary.pct, Figure::whole, Units::metric) + " %vol: " + boundary.meaning}});
  return limits;
}

/// Places from which wine is drawn, in order of rows.
std::vector<int> rows_drawn(const Outlook& outlook) {
  std::vector<int> rows;
  for (int row = 0; row < outlook.scenario.rows(); ++row)
    if (std::any_of(outlook.run.draws.begin(), outlook.run.draws.end(),
                    [&](const DrawRecord& draw) { return draw.row == row; }))
      rows.push_back(row);
  return rows;
}

/// Points of the analyses of a row, for a mark on the chart.
Value readings_of(const Outlook& outlook, int row, const char* quantity, const PageRoom& room) {
  std::vector<const Reading*> found;
  std::vector<double> measured;
  for (const Reading& reading : outlook.run.readings)
    if (reading.row == row && reading.vessel < 0 && reading.quantity == quantity) {
      found.push_back(&reading);
      measured.push_back(reading.measured);
    }
  Value points = Value::List{};
  for (const std::size_t i : outline(measured, room.points))
    points.push_back(Value::List{on_year_axis(found[i]->date), found[i]->measured});
  return points;
}

/// The highest of a series of levels, and the limits that are worth a line beside it.
Value limits_near(const DoseSchedule& schedule, double highest, bool of_free) {
  Value limits = Value::List{};
  double lowest_limit = INFINITY;
  for (const SulfurVerdict& verdict : schedule.limits)
    if (verdict.limit.of_free() == of_free) lowest_limit = std::min(lowest_limit, verdict.limit.limit_mg_l());
  for (const SulfurVerdict& verdict : schedule.limits) {
    const SulfurLimit& limit = verdict.limit;
    if (limit.of_free() != of_free || limit.limit_mg_l() > std::max(lowest_limit, 1.5 * highest)) continue;
    const std::string mg = figure_text(limit.limit_mg_l(), Figure::milligrams_per_litre, Units::metric);
    limits.push_back({{"y", limit.limit_mg_l()}, {"name", mg + ": " + limit.rule->id}});
  }
  return limits;
}

/// SO2 of a row at one moment.
struct SulfurLevel {
  Date date;
  std::string when;
  SulfurNow now;
  double dose_mg_l = kUnknown;
};

/// Before and after every dose, and at the end of every year; in order of time.
std::vector<SulfurLevel> sulfur_levels(const Outlook& outlook, const std::vector<PlannedDose>& doses, int row) {
  std::vector<SulfurLevel> levels;
  for (const PlannedDose& dose : doses) {
    if (dose.record.row != row) continue;
    const auto add = [&](const SulfurMoment& moment, const char* when) {
      levels.push_back({moment.date, when, moment.now, dose.record.dose_mg_l});
    };
    add(dose.before, "before the dose");
    add(dose.after, "just after it");
  }
  for (const Stock& stock : outlook.run.looks) {
    if (!(stock.volume[row] > 0.0)) continue;
    if (is_known(stock.per_litre(row, kSo2Total)))
      levels.push_back({stock.date, "at the end of the day", sulfur_of(stock, row), kUnknown});
  }
  std::stable_sort(levels.begin(), levels.end(),
                   [](const SulfurLevel& a, const SulfurLevel& b) { return a.date < b.date; });
  return levels;
}

/// Those that a line of so many points needs: of each stretch the highest and the lowest.
std::vector<SulfurLevel> thinned(const std::vector<SulfurLevel>& levels, std::size_t most) {
  std::vector<double> totals;
  for (const SulfurLevel& level : levels) totals.push_back(level.now.total_mg_l);
  std::vector<SulfurLevel> shown;
  for (const std::size_t i : outline(totals, most)) shown.push_back(levels[i]);
  return shown;
}

/// The strengths of a row's draws, where they are known, as a series of a chart.
Value strengths_of(const Outlook& outlook, int row, const PageRoom& room, Range& range) {
  std::vector<const DrawRecord*> draws;
  std::vector<double> strengths;
  for (const DrawRecord& draw : outlook.run.draws)
    if (draw.row == row && is_known(strength_of(draw))) {
      draws.push_back(&draw);
      strengths.push_back(strength_of(draw));
      range.take(strengths.back());
    }
  Value points = Value::List{};
  for (const std::size_t i : outline(strengths, room.points))
    points.push_back(Value::List{on_year_axis(draws[i]->date), strengths[i]});
  return {{"name", outlook.scenario.name_of(row)}, {"points", points}};
}

std::string says_of_strengths(const Range& range, bool measured, Value drawing) {
  if (!std::isfinite(range.low)) return "No strength of any draw is known.";
  std::string says = "Between " + strength_text(range.low) + " and " + strength_text(range.high) + ".";
  if (measured) says += " Crosses are analyses.";
  if (!drawing["limits"].empty()) says += " Dashed lines are strengths at which the wine changes its class.";
  if (!drawing["bands"].empty()) says += " The hatched band is what the strength that a claim states may differ by.";
  return says;
}

Chart empty_sulfur_chart(const std::string& name) {
  return {"Sulfur dioxide in " + name,
          "",
          {},
          {{{"date"},
            {"when"},
            {"total", Figure::milligrams_per_litre},
            {"free", Figure::milligrams_per_litre},
            {"molecular", Figure::fine_milligrams_per_litre},
            {"dose, mg/L", Figure::tenths}},
           {}}};
}

}  // namespace

Chart strength_chart(const LabelView& view, const PageRoom& room) {
  const Outlook& outlook = *view.outlook;
  Chart chart{
      "Strength from draw to draw", "", {}, {{{"draw"}, {"date"}, {"from"}, {"strength", Figure::alcohol_pct}}, {}}};
  Value series = Value::List{};
  Range range;
  bool any_measured = false;
  const std::vector<int> rows = rows_drawn(outlook);
  for (const std::size_t r : evenly(rows.size(), room.tiers)) {
    series.push_back(strengths_of(outlook, rows[r], room, range));
    const Value measured = readings_of(outlook, rows[r], "alcohol", room);
    any_measured = any_measured || !measured.empty();
    if (!measured.empty()) series.push_back({{"name", "measured"}, {"points", measured}, {"marks", true}});
  }
  const auto shown = evenly(outlook.run.draws.size(), room.points);
  for (const std::size_t i : shown) {
    const DrawRecord& draw = outlook.run.draws[i];
    chart.behind.rows.push_back(
        {draw.name, day_text(draw.date), outlook.scenario.name_of(draw.row), strength_of(draw)});
  }
  chart.drawing = {{"kind", "lines"},
                   {"now", on_year_axis(outlook.line.log_end)},
                   {"y", {{"name", "strength"}, {"unit", "%vol"}}},
                   {"series", series},
                   {"limits", boundaries_near(outlook.scenario, range)},
                   {"bands", tolerance_bands(view)}};
  chart.says = says_of_strengths(range, any_measured, chart.drawing);
  chart.says += thinned_text(shown.size(), outlook.run.draws.size(), "draws");
  return chart;
}

Chart sulfur_chart(const Outlook& outlook, const DoseSchedule& schedule, const std::vector<PlannedDose>& doses, int row,
                   const PageRoom& room) {
  Chart chart = empty_sulfur_chart(outlook.scenario.name_of(row));
  Value total = Value::List{}, low = Value::List{}, high = Value::List{};
  double highest = 0.0;
  const std::vector<SulfurLevel> all_levels = sulfur_levels(outlook, doses, row);
  const std::vector<SulfurLevel> levels = thinned(all_levels, room.points);
  if (levels.empty() || levels.front().date == levels.back().date) return chart;  // one moment is no line
  for (const SulfurLevel& level : levels) {
    const double total_mg_l = level.now.total_mg_l;
    total.push_back(Value::List{on_year_axis(level.date), total_mg_l});
    low.push_back(Value::List{on_year_axis(level.date), level.now.free_mg_l.low});
    high.push_back(Value::List{on_year_axis(level.date), level.now.free_mg_l.high});
    if (is_known(total_mg_l)) highest = std::max(highest, total_mg_l);
    chart.behind.rows.push_back({day_text(level.date), level.when, total_mg_l, free_text(level.now),
                                 molecular_text(outlook.scenario, level.now), level.dose_mg_l});
  }
  if (highest == 0.0) return chart;  // nothing is known, or there is none
  Value series = Value::List{{{"name", "total"}, {"points", total}},
                             {{"name", "free, at most"}, {"points", high}},
                             {{"name", "free, at least"}, {"points", low}}};
  const Value measured = readings_of(outlook, row, "so2 total", room);
  if (!measured.empty()) series.push_back({{"name", "total measured"}, {"points", measured}, {"marks", true}});
  Value limits = limits_near(schedule, highest, false);
  chart.drawing = {{"kind", "lines"},
                   {"now", on_year_axis(outlook.line.log_end)},
                   {"y", {{"name", "SO2"}, {"unit", "mg/L"}, {"from", 0}}},
                   {"series", series},
                   {"limits", limits}};
  chart.says = "Each step up is a dose, each slope what is lost. At most " +
               figure_text(highest, Figure::milligrams_per_litre, Units::metric) +
               " in total. Lines join reckoned values, which are estimates between analyses" +
               (measured.empty() ? "." : "; crosses are analyses.") +
               thinned_text(levels.size(), all_levels.size(), "moments");
  return chart;
}

}  // namespace tierce
