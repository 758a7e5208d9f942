#include "cli/report/page/reserve.h"

#include <algorithm>
#include <cmath>

#include "cli/read/claim_check.h"
#include "cli/read/rule_book.h"
#include "cli/report/assumptions.h"
#include "cli/report/dose_words.h"
#include "cli/report/foot.h"
#include "cli/report/label/label.h"
#include "cli/report/long_run.h"
#include "cli/report/page/charts.h"
#include "cli/report/page/report.h"
#include "cli/report/refresh/refresh.h"
#include "cli/report/report.h"
#include "cli/write/write.h"
#include "engine/measure/age.h"
#include "engine/measure/balance.h"
#include "engine/measure/this_bottling.h"
#include "engine/plan/long_run.h"
#include "engine/rules/strength.h"

namespace tierce {
namespace {

constexpr Units kMetric = Units::metric;

std::string or_dash(double value, Figure figure, Units units) {
  return is_known(value) ? figure_text(value, figure, units) : "not known";
}

std::string age_text(double age_y, double at_least_y) {
  if (is_known(age_y)) return figure_text(age_y, Figure::age, kMetric);
  return is_known(at_least_y) ? "at least " + figure_text(at_least_y, Figure::age, kMetric) : "not known";
}

Fact draw_fact(const Outlook& outlook, const DrawRecord& draw, const std::string& name) {
  const AgeSummary age = age_of(outlook.line, outlook.scenario.clock, draw.wine, draw.day);
  return {name, age_text(age.mean_y, age.mean_at_least_y),
          draw.name + "; youngest part " + age_text(age.youngest_y, age.youngest_at_least_y)};
}

/// The oldest tier that holds wine: what bottlings come from.
int last_tier(const Stock& stock, const Scenario& scenario) {
  for (int row = scenario.tier_count() - 1; row >= 0; --row)
    if (stock.volume[row] > 0.0) return row;
  return -1;
}

void stock_facts(const ReserveRuns& runs, const Stock& stock, std::vector<Fact>& facts) {
  const Scenario& scenario = runs.outlook.scenario;
  facts.push_back({"in the reserve", figure_text(stock.volume.sum(), Figure::litres, runs.units),
                   "at the end of " + day_text(stock.date)});
  const int row = last_tier(stock, scenario);
  if (row < 0) return;
  const std::string where = "in " + scenario.name_of(row) + ", " + day_text(stock.date);
  facts.push_back({"strength", or_dash(stock.alcohol_pct(row), Figure::alcohol_pct, kMetric), where});
  if (const double total = stock.per_litre(row, kSo2Total); is_known(total) && total > 0.0)
    facts.push_back({"total SO2", figure_text(total, Figure::milligrams_per_litre, kMetric), where});
}

void refresh_fact(const ReserveRuns& runs, std::vector<Fact>& facts) {
  for (const RefreshRecord& refresh : runs.outlook.run.refreshes)
    if (!refresh.past) {
      facts.push_back({"next refresh", day_text(refresh.date),
                       figure_text(refresh.new_wine_l, Figure::litres, runs.units) + " of new wine"});
      return;
    }
}

std::string closes_text(const Trajectory& run) {
  const Balance balance = balance_of_volume(run);
  const double most = kBalanceTolerance * balance.throughput();
  return std::abs(balance.gap()) <= most && largest_parcel_gap_l(run) <= most ? "closes" : "DOES NOT CLOSE";
}

Facts headline(const ReserveRuns& runs) {
  const Outlook& outlook = runs.outlook;
  Facts headline;
  auto& facts = headline.facts;
  if (!runs.book.run.looks.empty()) stock_facts(runs, runs.book.run.looks.back(), facts);
  if (const DrawRecord* wine = this_bottling(outlook.run))
    facts.push_back(draw_fact(outlook, *wine, "mean age, this bottling"));
  refresh_fact(runs, facts);
  if (!outlook.run.draws.empty() && !outlook.run.draws.back().past) {
    const DrawRecord& last = outlook.run.draws.back();
    facts.push_back(draw_fact(outlook, last, "mean age in " + std::to_string(last.date.year)));
  }
  if (!outlook.scenario.habit.empty()) {
    const LongRun settled = long_run(outlook.scenario);
    const bool known = is_known(settled.mean_y);
    facts.push_back({"mean age in the long run", or_dash(settled.mean_y, Figure::age, kMetric),
                     known ? "if the habit goes on without exceptions" : why_text(settled.why_not)});
  }
  facts.push_back({"balance", closes_text(outlook.run), "lot by lot, to a part in a thousand million"});
  return headline;
}

Part glance(const ReserveRuns& runs) {
  Part part{"At a glance", {}};
  if (const auto& stopped = runs.outlook.run.stopped)
    part.blocks.push_back(Sentence{"The forecast stops on " + day_text(stopped->date) + ": " + stopped->problem.what +
                                       ". All that follows ends there.",
                                   true});
  part.blocks.push_back(headline(runs));
  if (!runs.book.run.looks.empty())
    for (Block& block : blocks_of(stock_report(runs.book, runs.book.run.looks.back(), "", runs.units)))
      part.blocks.push_back(std::move(block));
  return part;
}

Part vintages(const ReserveRuns& runs) {
  Part part{"The vintages in the wine", {}};
  for (Chart& chart : vintage_charts(runs.outlook, runs.room)) part.blocks.push_back(std::move(chart));
  return part;
}

Part ages(const ReserveRuns& runs) {
  Part part{"How old the wine is", {}};
  part.blocks.push_back(draw_choice(runs.outlook, runs.units, runs.room));
  if (runs.outlook.run.draws.size() > 1) part.blocks.push_back(mean_age_chart(runs.outlook, runs.room));
  return part;
}

Part drawing_more(const ReserveRuns& runs, const DrawShares& shares) {
  Part part{"If you drew more, or less", {}};
  part.blocks.push_back(
      Sentence{"Each step of the slider is a run of its own: the same book, the same habit with its exceptions, only "
               "another share of the last tier drawn each time."});
  part.blocks.push_back(share_choice(runs.outlook, shares, runs.units, runs.room));
  return part;
}

Part where_it_went(const ReserveRuns& runs) {
  return {"Where the wine went",
          {flow_chart(runs.outlook, runs.units, runs.room), held_chart(runs.outlook, runs.units, runs.room)}};
}

/// Where the strength passes from one class to another: sentences that the forecast prints too.
Part strength(const ReserveRuns& runs) {
  Part part{"Strength", {strength_chart(label_of(runs), runs.room)}};
  for (const std::string& warning : strength_warnings(runs.outlook)) part.blocks.push_back(Sentence{warning});
  return part;
}

/// Blocks without the cautions that another part of the page prints.
void take_without(const std::vector<std::string>& cautions, std::vector<Block> blocks, Part& part) {
  for (Block& block : blocks) {
    if (auto* listing = std::get_if<Listing>(&block)) {
      std::erase_if(listing->items, [&](const std::string& item) {
        return std::find(cautions.begin(), cautions.end(), item) != cautions.end();
      });
      if (listing->items.empty()) continue;
    }
    part.blocks.push_back(std::move(block));
  }
}

Part sulfur(const ReserveRuns& runs) {
  Part part{"Sulfur dioxide", {}};
  const DoseSchedule schedule = dose_schedule(runs.outlook);
  const auto rows = static_cast<std::size_t>(runs.outlook.scenario.rows());
  const auto shown = evenly(rows, runs.room.tiers);
  const auto doses = planned_doses(runs.outlook.scenario, runs.outlook.line, runs.outlook.run);
  for (const std::size_t row : shown)
    if (Chart chart = sulfur_chart(runs.outlook, schedule, doses, static_cast<int>(row), runs.room);
        !chart.drawing.empty())
      part.blocks.push_back(std::move(chart));
  if (shown.size() < rows)
    part.blocks.push_back(Sentence{thinned_text(shown.size(), rows, "tiers and tanks").substr(1)});
  const Document report = dose_report(runs.outlook, runs.units);
  if (schedule.doses.empty()) {
    if (!report.title.empty()) part.blocks.push_back(Sentence{report.title});
    for (Block& block : blocks_of(report)) part.blocks.push_back(std::move(block));
    return part;
  }
  take_without(sulfur_cautions(), blocks_of(report), part);
  part.blocks.push_back(Sentence{"Before anybody doses:", true});
  part.blocks.push_back(Listing{sulfur_cautions()});
  return part;
}

/// A line of the balance, and the flow it shows.
struct FlowLine {
  const char* name;
  Flow flow;
};
constexpr FlowLine kFlows[] = {{"+ opening stock", kOpening},
                               {"+ in", kIn},
                               {"+ dosed", kDosed},
                               {"+ water", kWater},
                               {"- drawn", kDrawn},
                               {"- bottled from tanks", kBottled},
                               {"- evaporated", kEvaporated},
                               {"- missing at gauges", kGauged},
                               {"- lost", kLost},
                               {"- contracted", kContracted},
                               {"+ found by analysis", kAnalysed},
                               {"+ gained (SO2: oxidised)", kGained}};

/// Wine, pure alcohol, sugar and SO2: what came in, what left, what is held, and the difference.
Table balance_table(const Trajectory& run) {
  constexpr double kMilligramsPerGram = 1000.0;
  const Balance balances[] = {balance_of_volume(run), balance_of_alcohol(run), balance_of(run, kSugar),
                              balance_of(run, kSo2Total)};
  const auto row = [&](const char* name, auto figure) {
    return std::vector<Cell>{std::string(name), figure(balances[0]), figure(balances[1]), figure(balances[2]),
                             figure(balances[3]) / kMilligramsPerGram};
  };
  Table table{{{"over the whole run"},
               {"wine", Figure::small_litres},
               {"pure alcohol", Figure::small_litres},
               {"sugar, g", Figure::whole},
               {"SO2, g", Figure::whole}},
              {}};
  for (const auto& one : kFlows) {
    const auto none = [&](const Balance& balance) { return balance.flow[one.flow] == 0.0; };
    if (std::all_of(std::begin(balances), std::end(balances), none)) continue;
    table.rows.push_back(row(one.name, [&](const Balance& balance) { return balance.flow[one.flow]; }));
  }
  table.rows.push_back(row("= held", [](const Balance& balance) { return balance.held; }));
  table.rows.push_back(row("difference", [](const Balance& balance) { return balance.gap(); }));
  return table;
}

Part basis(const ReserveRuns& runs) {
  Part part{"The balance, and what the figures rest on", {}};
  part.blocks.push_back(Sentence{balance_text(runs.outlook, runs.units)});
  part.blocks.push_back(balance_table(runs.outlook.run));
  part.blocks.push_back(Listing{assumptions(runs.outlook)});
  part.blocks.push_back(
      Sentence{"Ages and shares are rounded down, all else to the nearest. Figures up to the last entry of the book "
               "rest on what was gauged and analysed; what follows is the habit, carried on."});
  part.blocks.push_back(
      Sentence{"Equations, and the source of each constant, stand in the manual: docs/model.md and docs/sources.md."});
  part.blocks.push_back(Sentence{"This page is no legal advice, no laboratory, and no guide to safe work:", true});
  part.blocks.push_back(Listing{
      {"Rules change. Nothing here says that a wine, a label or a dose is legal: ask the authority of your place.",
       "Computed figures drift. Gauge, taste and analyse, and put the readings in the book.",
       "High-proof spirit gives off vapour that takes fire at cellar temperature: no flame, no spark.",
       "Carbon dioxide and sulfured air kill: nobody enters a cask, or puts the head in, before its air was measured, "
       "and never alone.",
       "Defer to local codes and licensed practice."}});
  return part;
}

/// What to do on the next day of the habit, and the sheet that is carried to the cellar.
Part next_refresh(const ReserveRuns& runs) {
  Part part{"The next refresh", {}};
  if (const auto* refusal = std::get_if<OrderRefusal>(&runs.refresh)) {
    for (const Problem& problem : refusal->problems)
      part.blocks.push_back(Sentence{"No refresh can be planned: " + problem.what + "."});
    return part;
  }
  const Refresh& refresh = std::get<Refresh>(runs.refresh);
  const Document report = refresh_report(refresh, runs.units);
  part.blocks.push_back(Sentence{report.title});
  take_without(sulfur_cautions(), blocks_of(report), part);
  std::erase_if(part.blocks, [](const Block& block) {  // how to have more worked out is of no use on paper
    const auto* sentence = std::get_if<Sentence>(&block);
    return sentence != nullptr && sentence->text.starts_with("With --");
  });
  part.blocks.push_back(Heading{"The sheet for the cellar"});
  for (Block& sheet : blocks_of_sheets(refresh_sheet(refresh, runs.units))) part.blocks.push_back(std::move(sheet));
  return part;
}

Part on_the_label(const ReserveRuns& runs) {
  Part part{"What may be said on the label", {}};
  const Document report = label_report(label_of(runs), nullptr, runs.units);
  part.blocks.push_back(Sentence{report.title});
  for (Block& block : blocks_of(report)) part.blocks.push_back(std::move(block));
  return part;
}

std::string lead_of(const Outlook& outlook) {
  const auto& years = outlook.run.flows.years;
  if (years.empty()) return "Nothing has happened yet and no habit is stated.";
  std::string lead = "From " + std::to_string(years.front().year) + " to " + day_text(years.back().closed) + ".";
  if (outlook.line.log_end.year > 0) lead += " The book ends on " + day_text(outlook.line.log_end);
  if (outlook.line.log_end.year > 0 && years.back().closed > outlook.line.log_end)
    lead += outlook.scenario.habit.empty() ? "; no habit is stated" : "; what follows is the habit";
  return lead + (outlook.line.log_end.year > 0 ? "." : "");
}

std::vector<Cell> overview_row(const ReserveRuns& runs) {
  std::vector<Cell> row = {runs.outlook.scenario.reserve,
                           kUnknown,
                           kUnknown,
                           std::string("-"),
                           kUnknown,
                           kUnknown,
                           std::string("-"),
                           long_run(runs.outlook.scenario).mean_y,
                           std::string(runs.outlook.run.stopped ? "cannot be kept" : "kept")};
  if (!runs.book.run.looks.empty()) {
    const Stock& stock = runs.book.run.looks.back();
    row[1] = stock.volume.sum();
    if (const int tier = last_tier(stock, runs.outlook.scenario); tier >= 0) row[2] = stock.alcohol_pct(tier);
  }
  if (const DrawRecord* draw = this_bottling(runs.outlook.run)) {
    const AgeSummary age = age_of(runs.outlook.line, runs.outlook.scenario.clock, draw->wine, draw->day);
    row[3] = draw->name;
    row[4] = age.mean_y;
    row[5] = age.youngest_y;
  }
  for (const RefreshRecord& refresh : runs.outlook.run.refreshes)
    if (!refresh.past) {
      row[6] = day_text(refresh.date);
      break;
    }
  return row;
}

/// The forecast with looks at year ends, as many as there is room for: in a chart, and in memory for what each holds.
Outlook run_with_some_year_ends(const Scenario& scenario, const Span& span, const PageRoom& room) {
  constexpr std::size_t kMostHeld = 4'000'000;  // tiers x lots x looks, each of three numbers
  Span looking = span;
  {
    const Outlook first = run_scenario(scenario, span);  // tells the years there are
    std::vector<Date> ends;
    for (const YearFlows& year : first.run.flows.years)
      if (year.closed == Date{year.year, 12, 31}) ends.push_back(year.closed);
    const std::size_t held =
        std::max<std::size_t>(1, static_cast<std::size_t>(scenario.rows()) * first.line.parcels.size());
    for (const std::size_t i : evenly(ends.size(), std::min(room.dates, kMostHeld / held)))
      looking.looks.push_back(ends[i]);
  }
  return run_scenario(scenario, looking);
}

}  // namespace

ReserveRuns run_for_page(const LoadedScenario& loaded, const Span& span, Units units, const PageRoom& room) {
  const Scenario& scenario = loaded.scenario;
  ReserveRuns runs{loaded, span, units, room, run_with_some_year_ends(scenario, span, room), {}, OrderRefusal{}};
  const Date& end = runs.outlook.line.log_end;
  runs.book = end.year > 0 ? run_scenario(scenario, {.habit = false, .end_on = end}) : Outlook{scenario, {}, {}};
  runs.refresh = work_out_refresh(loaded, RefreshOptions{}, units);
  return runs;
}

LabelView label_of(const ReserveRuns& runs) {
  return label_view(runs.outlook, {.book = rules_of(runs.loaded.scenario), .sets = {}, .claims = {}});
}

ReservePage reserve_page(const ReserveRuns& runs) {
  ReservePage page{runs.outlook.scenario.reserve, lead_of(runs.outlook), runs.units, {}};
  page.parts.push_back(glance(runs));
  if (!runs.outlook.run.flows.years.empty()) {
    page.parts.push_back(vintages(runs));
    if (!runs.outlook.run.draws.empty()) page.parts.push_back(ages(runs));
    const DrawShares shares = draw_shares(runs.outlook, runs.span);
    if (!shares.shares.empty()) page.parts.push_back(drawing_more(runs, shares));
    page.parts.push_back(where_it_went(runs));
    if (!runs.outlook.run.draws.empty()) page.parts.push_back(strength(runs));
    page.parts.push_back(sulfur(runs));
    page.parts.push_back(next_refresh(runs));
    if (!labelled_wines(runs.outlook.run).empty()) page.parts.push_back(on_the_label(runs));
  }
  page.parts.push_back(basis(runs));
  for (Part& part : page.parts) shorten(part, runs.room);
  return page;
}

PageOfReserve page_of(const ReserveRuns& runs) { return {reserve_page(runs), overview_row(runs)}; }

std::vector<Block> overview_of(const std::vector<PageOfReserve>& reserves) {
  if (reserves.size() < 2) return {};
  Table table{{{"reserve"},
               {"holds", Figure::litres},
               {"strength", Figure::alcohol_pct},
               {"last draw"},
               {"mean age", Figure::age},
               {"youngest", Figure::age},
               {"next refresh"},
               {"long-run\nmean", Figure::age},
               {"plan"}},
              {}};
  for (const PageOfReserve& one : reserves) table.rows.push_back(one.overview);
  return {table};
}

}  // namespace tierce
