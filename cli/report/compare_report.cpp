// The table of `tierce compare`: a column for each variant, a row for each figure.
#include <algorithm>
#include <functional>
#include <set>

#include "cli/read/source.h"
#include "cli/report/compare.h"
#include "cli/report/so2_text.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

constexpr std::size_t kMostYears = 10;  // rows of the age path

using Of = std::function<Cell(const ComparedVariant&)>;

/// A row: its label with the unit, and what each variant has there. Without `of`: a heading between the rows.
struct Line {
  std::string label;
  Of of{};
};

/// A name in lines of up to so many characters, broken between words where that can be.
std::string wrapped(const std::string& name, std::size_t width) {
  std::string text, line;
  const auto end_line = [&] {
    text += (text.empty() ? "" : "\n") + line;
    line.clear();
  };
  for (std::size_t i = 0; i <= name.size();) {
    const std::size_t space = std::min(name.find(' ', i), name.size());
    std::string word = name.substr(i, space - i);
    if (!line.empty() && characters_in(line) + 1 + characters_in(word) > width) end_line();
    if (!line.empty()) line += ' ';
    while (characters_in(word) > width) {  // a word that is too long is cut
      const std::size_t bytes = bytes_of_characters(word, 0, width);
      line += word.substr(0, bytes);
      word.erase(0, bytes);
      end_line();
    }
    line += word;
    i = space + 1;
  }
  if (!line.empty()) end_line();
  return text;
}

std::string with_unit(const std::string& label, Figure figure, Units units) {
  const std::string unit = unit_text(figure, units);
  return "  " + label + (unit.empty() ? "" : ", " + unit);
}

class Lines {
 public:
  Lines(const Comparison& comparison, Units units) : comparison_(comparison), units_(units) {}

  std::vector<Line> headline() {
    if (any([](const ComparedVariant& one) { return one.stopped.has_value(); })) stops();
    at_the_last_draw();
    in_the_last_year();
    in_the_long_run();
    return std::move(lines_);
  }

  /// A few years of the plan and the mean age of what is drawn in them.
  std::vector<Line> ages() {
    for (const int year : some_years()) {
      lines_.push_back({std::to_string(year), [year](const ComparedVariant& one) -> Cell {
                          for (const ComparedYear& of : one.years)
                            if (of.year == year) return text_of_age(of.ages.mean_y, of.ages.mean_at_least_y);
                          return std::string("-");
                        }});
    }
    return std::move(lines_);
  }

 private:
  bool any(const std::function<bool(const ComparedVariant&)>& is) const {
    return std::any_of(comparison_.variants.begin(), comparison_.variants.end(), is);
  }

  static Cell text_of_age(double age_y, double at_least_y) {
    const Cell cell = age_cell(age_y, at_least_y);
    if (const auto* years = std::get_if<double>(&cell)) return number_text(*years, Figure::age, Units::metric);
    return cell;
  }

  void figure(const std::string& label, Figure figure, const std::function<double(const ComparedVariant&)>& of) {
    lines_.push_back(
        {with_unit(label, figure, units_), [figure, of, units = units_](const ComparedVariant& one) -> Cell {
           return number_text(of(one), figure, units);
         }});
  }
  void of_draw(const std::string& label, Figure figure, const std::function<double(const ComparedDraw&)>& of) {
    this->figure(label, figure, [of](const ComparedVariant& one) {
      return one.stopped || !one.last_draw ? kUnknown : of(*one.last_draw);  // the last one of a plan that is kept
    });
  }
  void of_year(const std::string& label, Figure figure, const std::function<double(const ComparedYear&)>& of) {
    this->figure(label, figure, [of](const ComparedVariant& one) {
      const ComparedYear* year = one.last_year();
      return year == nullptr ? kUnknown : of(*year);
    });
  }

  void stops() {
    lines_.push_back({"THE PLAN STOPS"});
    lines_.push_back({"  in", [](const ComparedVariant& one) -> Cell {
                        return one.stopped ? std::to_string(one.stopped->date.year) : std::string("-");
                      }});
    lines_.push_back({"  on", [](const ComparedVariant& one) -> Cell {
                        if (!one.stopped) return std::string("-");
                        const std::string day = day_text(one.stopped->date);
                        return day.substr(0, day.size() - std::to_string(one.stopped->date.year).size() - 2);
                      }});
  }

