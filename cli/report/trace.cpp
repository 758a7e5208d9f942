#include "cli/report/trace.h"

#include <algorithm>

#include "cli/report/foot.h"
#include "cli/report/head.h"
#include "cli/report/report.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

// A lot: where it is.

struct PlaceRow : Holding {
  double fraction_of_lot = 0.0;
};

Value kind_of(const PlaceRow& row) {
  constexpr const char* kKinds[] = {"vessel", "tank", "draw", "bottling"};
  return kKinds[static_cast<int>(row.kind)];
}

constexpr Field<PlaceRow> kPlaceFields[] = {
    {"place", "where", Figure::text, "name of the vessel, tank, draw or bottling", of<&Holding::place>},
    {"kind", "kind", Figure::word, "what it is", kind_of, kAlways, "vessel|tank|draw|bottling"},
    {"date", "day", Figure::date, "the day of the draw or bottling, or the last day of the run", of<&Holding::date>},
    {"litres", "of the lot", Figure::small_litres, "litres of the lot there", of<&Holding::litres>, kAlways},
    {"fraction", "share of\nthat wine", Figure::share, "share of the wine there", of<&Holding::share>, kAlways},
    {"fraction_of_lot", "share of\nthe lot", Figure::share, "share of all that came in of the lot",
     of<&PlaceRow::fraction_of_lot>, kAlways},
    {"day", "day", Figure::text, "the day in words", [](auto& of) -> Value { return day_text(of.date); },
     kOnlyInTables},
};
constexpr Shape<PlaceRow> kHeldPlace{"held_place", "A place that holds some of a lot.", kPlaceFields};

/// What is too small a part of a place, or of a draw, to be shown.
struct LeftOut {
  std::size_t count = 0;
  double litres = 0.0;

  std::string text(const std::string& what, double at_least, Units units) const {
    if (count == 0) return "";
    return std::to_string(count) + ' ' + what + (count == 1 ? "" : "s") + " below " +
           figure_text(at_least, Figure::share, Units::metric) +
           " left out: " + figure_text(litres, Figure::small_litres, units) + ".";
  }
};

struct LotView : LotBalance {
  std::string lot;
  std::vector<PlaceRow> places{};
  LeftOut left_out{};
};

LotView view_of_lot(const TraceView& view) {
  LotView of{balance_of_lot(view.traced, *view.lot), *view.lot};
  for (const Holding& place : places_of_lot(view.outlook.scenario, view.traced, of.lot)) {
    if (!(place.share() < view.at_least)) of.places.push_back({place, place.litres / of.in_l});
    else {
      ++of.left_out.count;
      of.left_out.litres += place.litres;
    }
  }
  return of;
}

constexpr Field<LotView> kLotFields[] = {
    {"lot", "", Figure::text, "its name", of<&LotView::lot>},
    {"places", "", Figure::list, "draws that left the book, bottlings, then what is held",
     [](auto& of) { return list_of(of.places, kHeldPlace); }, kAlways, nullptr, &kHeldPlace},
    {"left_out_L", "", Figure::litres, "litres of the lot in places below --at-least",
     [](auto& of) -> Value { return of.left_out.litres; }, kAlways},
    {"in_L", "", Figure::litres, "brought in, opening stock and water included", of<&LotBalance::in_l>, kAlways},
    {"held_L", "", Figure::litres, "held at the end", of<&LotBalance::held_l>, kAlways},
    {"drawn_L", "", Figure::litres, "drawn, and not into a tank", of<&LotBalance::drawn_l>, kAlways},
    {"bottled_L", "", Figure::litres, "bottled from tanks", of<&LotBalance::bottled_l>, kAlways},
    {"evaporated_L", "", Figure::litres, "evaporated", of<&LotBalance::evaporated_l>, kAlways},
    {"gauge_L", "", Figure::litres, "missing by gauge", of<&LotBalance::gauge_l>, kAlways},
    {"lost_L", "", Figure::litres, "lost for a known cause", of<&LotBalance::lost_l>, kAlways},
    {"contraction_L", "", Figure::litres, "gone by contraction", of<&LotBalance::contracted_l>, kAlways},
    {"gap_L", "", Figure::litres, "what does not balance, about 0", of<&LotBalance::gap_l>, kAlways},
};
constexpr Shape<LotView> kTracedLot{"traced_lot", "Where a lot is.", kLotFields};

