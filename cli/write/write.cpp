#include "cli/write/write.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <sstream>

#include "cli/io/display_width.h"
#include "cli/read/quantity_text.h"
#include "cli/write/document.h"
#include "engine/wine/units.h"

namespace tierce {
namespace {

struct FigureLook {
  Figure figure;
  const char* unit;     // metric
  const char* us_unit;  // null: the same
  double us_factor;     // metric x factor = US
  int decimals;
  int us_decimals;
  double scale;  // shown = value x scale
  bool down;     // rounded down: the figure supports a claim
};

constexpr FigureLook kLooks[] = {
    {Figure::text, "", nullptr, 1, 0, 0, 1, false},
    {Figure::whole, "", nullptr, 1, 0, 0, 1, false},
    {Figure::litres, "L", "gal", 1 / kLitresPerGallon, 0, 1, 1, false},
    {Figure::small_litres, "L", "gal", 1 / kLitresPerGallon, 1, 1, 1, false},
    {Figure::alcohol_pct, "%vol", nullptr, 1, 1, 1, 1, false},
    {Figure::alcohol_change, "%vol", nullptr, 1, 2, 2, 1, false},
    {Figure::grams_per_litre, "g/L", nullptr, 1, 0, 0, 1, false},
    {Figure::fine_grams_per_litre, "g/L", nullptr, 1, 2, 2, 1, false},
    {Figure::milligrams_per_litre, "mg/L", nullptr, 1, 0, 0, 1, false},
    {Figure::fine_milligrams_per_litre, "mg/L", nullptr, 1, 2, 2, 1, false},
    {Figure::ph, "", nullptr, 1, 2, 2, 1, false},
    {Figure::age, "years", nullptr, 1, 1, 1, 1, true},
    {Figure::share, "%", nullptr, 1, 1, 1, 100, true},
    {Figure::percent, "%", nullptr, 1, 0, 0, 100, false},
    {Figure::pure_alcohol, "L", "gal", 1 / kLitresPerGallon, 1, 1, 1, false},
    {Figure::proof_gallons, "proof gal", nullptr, 1, 1, 1, 1, false},
    {Figure::money, "", nullptr, 1, 2, 2, 1, false},
    {Figure::money_by_volume, "/L", "/gal", kLitresPerGallon, 2, 2, 1, false},
    {Figure::exact_age, "years", nullptr, 1, 4, 4, 1, false},
    {Figure::exact_number, "", nullptr, 1, 4, 4, 1, false},
    {Figure::tenths, "", nullptr, 1, 1, 1, 1, false},
    {Figure::count, "", nullptr, 1, 0, 0, 1, false},
    {Figure::date, "", nullptr, 1, 0, 0, 1, false},
};

constexpr bool in_order() {
  for (std::size_t i = 0; i < std::size(kLooks); ++i)
    if (static_cast<std::size_t>(kLooks[i].figure) != i) return false;
  return kLooks[std::size(kLooks) - 1].figure == Figure::date;
}
static_assert(in_order(), "each figure has its line, in the order of the figures");

/// What is no figure looks as a date does.
const FigureLook& look_of(Figure figure) { return kLooks[static_cast<std::size_t>(std::min(figure, Figure::date))]; }

const char* unit_of(Figure figure, Units units) {
  const FigureLook& look = look_of(figure);
  return units == Units::us && look.us_unit != nullptr ? look.us_unit : look.unit;
}

std::string unit_of(const Column& column, Units units) { return column.currency + unit_of(column.figure, units); }

// Holds a figure and its unit together when a line is broken; printed as a plain space.
const std::string kNoBreak = "\xC2\xA0";

/// What text takes on the screen; most of it is ASCII.
std::size_t width_of(const std::string& text) {
  const bool ascii =
      std::all_of(text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x80u; });
  return ascii ? text.size() : display_width(text);
}

std::string padded(const std::string& text, std::size_t width, bool to_the_right) {
  const std::string spaces(width > width_of(text) ? width - width_of(text) : 0, ' ');
  return to_the_right ? spaces + text : text + spaces;
}

std::string rounded(double value, Figure figure, Units units, int decimals);

std::string cell_text(const Cell& cell, Figure figure, Units units, int decimals) {
  if (const auto* text = std::get_if<std::string>(&cell)) return with_plain_spaces(*text);
  if (const auto* value = std::get_if<double>(&cell)) return rounded(*value, figure, units, decimals);
  return "";
}

bool is_number(Figure figure) { return figure != Figure::text && figure < Figure::date; }

void cut_trailing_spaces(std::string& line) {
  while (!line.empty() && line.back() == ' ') line.pop_back();
}

std::string rounded(double value, Figure figure, Units units, int decimals) {
  if (!is_known(value)) return "-";
  const FigureLook& look = look_of(figure);
  double shown = value * look.scale * (units == Units::us ? look.us_factor : 1.0);
  if (look.down) {
    const double step = std::pow(10.0, decimals);
    shown = std::floor(shown * step + 1e-9) / step;  // 3.0 may be held as 2.9999999999
  }
  std::string text = with_commas(fixed_text(shown, decimals));
  if (figure == Figure::alcohol_change && shown > 0.0 && text.find_first_of("123456789") != std::string::npos)
    text.insert(0, "+");
  return text;
}

/// Whole gallons where a column holds thousands of them.
int decimals_of(const Table& table, std::size_t column, Units units) {
  const FigureLook& look = look_of(table.columns[column].figure);
  if (units != Units::us || look.us_unit == nullptr) return look.decimals;
  for (const auto& row : table.rows)
    if (column < row.size())
      if (const auto* value = std::get_if<double>(&row[column]); value != nullptr && *value * look.us_factor >= 1000.0)
        return 0;
  return look.us_decimals;
}

/// The heading over each column, in lines ("mean\nage") that end above its unit.
std::vector<std::vector<std::string>> heading(const Table& table, Units units) {
  std::size_t most = 1;
  for (const Column& column : table.columns)
    most = std::max(most, 1 + static_cast<std::size_t>(std::count(column.name.begin(), column.name.end(), '\n')));
  std::vector<std::vector<std::string>> lines(most + 1, std::vector<std::string>(table.columns.size()));
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    std::string name = table.columns[c].name;
    for (std::size_t line = most; line-- > 0;) {
      const auto cut = name.rfind('\n');
      lines[line][c] = cut == std::string::npos ? name : name.substr(cut + 1);
      name.resize(cut == std::string::npos ? 0 : cut);
    }
    lines[most][c] = unit_of(table.columns[c], units);
  }
  return lines;
}