  void at_the_last_draw() {
    lines_.push_back({"at the last draw"});
    lines_.push_back({"  mean age, years", [](const ComparedVariant& one) -> Cell {
                        if (one.stopped || !one.last_draw) return std::string("-");
                        return text_of_age(one.last_draw->age.mean_y, one.last_draw->age.mean_at_least_y);
                      }});
    lines_.push_back({"  youngest, years", [](const ComparedVariant& one) -> Cell {
                        if (one.stopped || !one.last_draw) return std::string("-");
                        return text_of_age(one.last_draw->age.youngest_y, one.last_draw->age.youngest_at_least_y);
                      }});
    of_draw("strength", Figure::alcohol_pct, [](const ComparedDraw& draw) { return draw.alcohol_pct; });
    of_draw("sugar", Figure::grams_per_litre, [](const ComparedDraw& draw) { return draw.sugar_g_l; });
    of_draw("SO2 total", Figure::milligrams_per_litre, [](const ComparedDraw& draw) { return draw.so2.total_mg_l; });
    lines_.push_back({"  SO2 molec., mg/L", [](const ComparedVariant& one) -> Cell {
                        if (one.stopped || !one.last_draw) return std::string("-");
                        return one.last_draw->so2_molecular_text;
                      }});
    if (comparison_.currency.empty()) return;
    const double bottle_l = comparison_.bottle_l;
    const std::string volume = units_ == Units::us ? "gallon" : "litre";
    lines_.push_back(
        {"  cost of a " + volume + ", " + comparison_.currency, [units = units_](const ComparedVariant& one) -> Cell {
           const bool kept = !one.stopped && one.last_draw;
           return number_text(kept ? one.last_draw->cost_per_l : kUnknown, Figure::money_by_volume, units);
         }});
    of_draw("of a bottle, " + comparison_.currency, Figure::money,
            [bottle_l](const ComparedDraw& draw) { return draw.cost_per_l * bottle_l; });
  }

  void in_the_last_year() {
    const double bottle_l = comparison_.bottle_l;
    lines_.push_back({"in the last year"});
    of_year("drawn", Figure::litres, [](const ComparedYear& year) { return year.drawn_l; });
    of_year("bottles", Figure::whole, [bottle_l](const ComparedYear& year) { return year.drawn_l / bottle_l; });
    of_year("wine to make", Figure::litres, [](const ComparedYear& year) { return year.new_wine_l; });
    of_year("evaporated", Figure::litres, [](const ComparedYear& year) { return year.evaporated_l; });
    of_year("held at its end", Figure::litres, [](const ComparedYear& year) { return year.closing_l; });
    lines_.push_back({"in all years of the plan"});
    const auto kept = [](const ComparedVariant& one, double value) { return one.stopped ? kUnknown : value; };
    figure("drawn", Figure::litres, [=](const ComparedVariant& one) { return kept(one, one.drawn_l); });
    figure("bottles", Figure::whole, [=](const ComparedVariant& one) { return kept(one, one.drawn_l / bottle_l); });
    figure("wine to make", Figure::litres, [=](const ComparedVariant& one) { return kept(one, one.new_wine_l); });
  }

  void in_the_long_run() {
    lines_.push_back({"if the habit goes on"});
    figure("mean age", Figure::age, [](const ComparedVariant& one) { return one.long_run.mean_y; });
    figure("wine halves every", Figure::age, [](const ComparedVariant& one) { return one.long_run.half_life_y; });
  }

  /// Years in which a plan draws, at most kMostYears, evenly spread; the first and the last always.
  std::vector<int> some_years() const {
    std::set<int> drawn;
    for (const ComparedVariant& one : comparison_.variants)
      for (const ComparedYear& year : one.years)
        if (year.planned && year.drawn_l > 0.0) drawn.insert(year.year);
    const std::vector<int> all(drawn.begin(), drawn.end());
    if (all.size() <= kMostYears) return all;
    std::vector<int> some;
    for (std::size_t i = 0; i < kMostYears; ++i)
      some.push_back(all[(i * (all.size() - 1) + (kMostYears - 1) / 2) / (kMostYears - 1)]);
    return some;
  }