std::string balance_text(const LotView& of, Units units) {
  const auto litres = [&](double value) { return number_text(value, Figure::small_litres, units); };
  std::string line = "Of " + of.lot + " came in " + figure_text(of.in_l, Figure::small_litres, units) + " = held " +
                     litres(of.held_l) + " + drawn " + litres(of.drawn_l) +
                     (of.bottled_l > 0.0 ? " + bottled " + litres(of.bottled_l) : "") + " + evaporated " +
                     litres(of.evaporated_l);
  if (of.gauge_l != 0.0) line += " + gauge " + litres(of.gauge_l);
  if (of.lost_l != 0.0) line += " + lost " + litres(of.lost_l);
  if (of.contracted_l != 0.0) line += " + contracted " + litres(of.contracted_l);
  return line + "; difference " + litres(of.gap_l()) + ".";
}

// A draw: what is behind it.

/// What an act did, in the words of the book.
struct InWords {
  const TraceView& view;

  const Scenario& scenario() const { return view.outlook.scenario; }
  std::string lot(int index) const { return view.traced.line.lots[static_cast<std::size_t>(index)].name; }
  std::string name(const Place& place) const { return place_name(scenario(), place.row, place.vessel); }

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

struct LineRow {
  const DrawRecord& draw;
  std::string file;
  int line = 0;
  Date date{};
  std::string act{};
  bool past = false;
  double litres = 0.0;
  std::optional<int> corrected_in{};  // the line of its last correction

