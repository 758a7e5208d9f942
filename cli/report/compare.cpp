#include "cli/report/compare.h"

#include <algorithm>
#include <set>

#include "cli/read/source.h"
#include "cli/report/compare_rows.h"
#include "cli/report/foot.h"
#include "cli/report/head.h"
#include "cli/report/report.h"
#include "cli/write/json.h"
#include "cli/write/write.h"

namespace tierce {
namespace {

constexpr std::size_t kMostYears = 10;  // rows of the age path

std::vector<VariantRow> rows_of(const CompareView& of) {
  std::vector<VariantRow> rows;
  for (const ComparedVariant& one : of.comparison.variants) rows.push_back({one, of.bottle_l});
  return rows;
}

constexpr Field<CompareView> kOutputFields[] = {
    {"", "", Figure::object, "", [](auto& of) { return object_of(of.comparison.base, kHead); }, kAlways, nullptr,
     &kHead},
    {"bottle_L", "", Figure::litres, "the bottle that bottles are counted in", of<&CompareView::bottle_l>, kAlways},
    {"currency", "", Figure::text, "of all costs; null: no cost is stated",
     [](auto& of) { return of.currency.empty() ? Value() : Value(of.currency); }, kOrNull},
    {"variants", "", Figure::list, "the file as it is, then each variant",
     [](auto& of) { return list_of(rows_of(of), kComparedVariant); }, kAlways, nullptr, &kComparedVariant},
};

/// A row of text each: its label with the unit and what every variant has there; or a heading alone.
using Lines = std::vector<std::vector<Cell>>;

/// Figures of a kind: each its own unit, so that the cells are text.
void add_lines(Lines& lines, const CompareView& of, const char* heading, const std::vector<Pick>& picks, Units units) {
  const Table table = in_currency(table_of(rows_of(of), kShownVariant, picks), of.currency);
  lines.push_back({std::string(heading)});
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    const Column& column = table.columns[c];
    const std::string unit = column.currency.empty() ? unit_text(column.figure, units) : column.currency;
    lines.push_back({"  " + column.name + (unit.empty() ? "" : ", " + unit)});
    for (const auto& row : table.rows) {
      const auto* figure = std::get_if<double>(&row[c]);
      const auto* text = std::get_if<std::string>(&row[c]);
      lines.back().push_back(figure != nullptr ? number_text(*figure, column.figure, units)
                             : text != nullptr ? *text
                                               : "-");
    }
  }
}

Lines headline(const CompareView& of, Units units) {
  const auto& variants = of.comparison.variants;
  Lines lines;
  if (std::any_of(variants.begin(), variants.end(), [](const auto& one) { return one.stopped.has_value(); }))
    add_lines(lines, of, "THE PLAN STOPS", {"stop_year", "stop_day"}, units);
  std::vector<Pick> draw = {
      "mean_age", "youngest", "last_draw/alcohol_pct", "last_draw/sugar_g_L", "last_draw/so2_total_mg_L", "molecular"};
  if (!of.currency.empty()) {
    draw.push_back({"last_draw/cost_per_L", units == Units::us ? "cost of a gallon" : "cost of a litre"});
    draw.push_back("last_draw/cost_per_bottle");
  }
  add_lines(lines, of, "at the last draw", draw, units);
  add_lines(lines, of, "in the last year",
            {"last_year_drawn_L", "last_year_bottles", "last_year_new_wine_L", "last_year_evaporated_L", "closing_L"},
            units);
  add_lines(lines, of, "in all years of the plan", {"drawn_L", "bottles", "new_wine_L"}, units);
  add_lines(lines, of, "if the habit goes on", {"long_run_mean_y", "half_life_y"}, units);
  return lines;
}

/// Years in which a plan draws, at most kMostYears, evenly spread; the first and the last always.
std::vector<int> some_years(const Comparison& comparison) {
  std::set<int> drawn;
  for (const ComparedVariant& one : comparison.variants)
    for (const ComparedYear& year : one.years)
      if (year.planned && year.drawn_l > 0.0) drawn.insert(year.year);
  const std::vector<int> all(drawn.begin(), drawn.end());
  if (all.size() <= kMostYears) return all;
  std::vector<int> some;
  for (std::size_t i = 0; i < kMostYears; ++i)
    some.push_back(all[(i * (all.size() - 1) + (kMostYears - 1) / 2) / (kMostYears - 1)]);
  return some;
}

/// A few years of the plan and the mean age of what is drawn in them.
Lines age_path(const Comparison& comparison) {
  Lines lines;
  for (const int number : some_years(comparison)) {
    lines.push_back({std::to_string(number)});
    for (const ComparedVariant& one : comparison.variants) {
      const auto year =
          std::find_if(one.years.begin(), one.years.end(), [&](const ComparedYear& of) { return of.year == number; });
      lines.back().push_back(year == one.years.end() ? "-" : shown_age(year->ages.mean_y, year->ages.mean_at_least_y));
    }
  }
  return lines;
}

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

/// The columns of some of the variants.
Table table_of(const Lines& lines, const std::string& head, const Comparison& comparison,
               const std::vector<std::size_t>& shown, std::size_t name_width) {
  Table table{{{head}}, {}};
  for (const std::size_t one : shown)
    table.columns.push_back({wrapped(comparison.variants[one].name, name_width), Figure::exact_number});
  for (const auto& line : lines) {
    table.rows.push_back({line.front()});
    for (const std::size_t one : shown)
      if (line.size() > 1) table.rows.back().push_back(line[one + 1]);
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
void add_tables(Document& document, const Lines& lines, const std::string& head, const Comparison& comparison) {
  const std::size_t count = comparison.variants.size();
  const std::size_t name_width = count <= 4 ? 14 : 9;
  for (std::size_t next = 1; next < count;) {
    std::vector<std::size_t> shown = {0, next++};
    Table table = table_of(lines, head, comparison, shown, name_width);
    while (next < count) {
      shown.push_back(next);
      Table wider = table_of(lines, head, comparison, shown, name_width);
      if (width_of(wider) > kPageWidth) break;
      table = std::move(wider);
      ++next;
    }
    document.blocks.emplace_back(std::move(table));
  }
}

void say_changes(Document& document, const ComparedVariant& variant) {
  std::string text;
  for (const auto& [path, value] : variant.changes) text += (text.empty() ? "" : ", ") + path + " = " + value;
  if (!text.empty()) document.say(variant.name + ": " + text + ".");
}

/// The variants that come to the figures of the file, in every year: a slip in the path, perhaps, or a value that the
/// file has already.
void say_those_without_effect(Document& document, const CompareView& of) {
  const auto rows = rows_of(of);
  const std::string of_file = json_text(object_of(rows.front(), kVariantFigures));
  for (std::size_t i = 1; i < rows.size(); ++i)
    if (json_text(object_of(rows[i], kVariantFigures)) == of_file)
      document.say(rows[i].variant.name + ": changes no figure that is shown here; all are those of the file.");
}

void say_stop(Document& document, const ComparedVariant& variant) {
  const auto& stop = variant.stopped;
  if (!stop) return;
  document.say(variant.name + " STOPS on " + day_text(stop->date) + ": " + stop->problem.what +
               (stop->problem.hint.empty() ? "" : "; " + stop->problem.hint) + ".");
}

/// Whether an age stands there with a "+".
bool any_of_unknown_age(const std::vector<ComparedVariant>& variants) {
  return std::any_of(variants.begin(), variants.end(), [](const ComparedVariant& one) {
    return std::any_of(one.years.begin(), one.years.end(), [](const ComparedYear& year) {
      return !is_known(year.ages.mean_y) && is_known(year.ages.mean_at_least_y);
    });
  });
}

/// "less: draws 1.1 years older at the last (5.8 on average), 3,575 L drawn in all where the file draws 4,724 L."
std::string answer_text(const ComparedVariant& one, const ComparedVariant& base, Units units) {
  if (one.stopped) return one.name + ": it cannot be kept beyond " + day_text(one.stopped->date) + ".";
  const auto litres = [&](double value) { return figure_text(value, Figure::litres, units); };
  const auto age = [](const ComparedDraw& draw) { return number_text(draw.age.mean_y, Figure::age, Units::metric); };
  std::string text = one.name + ": ";
  if (one.last_draw && is_known(one.last_draw->age.mean_y)) {
    text += "the last draw is " + age(*one.last_draw) + " years old on average";
    if (base.kept_draw() != nullptr && is_known(base.last_draw->age.mean_y))
      text += ", the file's " + age(*base.last_draw);
    text += "; ";
  }
  return text + litres(one.drawn_l) + " to draw in all, in the file " + litres(base.drawn_l) + "; " +
         litres(one.new_wine_l) + " of new wine, in the file " + litres(base.new_wine_l) + ".";
}

std::string balance_text(const Comparison& comparison) {
  std::string open;
  for (const ComparedVariant& one : comparison.variants)
    if (!one.balances) open += (open.empty() ? "" : ", ") + one.name;
  return open.empty() ? "The balance of litres closes in every column." : "THE BALANCE DOES NOT CLOSE in " + open + ".";
}

}  // namespace

const Shape<CompareView> kCompareOutput{
    "compare", "The years to come of a reserve and of variants of it, side by side.", kOutputFields};

Document compare_report(const CompareView& of, Units units) {
  const auto& [comparison, bottle_l, currency] = of;
  const auto& base = comparison.variants.front();
  const std::size_t count = comparison.variants.size() - 1;
  Document document;
  document.title = comparison.base.scenario.reserve + ": the file as it is and " + std::to_string(count) +
                   (count == 1 ? " variant" : " variants") +
                   (base.years.empty() ? "" : ", to the end of " + std::to_string(base.years.back().year));
  for (std::size_t i = 1; i <= count; ++i) document.say(answer_text(comparison.variants[i], base, units));
  add_tables(document, headline(of, units), "", comparison);
  add_tables(document, age_path(comparison), "mean age, years,\nof the draws in", comparison);
  for (const ComparedVariant& one : comparison.variants) say_changes(document, one);
  say_those_without_effect(document, of);
  for (const ComparedVariant& one : comparison.variants) say_stop(document, one);
  document.say("Bottles hold " + bottle_text(bottle_l) +
               ". Figures of a plan that stops are left out. Ages are rounded down." +
               unknown_age_note(any_of_unknown_age(comparison.variants)) + " " + balance_text(comparison) +
               " A variant changes the whole run, what the log says of past years too; what changes on a day stands in "
               "the log.");
  document.say(currency.empty() ? "State the cost of lots and spirit to see what a bottle costs."
                                : cost_note(comparison.base));
  close_report(document, comparison.base, units, kAllFigures);
  document.csv = in_currency(
      table_of(rows_of(of), kShownVariant,
               {"variant", "stops_on", "last_draw/date", "last_draw/mean_age_y", "last_draw/youngest_y",
                "last_draw/alcohol_pct", "last_draw/sugar_g_L", "last_draw/so2_total_mg_L",
                "last_draw/so2_molecular_mg_L", "last_draw/so2_molecular_low_mg_L", "last_draw/so2_molecular_high_mg_L",
                "last_draw/cost_per_L", "last_year_drawn_L", "last_year_new_wine_L", "closing_L", "drawn_L",
                "new_wine_L", "long_run_mean_y", "half_life_y"}),
      of.currency);
  return document;
}

}  // namespace tierce
