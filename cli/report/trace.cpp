#include "cli/report/trace.h"

#include <algorithm>
#include <cmath>

#include "cli/report/json_number.h"
#include "cli/report/json_report.h"
#include "cli/report/report.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

using nlohmann::json;

// A lot: where it is.

struct Holding {
  std::string place, kind;  // kind: vessel, tank, draw or bottling
  Date date;
  double litres = 0.0;  // of the lot
  double wine_l = 0.0;  // of all the wine there
};

void add_row(const TraceView& view, const std::string& lot, int row, std::vector<Holding>& list) {
  const Scenario& scenario = view.outlook.scenario;
  const Stock& stock = view.traced.run.looks.back();
  const double share = litres_of_lot(view.traced, lot, stock.litres.row(row)) / stock.volume[row];
  const auto levels = stock.levels.of(row);
  for (std::size_t i = 0; i < levels.size(); ++i) {
    if (!(levels[i] > 0.0) || !(share > 0.0)) continue;
    const bool tank = scenario.is_tank(row);
    const std::string name =
        tank ? scenario.name_of(row) : scenario.tiers[static_cast<std::size_t>(row)].vessels[i].name;
    list.push_back({name, tank ? "tank" : "vessel", stock.date, share * levels[i], levels[i]});
  }
}

/// Draws that left the book, bottlings, then what is held. A draw into a tank is what stands there, or was bottled of
/// it.
std::vector<Holding> holdings(const TraceView& view, const std::string& lot) {
  std::vector<Holding> list;
  const auto add = [&](const DrawRecord& wine, const char* kind) {
    if (const double litres = litres_of_lot(view.traced, lot, wine.wine.litres); litres > 0.0)
      list.push_back({wine.name, kind, wine.date, litres, wine.volume_l});
  };
  for (const DrawRecord& draw : view.traced.run.draws)
    if (draw.to < 0) add(draw, "draw");
  for (const BottlingRecord& bottling : view.traced.run.bottlings) add(bottling.wine, "bottling");
  if (!view.traced.run.looks.empty())
    for (int row = 0; row < view.outlook.scenario.rows(); ++row) add_row(view, lot, row, list);
  return list;
}

/// Where the litres of one lot went.
struct LotBalance {
  double in_l = 0.0, held_l = 0.0, drawn_l = 0.0, bottled_l = 0.0, evaporated_l = 0.0, gauge_l = 0.0, lost_l = 0.0;
  double contracted_l = 0.0;
  double gap_l() const { return in_l - held_l - drawn_l - bottled_l - evaporated_l - gauge_l - lost_l - contracted_l; }
};

LotBalance balance_of_lot(const TraceView& view, const std::string& lot) {
  const auto flow = [&](Flow way) { return flow_of_lot(view.traced, lot, way); };
  LotBalance balance;
  balance.in_l = flow(kOpening) + flow(kIn) + flow(kWater);
  if (!view.traced.run.looks.empty())
    balance.held_l = litres_of_lot(view.traced, lot, view.traced.run.looks.back().litres.colwise().sum());
  balance.drawn_l = flow(kDrawn);
  balance.bottled_l = flow(kBottled);
  balance.evaporated_l = flow(kEvaporated);
  balance.gauge_l = flow(kGauged);
  balance.lost_l = flow(kLost);
  balance.contracted_l = flow(kContracted);
  return balance;
}

Paragraph balance_line(const LotBalance& balance, const std::string& lot, Units units) {
  const auto litres = [&](double value) { return number_text(value, Figure::small_litres, units); };
  std::string line = "Of " + lot + " came in " + figure_text(balance.in_l, Figure::small_litres, units) + " = held " +
                     litres(balance.held_l) + " + drawn " + litres(balance.drawn_l) +
                     (balance.bottled_l > 0.0 ? " + bottled " + litres(balance.bottled_l) : "") + " + evaporated " +
                     litres(balance.evaporated_l);
  if (balance.gauge_l != 0.0) line += " + gauge " + litres(balance.gauge_l);
  if (balance.lost_l != 0.0) line += " + lost " + litres(balance.lost_l);
  if (balance.contracted_l != 0.0) line += " + contracted " + litres(balance.contracted_l);
  return {line + "; difference " + litres(balance.gap_l()) + ".", 0};
}