  double fraction() const { return litres / draw.volume_l; }
  std::string place() const { return file + ':' + std::to_string(line); }
  std::string act_and_more() const {
    return act + (past ? "" : " (planned)") +
           (corrected_in ? ", corrected in line " + std::to_string(*corrected_in) : "");
  }
};

std::vector<LineRow> lines_behind(const TraceView& view, const DrawRecord& draw) {
  std::vector<LineRow> lines;
  for (const Behind& act : behind(view.outlook.scenario, view.traced, draw)) {
    const Event& event = view.traced.line.events[act.event];
    LineRow line{draw,       view.file, event.at.line, event.date, std::visit(InWords{view}, event.act),
                 event.past, act.litres};
    for (const Correction& correction : view.outlook.scenario.corrections)
      if (correction.entry.line == event.at.line && correction.entry.column == event.at.column)
        line.corrected_in = correction.at.line;
    lines.push_back(std::move(line));
  }
  return lines;
}

template <auto Member>
Value if_brought(const LineRow& line) {
  return line.litres > 0.0 ? of<Member>(line) : Value(Value::Absent{});
}

constexpr Field<LineRow> kLineFields[] = {
    {"file", "file", Figure::text, "the file, as given", of<&LineRow::file>},
    {"line", "line", Figure::whole, "its line", of<&LineRow::line>, kAlways},
    {"corrected_in_line", "corrected", Figure::whole, "the line of its last correction", of<&LineRow::corrected_in>,
     kOrNull},
    {"date", "day", Figure::date, "its day", of<&LineRow::date>},
    {"act", "act", Figure::text, "what was done", of<&LineRow::act>},
    {"past", "past", Figure::flag, "the log holds it", of<&LineRow::past>},
    {"litres", "brought", Figure::small_litres, "litres of the draw that it brought into the book",
     of<&LineRow::litres>, kAlways},
    {"fraction", "share", Figure::share, "as a share of the draw", of<&LineRow::fraction>, kAlways},
    {"draw", "draw", Figure::text, "the draw it is behind", [](auto& of) -> Value { return of.draw.name; },
     kOnlyInTables},
    {"draw_date", "date", Figure::text, "its day", [](auto& of) -> Value { return of.draw.date; }, kOnlyInTables},
    {"place", "line", Figure::text, "file and line", of<&LineRow::place>, kOnlyInTables},
    {"day", "day", Figure::text, "the day in words", [](auto& of) -> Value { return day_text(of.date); },
     kOnlyInTables},
    {"act_and_more", "act", Figure::text, "and whether it is planned or corrected", of<&LineRow::act_and_more>,
     kOnlyInTables},
    {"brought_L", "brought", Figure::small_litres, "where it brought any", if_brought<&LineRow::litres>, kOnlyInTables},
    {"share", "share", Figure::share, "likewise", if_brought<&LineRow::fraction>, kOnlyInTables},
};
constexpr Shape<LineRow> kLineBehind{"line_behind", "A line of the file behind a draw.", kLineFields};

constexpr Field<LotShare> kShareFields[] = {
    {"lot", "lot", Figure::text, "its name", of<&LotShare::lot>},
    {"vintage", "vintage", Figure::whole, "its vintage",
     [](auto& of) { return of.vintage > 0 ? Value(of.vintage) : Value(); }, kOrNull},
    {"litres", "volume", Figure::small_litres, "litres of it", of<&LotShare::litres>, kAlways},
    {"fraction", "share", Figure::share, "share of the draw", of<&LotShare::fraction>, kAlways},
    {"year", "vintage", Figure::text, "the vintage, or -",
     [](auto& of) -> Value { return of.vintage > 0 ? std::to_string(of.vintage) : "-"; }, kOnlyInTables},
};
constexpr Shape<LotShare> kLotShare{"lot_share", "A lot in a draw.", kShareFields};

struct DrawView {
  const TraceView& view;
  const DrawRecord& draw;