/// A line of a table as it is printed. One cell alone is a remark between the rows and stands as it is.
struct PrintedRow {
  std::vector<std::string> cells;
  bool remark = false;
};

bool prints_as(const PrintedRow& row, const PrintedRow& before) {
  return !row.remark && !before.remark && std::equal(row.cells.begin() + 1, row.cells.end(), before.cells.begin() + 1);
}

constexpr std::size_t kMostRows = 30;  // of a table that folds: a screen

/// Two or more rows that print as the one before them become a remark. Of many the first and the last are kept.
std::vector<PrintedRow> folded(const std::vector<PrintedRow>& rows) {
  std::vector<PrintedRow> lines;
  for (std::size_t i = 0, next = 0; i < rows.size(); i = next) {
    lines.push_back(rows[i]);
    next = i + 1;
    while (next < rows.size() && prints_as(rows[next], rows[i])) ++next;
    const std::string &first = rows[std::min(i + 1, rows.size() - 1)].cells.front(),
                      &last = rows[next - 1].cells.front();
    if (next - i > 2) lines.push_back({{first + " to " + last + " as " + rows[i].cells.front()}, true});
    else if (next - i == 2) lines.push_back(rows[i + 1]);
  }
  if (lines.size() <= kMostRows) return lines;
  const auto half = static_cast<std::ptrdiff_t>(kMostRows / 2);
  const auto first = lines.begin() + half, last = lines.end() - half;
  const std::string left_out = "---- " + std::to_string(last - first) + " rows from " + first->cells.front() + " to " +
                               (last - 1)->cells.front() + ": --all ----";
  lines.insert(lines.erase(first, last), {{left_out}, true});
  return lines;
}

std::vector<PrintedRow> printed_rows(const Table& table, Units units) {
  std::vector<PrintedRow> rows;
  for (const auto& row : table.rows) {
    rows.push_back({std::vector<std::string>(table.columns.size()), row.size() == 1});
    for (std::size_t c = 0; c < table.columns.size() && c < row.size(); ++c)
      rows.back().cells[c] = cell_text(row[c], table.columns[c].figure, units, decimals_of(table, c, units));
  }
  return rows;
}