std::string left_out_text(std::size_t count, const std::string& what, double litres, double at_least, Units units) {
  return std::to_string(count) + ' ' + what + (count == 1 ? "" : "s") + " below " +
         figure_text(at_least, Figure::share, Units::metric) +
         " left out: " + figure_text(litres, Figure::small_litres, units) + ".";
}

// A draw: what is behind it.

std::string place_name(const Scenario& scenario, const Place& place) {
  const auto row = static_cast<std::size_t>(place.row);
  if (place.vessel < 0 || scenario.is_tank(place.row)) return scenario.name_of(place.row);
  return scenario.tiers[row].vessels[static_cast<std::size_t>(place.vessel)].name;
}

/// What an act did, in the words of the book.
struct InWords {
  const TraceView& view;

  const Scenario& scenario() const { return view.outlook.scenario; }
  std::string lot(int index) const { return view.traced.line.lots[static_cast<std::size_t>(index)].name; }
  std::string name(const Place& place) const { return place_name(scenario(), place); }

  std::string operator()(const Open& open) const {
    return "opening stock of " + scenario().name_of(scenario().opening[open.opening].row);
  }
  std::string operator()(const Add& add) const { return "add " + lot(add.lot) + " to " + name(add.to); }
  std::string operator()(const Draw& draw) const {
    return "draw from " + name(draw.from) + (draw.to ? " to " + name(*draw.to) : "");
  }
  std::string operator()(const Bottle& bottle) const { return "bottle from " + name(bottle.from); }
  std::string operator()(const Move& move) const { return "move from " + name(move.from) + " to " + name(move.to); }
  std::string operator()(const Refill& refill) const {
    return "refill with " + (refill.from ? name(*refill.from) : lot(refill.lot));
  }
  std::string operator()(const Dose& dose) const { return "dose " + (dose.place ? name(*dose.place) : "all tiers"); }
  std::string operator()(const Gauge& gauge) const {
    return "gauge " + (gauge.read_l.empty() ? "" : name(gauge.read_l.front().first)) +
           (gauge.read_l.size() > 1 ? " and more" : "");
  }
  std::string operator()(const Analyse& analyse) const { return "analyse " + name(analyse.place); }
  std::string operator()(const Fortify& fortify) const {
    return "fortify " + name(fortify.place) + " with " +
           scenario().spirits[static_cast<std::size_t>(fortify.spirit)].name;
  }
  std::string operator()(const Reduce& reduce) const { return "reduce " + name(reduce.place); }
  template <class Other>
  std::string operator()(const Other&) const {
    return "";
  }
};

struct Line {
  int line = 0;
  int corrected_in = 0;  // the line of its last correction; 0 = none
  Date date;
  std::string what;
  bool planned = false;
  double litres = 0.0;
};

std::vector<Line> lines_behind(const TraceView& view, const DrawRecord& draw) {
  std::vector<Line> lines;
  for (const Behind& act : behind(view.outlook.scenario, view.traced, draw)) {
    const Event& event = view.traced.line.events[act.event];
    Line line{event.at.line, 0, event.date, std::visit(InWords{view}, event.act), !event.past, act.litres};
    for (const Correction& correction : view.outlook.scenario.corrections)
      if (correction.entry.line == event.at.line && correction.entry.column == event.at.column)
        line.corrected_in = correction.at.line;
    lines.push_back(line);
  }
  return lines;
}

struct LotShare {
  std::string lot;
  int vintage = 0;
  double litres = 0.0;
};

std::vector<LotShare> lots_in(const TraceView& view, const DrawRecord& draw) {
  std::vector<LotShare> lots;
  for (const Arrival& arrival : view.traced.arrivals) {
    const auto same =
        std::find_if(lots.begin(), lots.end(), [&](const LotShare& one) { return one.lot == arrival.lot; });
    if (same == lots.end())
      lots.push_back({arrival.lot, arrival.vintage, litres_of_lot(view.traced, arrival.lot, draw.wine.litres)});
  }
  std::erase_if(lots, [](const LotShare& one) { return !(one.litres > 0.0); });
  return lots;
}