  /// Without those that are too small a part of it.
  std::vector<LotShare> lots(LeftOut* left_out = nullptr) const {
    std::vector<LotShare> lots = lots_in(view.traced, draw);
    std::erase_if(lots, [&](const LotShare& lot) {
      const bool small = lot.fraction < view.at_least;
      if (small && left_out != nullptr) {
        ++left_out->count;
        left_out->litres += lot.litres;
      }
      return small;
    });
    return lots;
  }
};

constexpr Field<DrawView> kDrawFields[] = {
    {"name", "", Figure::text, "its name", [](auto& of) -> Value { return of.draw.name; }},
    {"date", "", Figure::date, "its day", [](auto& of) -> Value { return of.draw.date; }},
    {"from", "", Figure::text, "the tier or tank that gave it",
     [](auto& of) -> Value { return of.view.outlook.scenario.name_of(of.draw.row); }},
    {"past", "", Figure::flag, "the log holds it", [](auto& of) -> Value { return of.draw.past; }},
    {"volume_L", "", Figure::litres, "litres drawn", [](auto& of) -> Value { return of.draw.volume_l; }, kAlways},
    {"lots", "", Figure::list, "lots in it, without those below --at-least",
     [](auto& of) { return list_of(of.lots(), kLotShare); }, kAlways, nullptr, &kLotShare},
    {"lines", "", Figure::list, "lines behind it, in order of time",
     [](auto& of) { return list_of(lines_behind(of.view, of.draw), kLineBehind); }, kAlways, nullptr, &kLineBehind},
};
constexpr Shape<DrawView> kTracedDraw{"traced_draw", "What is behind a draw or a bottling.", kDrawFields};

Value draws_of(const TraceView& view) {
  Value::List list;
  for (const DrawRecord* draw : view.draws) list.push_back(object_of({view, *draw}, kTracedDraw));
  return list;
}

constexpr Field<TraceView> kOutputFields[] = {
    {"", "", Figure::object, "", [](auto& of) { return object_of(of.outlook, kHead); }, kAlways, nullptr, &kHead},
    {"lot", "", Figure::object, "the lot asked for, if one was",
     [](auto& of) { return of.lot ? object_of(view_of_lot(of), kTracedLot) : Value(Value::Absent{}); }, kOrAbsent,
     nullptr, &kTracedLot},
    {"draws", "", Figure::list, "the draws asked for, in order of time", draws_of, kAlways, nullptr, &kTracedDraw},
};

void say_lot(Document& document, const TraceView& view, Units units) {
  const LotView lot = view_of_lot(view);
  const auto& looks = view.traced.run.looks;
  document.title = view.outlook.scenario.reserve + ": where " + lot.lot + " is" +
                   (looks.empty() ? "" : ", at the end of " + day_text(looks.back().date));
  document.blocks.emplace_back(
      table_of(lot.places, kHeldPlace, {"place", "kind", "day", "litres", "fraction", "fraction_of_lot"}));
  document.say(lot.left_out.text("place", view.at_least, units));
  document.say(balance_text(lot, units));
  document.csv = table_of(lot.places, kHeldPlace);
}

void say_draw(Document& document, const DrawView& of, Units units) {
  const auto& [view, draw] = of;
  const bool bottled = std::holds_alternative<Bottle>(view.traced.line.events[draw.event].act);
  const std::string title = view.outlook.scenario.reserve + ": what is behind " + draw.name + ", " +
                            figure_text(draw.volume_l, Figure::small_litres, units) +
                            (bottled ? " bottled from " : " drawn from ") + view.outlook.scenario.name_of(draw.row) +
                            " on " + day_text(draw.date) + (draw.past ? "" : " (forecast, not done)");
  if (document.title.empty()) document.title = title;
  else document.head(title);
  LeftOut left_out;
  document.blocks.emplace_back(
      table_of(of.lots(&left_out), kLotShare, {"lot", {"year", "vintage"}, "litres", "fraction"}));
  document.note(left_out.text("lot", view.at_least, units));
  std::vector<LineRow> lines = lines_behind(view, draw);
  Table csv = table_of(lines, kLineBehind, {"draw", "draw_date", "place", "date", "act", "litres", "fraction"});
  document.csv.columns = csv.columns;
  std::move(csv.rows.begin(), csv.rows.end(), std::back_inserter(document.csv.rows));
  const double at_least = view.at_least;
  const auto small = [&](const LineRow& line) { return line.litres > 0.0 && line.fraction() < at_least; };
  std::vector<LineRow> shown;
  std::copy_if(lines.begin(), lines.end(), std::back_inserter(shown), std::not_fn(small));
  document.blocks.emplace_back(table_of(shown, kLineBehind, {"place", "day", "act_and_more", "brought_L", "share"}));
}

}  // namespace

const Shape<TraceView> kTraceOutput{"trace", "Where a lot is, or what is behind a draw.", kOutputFields};

namespace {

/// Of a draw that is traced its day; of a lot the end of the run.
std::optional<Date> last_day_of(const TraceView& view) {
  std::optional<Date> day;
  for (const DrawRecord* draw : view.draws) day = std::max(day, std::optional(draw->date));
  return view.lot ? std::nullopt : day;
}

}  // namespace

Document trace_report(const TraceView& view, Units units) {
  Document document;
  if (view.lot) say_lot(document, view, units);
  else {
    for (const DrawRecord* draw : view.draws) say_draw(document, {view, *draw}, units);
    document.say(
        "'brought': litres of this draw that came into the book by that line. The other lines passed the wine on, or "
        "changed what it holds. Shares are rounded down.");
  }
  close_report(document, view.outlook, units, kVolumes | kAges, last_day_of(view));
  return document;
}

}  // namespace tierce