  const Comparison& comparison_;
  Units units_;
  std::vector<Line> lines_;
};

/// The columns of some of the variants. Their cells are text, so that each row may have its own unit.
Table table_of(const std::vector<Line>& lines, const std::string& head,
               const std::vector<const ComparedVariant*>& variants, std::size_t name_width) {
  Table table{{{head}}, {}};
  for (const ComparedVariant* one : variants)
    table.columns.push_back({wrapped(one->name, name_width), Figure::exact_number});
  for (const Line& line : lines) {
    std::vector<Cell> row = {line.label};
    if (line.of)
      for (const ComparedVariant* one : variants) row.push_back(line.of(*one));
    table.rows.push_back(std::move(row));
  }
  return table;
}

std::size_t width_of(const Table& table) {
  std::vector<std::size_t> widths(table.columns.size(), 0);
  for (std::size_t c = 0; c < table.columns.size(); ++c)
    for (std::size_t at = 0; at <= table.columns[c].name.size();) {
      const std::size_t end = std::min(table.columns[c].name.find('\n', at), table.columns[c].name.size());
      widths[c] = std::max(widths[c], characters_in(table.columns[c].name.substr(at, end - at)));
      at = end + 1;
    }
  for (const auto& row : table.rows)
    for (std::size_t c = 0; c < row.size() && row.size() > 1; ++c)
      widths[c] = std::max(widths[c], characters_in(std::get<std::string>(row[c])));
  std::size_t all = 2 * (widths.size() - 1);
  for (const std::size_t width : widths) all += width;
  return all;
}

/// One table, or where the page is too narrow several below one another, each with the file as it is.
void add_tables(Report& report, const std::vector<Line>& lines, const std::string& head, const Comparison& comparison) {
  const std::size_t count = comparison.variants.size();
  const std::size_t name_width = count <= 4 ? 14 : 9;
  for (std::size_t next = 1; next < count;) {
    std::vector<const ComparedVariant*> shown = {&comparison.variants[0], &comparison.variants[next++]};
    Table table = table_of(lines, head, shown, name_width);
    while (next < count) {
      shown.push_back(&comparison.variants[next]);
      Table wider = table_of(lines, head, shown, name_width);
      if (width_of(wider) > kPageWidth) break;
      table = std::move(wider);
      ++next;
    }
    report.parts.push_back(std::move(table));
    report.parts.push_back(Paragraph{""});
  }
}

std::string changes_text(const ComparedVariant& variant) {
  std::string text;
  for (const auto& [path, value] : variant.changes) text += (text.empty() ? "" : ", ") + path + " = " + value;
  return text;
}

/// A row for each variant, unrounded.
Table csv_table(const Comparison& comparison) {
  Table table{{{"variant"},
               {"stops_on"},
               {"last_draw"},
               {"mean_age", Figure::age},
               {"youngest", Figure::age},
               {"strength", Figure::alcohol_pct},
               {"sugar", Figure::grams_per_litre},
               {"so2_total", Figure::milligrams_per_litre},
               {"so2_molecular", Figure::fine_milligrams_per_litre},
               {"so2_molecular_low", Figure::fine_milligrams_per_litre},
               {"so2_molecular_high", Figure::fine_milligrams_per_litre},
               {"cost", Figure::money_by_volume, "", comparison.currency},
               {"drawn_last_year", Figure::litres},
               {"wine_to_make_last_year", Figure::litres},
               {"held_at_the_end", Figure::litres},
               {"drawn_in_all", Figure::litres},
               {"wine_to_make_in_all", Figure::litres},
               {"long_run_mean_age", Figure::age},
               {"half_life", Figure::age}},
              {}};
  for (const ComparedVariant& one : comparison.variants) {
    const ComparedDraw draw = one.stopped ? ComparedDraw{} : one.last_draw.value_or(ComparedDraw{});
    const ComparedYear none{.drawn_l = kUnknown, .new_wine_l = kUnknown, .closing_l = kUnknown};
    const ComparedYear& year = one.last_year() == nullptr ? none : *one.last_year();
    const double kept = one.stopped ? kUnknown : 1.0;
    table.rows.push_back({one.name, one.stopped ? iso_text(one.stopped->date) : "",
                          draw.date.year > 0 ? iso_text(draw.date) : "", draw.age.mean_y, draw.age.youngest_y,
                          draw.alcohol_pct, draw.sugar_g_l, draw.so2.total_mg_l, draw.so2_molecular_mg_l.planned,
                          draw.so2_molecular_mg_l.low, draw.so2_molecular_mg_l.high, draw.cost_per_l, year.drawn_l,
                          year.new_wine_l, year.closing_l, kept * one.drawn_l, kept * one.new_wine_l,
                          one.long_run.mean_y, one.long_run.half_life_y});
  }
  return table;
}