Table lots_table(const TraceView& view, const DrawRecord& draw, double& left_out_l, std::size_t& left_out) {
  Table table{{{"lot"}, {"vintage"}, {"volume", Figure::small_litres}, {"share", Figure::share}}, {}};
  for (const LotShare& one : lots_in(view, draw)) {
    const double share = one.litres / draw.volume_l;
    if (share >= view.at_least)
      table.rows.push_back({one.lot, one.vintage > 0 ? std::to_string(one.vintage) : "-", one.litres, share});
    else {
      ++left_out;
      left_out_l += one.litres;
    }
  }
  return table;
}

Table lines_table(const TraceView& view, const DrawRecord& draw) {
  Table table{{{"line"}, {"day"}, {"act"}, {"brought", Figure::small_litres}, {"share", Figure::share}}, {}};
  for (const Line& line : lines_behind(view, draw)) {
    if (line.litres > 0.0 && line.litres / draw.volume_l < view.at_least) continue;
    std::vector<Cell> row = {
        view.file + ':' + std::to_string(line.line), day_text(line.date),
        line.what + (line.planned ? " (planned)" : "") +
            (line.corrected_in > 0 ? ", corrected in line " + std::to_string(line.corrected_in) : "")};
    if (line.litres > 0.0) {
      row.emplace_back(line.litres);
      row.emplace_back(line.litres / draw.volume_l);
    }
    table.rows.push_back(row);
  }
  return table;
}

}  // namespace

std::vector<std::string> lots_of(const Traced& traced) {
  std::vector<std::string> names;
  for (const Arrival& arrival : traced.arrivals)
    if (std::find(names.begin(), names.end(), arrival.lot) == names.end()) names.push_back(arrival.lot);
  return names;
}

Report trace_lot_report(const TraceView& view, const std::string& lot, Units units) {
  Report report;
  const LotBalance balance = balance_of_lot(view, lot);
  Table table{{{"where"},
               {"kind"},
               {"day"},
               {"of the lot", Figure::small_litres, "of_the_lot"},
               {"share of\nthat wine", Figure::share, "share_of_that_wine"},
               {"share of\nthe lot", Figure::share, "share_of_the_lot"}},
              {}};
  report.csv = table;
  double left_out_l = 0.0;
  std::size_t left_out = 0;
  for (const Holding& holding : holdings(view, lot)) {
    const double share = holding.litres / holding.wine_l;
    if (share < view.at_least) {
      ++left_out;
      left_out_l += holding.litres;
      continue;
    }
    const double of_lot = holding.litres / balance.in_l;
    table.rows.push_back({holding.place, holding.kind, day_text(holding.date), holding.litres, share, of_lot});
    report.csv.rows.push_back({holding.place, holding.kind, iso_text(holding.date), holding.litres, share, of_lot});
  }
  const bool any_held = !view.traced.run.looks.empty();
  report.parts.push_back(Paragraph{view.outlook.scenario.reserve + ": where " + lot + " is" +
                                   (any_held ? ", at the end of " + day_text(view.traced.run.looks.back().date) : "")});
  report.parts.push_back(Paragraph{""});
  report.parts.push_back(table);
  report.parts.push_back(Paragraph{""});
  if (left_out > 0)
    report.parts.push_back(Paragraph{left_out_text(left_out, "place", left_out_l, view.at_least, units)});
  report.parts.push_back(balance_line(balance, lot, units));
  close_report(report, view.outlook, units);
  return report;
}