std::string csv_number(double value, Figure figure, Units units) {
  if (!is_known(value)) return "";
  const FigureLook& look = look_of(figure);
  if (units == Units::us && look.us_unit != nullptr) value *= look.us_factor;
  std::array<char, 64> digits{};
  const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value * look.scale);
  return {digits.data(), end.ptr};
}

}  // namespace

void write_table(const Table& whole, Units units, bool all, std::string& out) {
  const Table table = seen(whole, all);
  const std::size_t columns = table.columns.size();
  std::vector<PrintedRow> lines;
  for (auto& cells : heading(table, units)) lines.push_back({std::move(cells)});
  const auto rows = printed_rows(table, units);
  for (const PrintedRow& row : table.folds && !all ? folded(rows) : rows) lines.push_back(row);
  std::vector<std::size_t> widths(columns, 0);
  for (const PrintedRow& line : lines)
    for (std::size_t c = 0; c < columns && !line.remark; ++c) widths[c] = std::max(widths[c], width_of(line.cells[c]));
  for (const PrintedRow& line : lines) {
    std::string text;
    for (std::size_t c = 0; c < line.cells.size(); ++c) {
      if (c > 0) text += "  ";
      text += padded(line.cells[c], widths[c], is_number(table.columns[c].figure));
    }
    cut_trailing_spaces(text);
    if (!text.empty()) out += text + '\n';
  }
}

Table seen(const Table& table, bool all) {
  const auto left_out = [&](std::size_t column) {
    const Column::When when = table.columns[column].when;
    return when == (all ? Column::When::at_first : Column::When::with_all);
  };
  Table kept = table;
  for (std::size_t c = table.columns.size(); c-- > 0;) {
    if (!left_out(c)) continue;
    kept.columns.erase(kept.columns.begin() + static_cast<std::ptrdiff_t>(c));
    for (auto& row : kept.rows)
      if (row.size() > 1 && c < row.size()) row.erase(row.begin() + static_cast<std::ptrdiff_t>(c));
  }
  return kept;
}

std::string number_text(double value, Figure figure, Units units) {
  const FigureLook& look = look_of(figure);
  return rounded(value, figure, units,
                 units == Units::us && look.us_unit != nullptr ? look.us_decimals : look.decimals);
}

std::string figure_text(double value, Figure figure, Units units) {
  const std::string unit = unit_of(figure, units);
  return number_text(value, figure, units) + (unit.empty() ? "" : kNoBreak + unit);
}

std::string upper_number_text(double value, Figure figure, Units units) {
  const FigureLook& look = look_of(figure);
  const bool us = units == Units::us && look.us_unit != nullptr;
  return decimal_text(in_shown_unit(value, figure, units), us ? look.us_decimals : look.decimals, Rounding::up);
}

std::string upper_figure_text(double value, Figure figure, Units units) {
  const std::string unit = unit_of(figure, units);
  return upper_number_text(value, figure, units) + (unit.empty() ? "" : kNoBreak + unit);
}

std::string day_text(const Date& date) {
  static const std::array<const char*, 12> kMonths = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                      "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  return std::to_string(date.day) + kNoBreak + kMonths[static_cast<std::size_t>(date.month - 1)] + kNoBreak +
         std::to_string(date.year);
}

std::string csv_cell(const Cell& cell, Figure figure, Units units) {
  if (const auto* text = std::get_if<std::string>(&cell)) return with_plain_spaces(*text);
  if (const auto* value = std::get_if<double>(&cell)) return csv_number(*value, figure, units);
  return "";
}

ShownTable shown(const Table& whole, Units units) {
  const Table table = seen(whole, true);
  ShownTable result;
  for (const Column& column : table.columns) {
    result.headings.push_back({column.name, unit_of(column, units), is_number(column.figure)});
  }
  for (const auto& row : table.rows) {
    result.rows.emplace_back();
    for (std::size_t c = 0; c < row.size(); ++c)
      result.rows.back().push_back(cell_text(row[c], table.columns[c].figure, units, decimals_of(table, c, units)));
  }
  return result;
}

double in_shown_unit(double value, Figure figure, Units units) {
  const FigureLook& look = look_of(figure);
  return value * look.scale * (units == Units::us ? look.us_factor : 1.0);
}

std::string unit_text(Figure figure, Units units) { return unit_of(figure, units); }

}  // namespace tierce