void add_stops(Report& report, const Comparison& comparison) {
  for (const ComparedVariant& one : comparison.variants)
    if (one.stopped)
      report.parts.push_back(
          Paragraph{one.name + " STOPS on " + day_text(one.stopped->date) + ": " + one.stopped->problem.what +
                    (one.stopped->problem.hint.empty() ? "" : "; " + one.stopped->problem.hint) + "."});
}

/// The variants that come to the figures of the file, in every year: a slip in the path, perhaps, or a value that the
/// file has already.
void add_those_without_effect(Report& report, const Comparison& comparison) {
  nlohmann::json variants = compare_json(comparison)["variants"];
  for (nlohmann::json& one : variants)
    for (const char* own : {"name", "changes"}) one.erase(own);
  for (std::size_t i = 1; i < variants.size(); ++i)
    if (variants[i] == variants[0])
      report.parts.push_back(Paragraph{comparison.variants[i].name +
                                       ": changes no figure that is shown here; all are those of the file."});
}

/// Whether an age stands there with a "+".
bool any_of_unknown_age(const std::vector<ComparedVariant>& variants) {
  return std::any_of(variants.begin(), variants.end(), [](const ComparedVariant& one) {
    return std::any_of(one.years.begin(), one.years.end(), [](const ComparedYear& year) {
      return !is_known(year.ages.mean_y) && is_known(year.ages.mean_at_least_y);
    });
  });
}

std::string balance_text(const Comparison& comparison) {
  std::string open;
  for (const ComparedVariant& one : comparison.variants)
    if (!one.balances) open += (open.empty() ? "" : ", ") + one.name;
  return open.empty() ? "The balance of litres closes in every column." : "THE BALANCE DOES NOT CLOSE in " + open + ".";
}

}  // namespace

Report compare_report(const Comparison& comparison, Units units) {
  Report report;
  const auto& base = comparison.variants.front();
  const std::size_t count = comparison.variants.size() - 1;
  std::string title = comparison.base.scenario.reserve + ": the file as it is and " + std::to_string(count) +
                      (count == 1 ? " variant" : " variants");
  if (!base.years.empty()) title += ", to the end of " + std::to_string(base.years.back().year);
  report.parts.push_back(Paragraph{title});
  report.parts.push_back(Paragraph{""});
  add_tables(report, Lines(comparison, units).headline(), "", comparison);
  add_tables(report, Lines(comparison, units).ages(), "mean age, years,\nof the draws in", comparison);
  for (const ComparedVariant& one : comparison.variants)
    if (!one.changes.empty()) report.parts.push_back(Paragraph{one.name + ": " + changes_text(one) + "."});
  add_those_without_effect(report, comparison);
  add_stops(report, comparison);
  report.parts.push_back(
      Paragraph{"Bottles hold " + bottle_text(comparison.bottle_l) +
                ". Figures of a plan that stops are left out. Ages are rounded down." +
                unknown_age_note(any_of_unknown_age(comparison.variants)) + " " + balance_text(comparison) +
                " A variant changes the whole run, what the log says of past years too; what changes on a day "
                "stands in the log."});
  const std::string note = comparison.currency.empty() ? "State the cost of lots and spirit to see what a bottle costs."
                                                       : cost_note(comparison.base);
  if (!note.empty()) report.parts.push_back(Paragraph{note});
  close_report(report, comparison.base, units);
  report.csv = csv_table(comparison);
  return report;
}

}  // namespace tierce