json trace_lot_json(const TraceView& view, const std::string& lot) {
  const LotBalance balance = balance_of_lot(view, lot);
  json places = json::array();
  double left_out_l = 0.0;
  for (const Holding& holding : holdings(view, lot)) {
    if (holding.litres / holding.wine_l < view.at_least) left_out_l += holding.litres;
    else
      places.push_back({{"place", holding.place},
                        {"kind", holding.kind},
                        {"date", iso_text(holding.date)},
                        {"litres", json_number(holding.litres)},
                        {"fraction", json_number(holding.litres / holding.wine_l)},
                        {"fraction_of_lot", json_number(holding.litres / balance.in_l)}});
  }
  json object = report_head(view.outlook);
  object["lot"] = {{"lot", lot},
                   {"places", places},
                   {"left_out_L", json_number(left_out_l)},
                   {"in_L", json_number(balance.in_l)},
                   {"held_L", json_number(balance.held_l)},
                   {"drawn_L", json_number(balance.drawn_l)},
                   {"bottled_L", json_number(balance.bottled_l)},
                   {"evaporated_L", json_number(balance.evaporated_l)},
                   {"gauge_L", json_number(balance.gauge_l)},
                   {"lost_L", json_number(balance.lost_l)},
                   {"contraction_L", json_number(balance.contracted_l)},
                   {"gap_L", json_number(balance.gap_l())}};
  object["draws"] = json::array();
  return object;
}

Report trace_draw_report(const TraceView& view, const std::vector<const DrawRecord*>& draws, Units units) {
  Report report;
  report.csv = Table{
      {{"draw"}, {"date"}, {"line"}, {"day"}, {"act"}, {"brought", Figure::small_litres}, {"share", Figure::share}},
      {}};
  for (const DrawRecord* one_draw : draws) {
    const DrawRecord& draw = *one_draw;
    const bool bottled = std::holds_alternative<Bottle>(view.traced.line.events[draw.event].act);
    report.parts.push_back(Paragraph{view.outlook.scenario.reserve + ": what is behind " + draw.name + ", " +
                                     figure_text(draw.volume_l, Figure::small_litres, units) +
                                     (bottled ? " bottled from " : " drawn from ") +
                                     view.outlook.scenario.name_of(draw.row) + " on " + day_text(draw.date) +
                                     (draw.past ? "" : " (forecast, not done)")});
    report.parts.push_back(Paragraph{""});
    double left_out_l = 0.0;
    std::size_t left_out = 0;
    report.parts.push_back(lots_table(view, draw, left_out_l, left_out));
    if (left_out > 0)
      report.parts.push_back(Paragraph{left_out_text(left_out, "lot", left_out_l, view.at_least, units)});
    report.parts.push_back(Paragraph{""});
    report.parts.push_back(lines_table(view, draw));
    report.parts.push_back(Paragraph{""});
    for (const Line& line : lines_behind(view, draw)) {
      report.csv.rows.push_back({draw.name, iso_text(draw.date), view.file + ':' + std::to_string(line.line),
                                 iso_text(line.date), line.what, line.litres, line.litres / draw.volume_l});
    }
  }
  report.parts.push_back(Paragraph{
      "'brought': litres of this draw that came into the book by that line. The other lines passed the wine on, or "
      "changed what it holds. Shares are rounded down."});
  close_report(report, view.outlook, units);
  return report;
}

json trace_draw_json(const TraceView& view, const std::vector<const DrawRecord*>& draws) {
  json object = report_head(view.outlook);
  object["draws"] = json::array();
  for (const DrawRecord* one_draw : draws) {
    const DrawRecord& draw = *one_draw;
    json lots = json::array(), lines = json::array();
    for (const LotShare& one : lots_in(view, draw))
      if (one.litres / draw.volume_l >= view.at_least)
        lots.push_back({{"lot", one.lot},
                        {"vintage", one.vintage > 0 ? json(one.vintage) : json(nullptr)},
                        {"litres", json_number(one.litres)},
                        {"fraction", json_number(one.litres / draw.volume_l)}});
    for (const Line& line : lines_behind(view, draw))
      lines.push_back({{"file", view.file},
                       {"line", line.line},
                       {"corrected_in_line", line.corrected_in > 0 ? json(line.corrected_in) : json(nullptr)},
                       {"date", iso_text(line.date)},
                       {"act", line.what},
                       {"past", !line.planned},
                       {"litres", json_number(line.litres)},
                       {"fraction", json_number(line.litres / draw.volume_l)}});
    object["draws"].push_back({{"name", draw.name},
                               {"date", iso_text(draw.date)},
                               {"from", view.outlook.scenario.name_of(draw.row)},
                               {"past", draw.past},
                               {"volume_L", json_number(draw.volume_l)},
                               {"lots", lots},
                               {"lines", lines}});
  }
  return object;
}

}  // namespace tierce
